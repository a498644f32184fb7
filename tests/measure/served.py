"""The demo shop served as a shop is, and a real browser that opens it."""

import os
import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from shutil import which
from urllib.request import urlopen

from playwright.sync_api import BrowserContext

from shoprepair.office.demo.people import LOG_INS
from tests.measure import kept

TICKS_A_SECOND = os.sysconf("SC_CLK_TCK")


@dataclass(frozen=True)
class Served:
    """A served shop: its address, and the processes that serve it."""

    base: str
    group: int

    def memory_mb(self) -> float:
        """What its processes hold for themselves alone, and their share of what they hold together."""
        return sum(_share_kb(process) for process in self._processes()) / 1024

    def spent_s(self) -> float:
        """Processor seconds of its processes so far."""
        return sum(sum(map(int, _stat(process)[11:13])) for process in self._processes()) / TICKS_A_SECOND

    def _processes(self) -> Iterator[Path]:
        for process in Path("/proc").glob("[0-9]*"):
            if (stat := _stat(process)) and int(stat[2]) == self.group:
                yield process


def _stat(process: Path) -> list[str]:
    try:
        return (process / "stat").read_text().rpartition(")")[2].split()
    except OSError:
        return []


def _share_kb(process: Path) -> int:
    try:
        told = (process / "smaps_rollup").read_text()
    except OSError:
        return 0
    return next((int(line.split()[1]) for line in told.splitlines() if line.startswith("Pss:")), 0)


@contextmanager
def served(data: Path | None = None) -> Iterator[Served]:
    """Serve the demo shop, or the one in this folder, on a port that is free."""
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    folder = str(data or kept.demo())
    environment = {**os.environ, "SHOPREPAIR_DATA": folder, "PORT": str(port), "HOST": "127.0.0.1"}
    command = [sys.executable, "-m", "gunicorn", "-c", "python:shoprepair.serve", "shoprepair.wsgi"]
    server = subprocess.Popen(
        command,
        cwd=kept.ROOT,
        env=environment,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    base = f"http://127.0.0.1:{port}"
    try:
        _wait_for(base)
        yield Served(base, server.pid)
    finally:
        server.send_signal(signal.SIGTERM)
        server.wait()


def _wait_for(base: str) -> None:
    until = time.monotonic() + 90
    while True:
        try:
            urlopen(f"{base}/alive/", timeout=5).close()
            return
        except OSError:
            if time.monotonic() > until:
                raise
            time.sleep(0.1)


def executable() -> str | None:
    """The browser without windows, where there is one."""
    return which("chromium-headless-shell") or which("chromium")


def log_in(context: BrowserContext, base: str, role: str) -> None:
    """Somebody of the demo shop's, by the form."""
    name, password = next((each.username, each.password) for each in LOG_INS if each.role == role)
    page = context.new_page()
    page.goto(f"{base}/log-in/")
    page.fill("[name=username]", name)
    page.fill("[name=password]", password)
    page.press("[name=password]", "Enter")
    page.wait_for_url(re.compile(r"^(?!.*log-in)"))
    page.close()
