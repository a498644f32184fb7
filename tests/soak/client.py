"""A browser without a window: keeps its cookies, sends forms, and knows when no answer came."""

import http.client
import secrets
from urllib.parse import urlencode


class NoAnswer(Exception):
    """The line broke before an answer came: whether it was done, only asking again tells."""


class Browser:
    """One person's."""

    def __init__(self, port: int, came_from: str = "127.0.0.1") -> None:
        self.port, self.came_from = port, came_from
        self.cookies: dict[str, str] = {}

    def get(self, path: str) -> tuple[int, str]:
        """A page: its status and what is on it."""
        return self._ask("GET", path)

    def post(
        self, path: str, fields: dict[str, str], photo: tuple[str, bytes] | None = None
    ) -> tuple[int, str]:
        """Send a form: the answer's status, and where it leads. `photo` is its field's name, and the file."""
        if photo:
            kind, body = _in_parts(fields, *photo)
        else:
            kind, body = "application/x-www-form-urlencoded", urlencode(fields).encode()
        token = self.cookies.get("csrftoken", "")
        return self._ask("POST", path, body, {"Content-Type": kind, "X-CSRFToken": token})

    def log_in(self, username: str, password: str) -> None:
        """As a member of staff."""
        self.get("/log-in/")
        status, _ = self.post("/log-in/", {"username": username, "password": password})
        assert status == 302, f"{username} could not log in: {status}"

    def _ask(
        self, how: str, path: str, body: bytes | None = None, headers: dict[str, str] | None = None
    ) -> tuple[int, str]:
        line = http.client.HTTPConnection(
            "127.0.0.1", self.port, timeout=60, source_address=(self.came_from, 0)
        )
        cookies = "; ".join(f"{name}={value}" for name, value in self.cookies.items())
        try:
            line.request(how, path, body, {"Cookie": cookies, **(headers or {})})
            answer = line.getresponse()
            text = answer.read().decode(errors="replace")
        except (OSError, http.client.HTTPException) as broken:
            raise NoAnswer from broken
        finally:
            line.close()
        for name, value in answer.getheaders():
            if name.lower() == "set-cookie":
                self.cookies.update([value.partition(";")[0].split("=", 1)])
        return answer.status, answer.getheader("Location") or text


def _in_parts(fields: dict[str, str], name: str, photo: bytes) -> tuple[str, bytes]:
    mark = secrets.token_hex(12)
    parts = [
        f'--{mark}\r\nContent-Disposition: form-data; name="{key}"\r\n\r\n{value}\r\n'.encode()
        for key, value in fields.items()
    ]
    head = f'--{mark}\r\nContent-Disposition: form-data; name="{name}"; filename="a.jpg"\r\n'
    parts += [head.encode(), b"Content-Type: image/jpeg\r\n\r\n", photo, f"\r\n--{mark}--\r\n".encode()]
    return f"multipart/form-data; boundary={mark}", b"".join(parts)
