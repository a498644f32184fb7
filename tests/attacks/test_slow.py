"""Whoever sends slowly, or a head without end, keeps nobody else waiting."""

import os
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.conf import settings

from shoprepair import in_time, serve
from shoprepair.in_time import InTime

FORM = b"POST /log-in/ HTTP/1.1\r\nHost: localhost\r\nContent-Length: 100000\r\n\r\nusername="


@pytest.fixture
def line() -> Iterator[tuple[InTime, socket.socket]]:
    ours, theirs = socket.socketpair()
    with ours, theirs:
        yield InTime(ours), theirs


def read_to_the_end(line: InTime) -> None:
    while line.recv(8192):
        continue


def test_what_comes_at_a_byte_a_second_ends(line, monkeypatch):
    monkeypatch.setattr(in_time, "PATIENCE_S", 0.3)
    ours, theirs = line
    ours.begin()

    def drip():
        for _ in range(20):
            theirs.sendall(b"x")
            time.sleep(0.05)

    slow = threading.Thread(target=drip)
    slow.start()
    began = time.monotonic()
    with pytest.raises(ConnectionResetError):
        read_to_the_end(ours)
    slow.join()
    assert time.monotonic() - began < 3


def test_where_nothing_comes_at_all_it_ends_too(line, monkeypatch):
    monkeypatch.setattr(in_time, "PATIENCE_S", 0.1)
    ours, _theirs = line
    ours.begin()
    with pytest.raises(ConnectionResetError):
        ours.recv(8192)


def test_a_large_photo_on_a_slow_line_has_the_time_that_it_needs(line, monkeypatch):
    monkeypatch.setattr(in_time, "PATIENCE_S", 0.2)
    monkeypatch.setattr(in_time, "LEAST_BYTES_A_S", 10_000)
    ours, theirs = line
    ours.begin()
    got = 0
    for _ in range(6):
        theirs.sendall(b"x" * 2000)
        got += len(ours.recv(8192))
        time.sleep(0.1)
    assert got == 12_000


def test_the_next_request_on_the_same_line_has_its_own_time(line, monkeypatch):
    monkeypatch.setattr(in_time, "PATIENCE_S", 0.2)
    ours, theirs = line
    time.sleep(0.25)
    theirs.sendall(b"GET")
    ours.begin()
    assert ours.recv(3) == b"GET"


def test_whoever_waits_for_less_waits_no_longer(line):
    ours, _theirs = line
    ours.settimeout(0.05)
    with pytest.raises(TimeoutError):
        ours.recv(1)


@pytest.fixture
def served(tmp_path: Path) -> Iterator[int]:
    """The server as the shop's, with two threads and little patience, before a program of one line."""
    (tmp_path / "one_line.py").write_text(
        "from shoprepair import in_time\n"
        "in_time.PATIENCE_S = 1.0\n"
        "def application(environ, start):\n"
        "    body = environ['wsgi.input'].read()\n"
        "    start('200 OK', [('Content-Length', '2')])\n"
        "    return [b'ok']\n"
    )
    with socket.create_server(("127.0.0.1", 0)) as free:
        port: int = free.getsockname()[1]
    asked = f"-w 1 --threads 2 -b 127.0.0.1:{port} --no-control-socket --log-level critical one_line"
    command = [sys.executable, "-m", "gunicorn", "-k", serve.worker_class, *asked.split()]
    paths = f"{tmp_path}:{settings.BASE_DIR}"
    server = subprocess.Popen(command, env={**os.environ, "PYTHONPATH": paths}, cwd=tmp_path)
    try:
        yield port
    finally:
        server.terminate()
        server.wait(30)


def ask(port: int, sent: bytes) -> bytes:
    """What is answered, once the server is there."""
    until = time.monotonic() + 60
    while True:
        try:
            with socket.create_connection(("127.0.0.1", port), timeout=60) as line:
                line.sendall(sent)
                return line.recv(64)
        except ConnectionRefusedError:
            assert time.monotonic() < until
            time.sleep(0.1)


def test_more_slow_senders_than_threads_and_a_head_without_end_keep_nobody_from_being_served(served) -> None:
    whole = b"GET / HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n"
    assert ask(served, whole).startswith(b"HTTP/1.1 200")
    slow = [socket.create_connection(("127.0.0.1", served)) for _ in range(4)]
    for place, one in enumerate(slow):
        one.sendall(FORM if place % 2 else FORM[:20])
    assert ask(served, whole).startswith(b"HTTP/1.1 200")
    long = b"GET / HTTP/1.1\r\nHost: localhost\r\nX-Long: " + b"a" * 64_000 + b"\r\n\r\n"
    assert ask(served, long).split()[1] in (b"400", b"431")
    assert ask(served, whole).startswith(b"HTTP/1.1 200")
    for one in slow:
        one.close()
