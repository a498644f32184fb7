"""Asking as the server asks its program: through the real handler and all that stands before a view."""

import io
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.core import signals
from django.db import close_old_connections


@contextmanager
def within_a_transaction() -> Iterator[None]:
    """Let nobody close the connection between two requests, which takes back what was made for them."""
    asked = (signals.request_started, signals.request_finished)
    for signal in asked:
        signal.disconnect(close_old_connections)
    try:
        yield
    finally:
        for signal in asked:
            signal.connect(close_old_connections)


def ask(path: str, cookies: str) -> bytes:
    """The whole answer; raises where it is not what was asked for."""
    from shoprepair.wsgi import application

    said: list[str] = []

    def start(status: str, _headers: list[Any], _error: object = None) -> None:
        said.append(status)

    answer = application(_environment(path, cookies), start)
    try:
        content = b"".join(answer)
    finally:
        answer.close()
    assert said[0].startswith("200"), f"{path}: {said[0]}"
    return content


def cookies_of(client: Any) -> str:
    """The cookies of somebody who is logged in."""
    return "; ".join(f"{name}={morsel.value}" for name, morsel in client.cookies.items())


def _environment(path: str, cookies: str) -> dict[str, Any]:
    return {
        "REQUEST_METHOD": "GET",
        "PATH_INFO": path,
        "QUERY_STRING": "",
        "SERVER_NAME": "127.0.0.1",
        "SERVER_PORT": "8000",
        "SERVER_PROTOCOL": "HTTP/1.1",
        "REMOTE_ADDR": "127.0.0.1",
        "HTTP_HOST": "127.0.0.1:8000",
        "HTTP_COOKIE": cookies,
        "HTTP_ACCEPT_ENCODING": "gzip, br",
        "wsgi.version": (1, 0),
        "wsgi.url_scheme": "http",
        "wsgi.input": io.BytesIO(),
        "wsgi.errors": sys.stderr,
        "wsgi.multithread": True,
        "wsgi.multiprocess": True,
        "wsgi.run_once": False,
    }
