"""Nobody waits for a log that nobody reads."""

import logging
import os
import socket
import stat
from contextlib import suppress

import pytest

from shoprepair.shop.log_writing import WithoutWaiting

LOG = logging.getLogger("django.request")


@pytest.fixture(params=["pipe", "pipe of somebody else", "socket"])
def ends(request, monkeypatch):
    """Where the log is read, and the stream it is written to."""
    if request.param == "socket":
        far, near = socket.socketpair()
        reader, writer = far.detach(), near.detach()
    else:
        reader, writer = os.pipe()
    if request.param.endswith("else"):
        monkeypatch.setattr(os, "open", refused)
    with os.fdopen(reader, "rb", buffering=0) as read, os.fdopen(writer, "w") as write:
        yield read, write


def refused(*_: object) -> int:
    raise PermissionError(13, "Permission denied")


@pytest.fixture
def handler(ends, monkeypatch):
    made = WithoutWaiting(ends[1])
    LOG.addHandler(made)
    monkeypatch.setattr(LOG, "propagate", False)
    yield made
    LOG.removeHandler(made)
    made.close()


def read_all(reader) -> list[str]:
    os.set_blocking(reader.fileno(), False)
    found = b""
    while block := reader.read(1 << 16):
        found += block
    return found.decode().splitlines()


@pytest.mark.django_db
def test_pages_go_on_while_nobody_reads_the_log_and_afterwards_it_says_what_is_missing(
    ends, handler, counter, as_person
):
    reader, client = ends[0], as_person(counter)
    fill(ends[1].fileno())
    assert client.get("/jobs/99/").status_code == 404
    assert client.get("/").status_code == 200
    LOG.warning("One more.")
    assert handler.lost == 2
    read_all(reader)

    LOG.warning("It is read again.")
    told = read_all(reader)
    assert told == ["Before this line 2 others were left out: nobody took them.", "It is read again."]
    assert handler.lost == 0


def fill(descriptor: int) -> None:
    """To the last byte."""
    os.set_blocking(descriptor, False)
    for size in (1 << 16, 1 << 10, 1):
        with suppress(BlockingIOError):
            while True:
                os.write(descriptor, b"x" * size)
    os.set_blocking(descriptor, True)


def test_a_line_without_end_is_cut_rather_than_torn(ends, handler):
    LOG.warning("Seam " * 2000)
    LOG.warning("Next.")
    first, second = read_all(ends[0])
    assert (len(first), second) == (4095, "Next.")


def test_whoever_else_writes_there_still_waits_as_before(ends, handler):
    LOG.warning("One line.")
    assert os.get_blocking(ends[1].fileno())


def test_a_file_takes_every_line(tmp_path):
    with (tmp_path / "log").open("w") as file:
        handler = WithoutWaiting(file)
        assert stat.S_ISREG(os.fstat(file.fileno()).st_mode)
        handler.emit(logging.LogRecord("x", logging.WARNING, "", 0, "y" * 9000, (), None))
    assert (tmp_path / "log").read_text() == "y" * 9000 + "\n"
