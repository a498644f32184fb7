"""The outbox's worker beside the server, as `make demo` serves the shop."""

import os
import signal
import socket
import subprocess
import sys
import time
from contextlib import contextmanager
from pathlib import Path

import pytest
from django.conf import settings

pytestmark = pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="reads the list of processes")


@contextmanager
def served(tmp_path, **environment):
    """A shop without a database, served by gunicorn in a process group of its own."""
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    for name in ("EMAIL_URL", "DJANGO_SETTINGS_MODULE"):
        environment.setdefault(name, "")
    server = subprocess.Popen(
        [sys.executable, "-m", "gunicorn", "-c", "python:shoprepair.serve", "shoprepair.wsgi"],
        cwd=settings.BASE_DIR,
        env={
            **{name: value for name, value in os.environ.items() if name not in environment},
            **{name: value for name, value in environment.items() if value},
            "SHOPREPAIR_DATA": str(tmp_path),
            "PORT": str(port),
        },
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    try:
        wait_for(lambda: listens(port))
        yield server
    finally:
        server.kill()
        server.wait()
        for pid in members(server.pid):
            os.kill(pid, signal.SIGKILL)


def wait_for(happens, patience_s=60):
    until = time.monotonic() + patience_s
    while not (found := happens()):
        assert time.monotonic() < until
        time.sleep(0.1)
    return found


def listens(port):
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0


def members(group):
    """The processes of a session that still run or lie about."""
    found = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            if int(stat.read_text().rpartition(")")[2].split()[3]) == group:
                found.append(int(stat.parent.name))
        except OSError:
            continue  # it ended while we looked
    return found


def workers(group):
    return [pid for pid in members(group) if b"send_letters" in _called(pid)]


def _called(pid):
    try:
        return Path(f"/proc/{pid}/cmdline").read_bytes()
    except OSError:
        return b""  # it ended while we looked


def test_letters_are_sent_for_as_long_as_the_shop_is_served_and_nothing_is_left_running(tmp_path):
    with served(tmp_path, EMAIL_URL="smtp://127.0.0.1:9") as server:
        (first,) = wait_for(lambda: workers(server.pid))

        os.kill(first, signal.SIGKILL)
        wait_for(lambda: [pid for pid in workers(server.pid) if pid != first])

        server.terminate()
        server.wait(60)

        assert members(server.pid) == []


def test_a_server_that_is_killed_takes_the_worker_along(tmp_path):
    with served(tmp_path, EMAIL_URL="smtp://127.0.0.1:9") as server:
        wait_for(lambda: workers(server.pid))

        server.kill()

        wait_for(lambda: not workers(server.pid))


def test_without_a_mail_server_a_worker_still_does_what_is_due_every_day(tmp_path):
    with served(tmp_path) as server:
        assert len(wait_for(lambda: workers(server.pid))) == 1
