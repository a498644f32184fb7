"""A real shop in a folder of its own, served as in a shop, and killed without a word."""

import json
import os
import random
import secrets
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

from django.conf import settings

from tests import postgres

STARTS_IN_S = 90


class ServedShop:
    """One shop over many lives of its server.

    Its records are in its folder; where DATABASE_URL names a server, in a database of its own there.
    """

    def __init__(self, folder: Path, database: str = "") -> None:
        self.folder = folder
        self.database = database or _on_the_server()
        with socket.create_server(("127.0.0.1", 0)) as free:
            self.port: int = free.getsockname()[1]
        self.server: subprocess.Popen[bytes] | None = None
        self.log = (folder / "server.log").open("ab")

    @property
    def environment(self) -> dict[str, str]:
        """That of a real shop, without what the tests have set."""
        kept = {name: value for name, value in os.environ.items() if name not in ("EMAIL_URL",)}
        if self.database:
            kept["DATABASE_URL"] = self.database
        return kept | {
            "DJANGO_SETTINGS_MODULE": "shoprepair.settings",
            "SHOPREPAIR_DATA": str(self.folder),
            "SHOPREPAIR_LOG": "text",
            "PORT": str(self.port),
            "HOST": "127.0.0.1",
        }

    def seeded(self, rounds: int) -> dict[str, Any]:
        """Found the shop; what there is to do in it."""
        told = subprocess.run(
            [sys.executable, "-m", "tests.soak.seed", str(rounds)],
            cwd=settings.BASE_DIR,
            env=self.environment,
            stdout=subprocess.PIPE,
            check=True,
        )
        found: dict[str, Any] = json.loads(told.stdout.splitlines()[-1])
        return found

    def start(self) -> float:
        """Serve it, if it is not served; how many seconds it took until it answered."""
        if self.server:
            return 0
        began = time.monotonic()
        self.server = subprocess.Popen(
            [sys.executable, "-m", "gunicorn", "-c", "python:shoprepair.serve", "shoprepair.wsgi"],
            cwd=settings.BASE_DIR,
            env=self.environment,
            stdout=self.log,
            stderr=self.log,
            start_new_session=True,
        )
        while not self._answers():
            assert self.server.poll() is None, "The server ended while it started; see server.log."
            assert time.monotonic() < began + STARTS_IN_S, "The server does not answer."
            time.sleep(0.05)
        return time.monotonic() - began

    def kill(self) -> None:
        """Everything at once, as when the plug is pulled on the program."""
        if self.server:
            os.killpg(self.server.pid, signal.SIGKILL)
            self.server.wait()
            self.server = None

    def ends(self) -> None:
        """Leave nothing running and nothing open."""
        self.kill()
        self.log.close()
        if self.database:
            postgres.drop(self.database)

    def kill_one_worker(self, chance: random.Random) -> None:
        """One of those that serve requests; the others and the one that watches them go on."""
        assert self.server
        path = Path(f"/proc/{self.server.pid}/task/{self.server.pid}/children")
        serving = [int(pid) for pid in path.read_text().split() if _is_worker(int(pid))]
        os.kill(chance.choice(serving), signal.SIGKILL)

    def _answers(self) -> bool:
        with socket.socket() as probe:
            probe.settimeout(5)
            try:
                probe.connect(("127.0.0.1", self.port))
                probe.sendall(b"GET /log-in/ HTTP/1.0\r\nHost: 127.0.0.1\r\n\r\n")
                return probe.recv(12).endswith(b"200")
            except OSError:
                return False


def _on_the_server() -> str:
    server = os.environ.get("DATABASE_URL", "")
    return postgres.create(server, f"served_{secrets.token_hex(6)}") if server.startswith("postgres") else ""


def _is_worker(pid: int) -> bool:
    return b"gunicorn" in Path(f"/proc/{pid}/cmdline").read_bytes()
