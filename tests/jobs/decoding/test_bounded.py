"""What others send is decoded where it can take nothing else down with it."""

import logging
import os
import signal
import subprocess
import sys
import threading
from dataclasses import replace
from pathlib import Path

import pytest
from django.conf import settings

from shoprepair.jobs.decoding import bounded
from shoprepair.jobs.decoding.bounds import Refused, Why
from shoprepair.jobs.decoding.shrinking import shrunk
from tests.jobs.decoding.pictures import BOUNDS, picture

PHOTO = picture(900, 700)


def why(content: bytes = PHOTO, bounds=BOUNDS) -> Why:
    with pytest.raises(Refused) as refused:
        bounded.decode(content, bounds)
    return refused.value.why


def running() -> int:
    """The process that is kept warm now."""
    assert bounded._running is not None
    return bounded._running.process.pid


@pytest.fixture
def log(caplog):
    caplog.set_level(logging.WARNING, "shoprepair.jobs.decoding")
    return caplog


def test_what_comes_back_is_what_would_have_been_made_here(log):
    assert bounded.decode(PHOTO, BOUNDS) == shrunk(PHOTO, BOUNDS)
    assert not log.records


def test_the_process_is_kept_for_the_next_photo():
    bounded.decode(PHOTO, BOUNDS)
    before = running()
    assert why(b"no photo") == Why.NOT_A_PHOTO
    bounded.decode(PHOTO, BOUNDS)
    assert running() == before


def test_the_process_knows_nothing_of_the_shop():
    bounded.decode(PHOTO, BOUNDS)
    known = Path(f"/proc/{running()}/environ").read_bytes()
    assert b"SHOPREPAIR" not in known
    assert settings.SECRET_KEY.encode() not in known
    loaded = Path(f"/proc/{running()}/maps").read_text()
    assert "_sqlite3" not in loaded
    assert "WEBP" in loaded.upper()


def test_a_photo_that_takes_more_memory_than_it_may_is_refused_and_the_next_is_not(log):
    large = picture(4000, 4000, "PNG", "L")
    assert why(large, replace(BOUNDS, memory=45_000_000)) == Why.TOO_MUCH
    assert bounded.decode(PHOTO, BOUNDS)
    assert "without bounds" not in log.text


def test_a_photo_that_takes_more_time_than_it_may_is_refused_and_the_next_is_not(log):
    assert why(PHOTO, replace(BOUNDS, processor_s=0)) == Why.TOO_MUCH
    assert bounded.decode(PHOTO, BOUNDS)
    assert "given up" in log.text


def test_nobody_waits_for_ever(monkeypatch, log):
    bounded.decode(PHOTO, BOUNDS)
    os.kill(running(), signal.SIGSTOP)
    with monkeypatch.context() as patched:
        patched.setattr(bounded, "PATIENCE_S", 0.05)
        assert why() == Why.TOO_MUCH
    assert bounded.decode(PHOTO, BOUNDS)


def test_a_process_that_was_killed_is_started_anew(log):
    bounded.decode(PHOTO, BOUNDS)
    before = running()
    os.kill(before, signal.SIGKILL)
    bounded._running.process.wait()
    assert bounded.decode(PHOTO, BOUNDS)
    assert running() != before
    assert not log.records


@pytest.mark.parametrize("program", ["/nowhere/python", "/bin/false"])
def test_where_no_process_can_be_started_the_log_says_so_and_the_photo_is_taken(program, monkeypatch, log):
    bounded.end()
    monkeypatch.setattr(sys, "executable", program)
    assert bounded.decode(PHOTO, BOUNDS) == shrunk(PHOTO, BOUNDS)
    assert log.messages[-1].startswith(
        "A photo is decoded without bounds on memory and time: the process that decodes could not be started"
    )


def test_a_process_that_is_gone_is_told_as_such():
    warm = bounded._Warm()
    warm.end()
    with pytest.raises(bounded.Unbounded, match=r"^the process that decodes is gone$"):
        warm.decode(PHOTO, BOUNDS)


def test_a_fork_holds_on_to_no_process_that_it_did_not_start():
    bounded.decode(PHOTO, BOUNDS)
    left, lock = bounded._running, bounded._lock
    bounded._forget()
    assert bounded._running is None
    assert bounded._lock is not lock
    # Nobody holds its line any more, and so it ends; nobody ended it.
    assert left.control.fileno() == -1
    assert os.waitstatus_to_exitcode(os.waitpid(left.process.pid, 0)[1]) == 0


def test_many_at_once_wait_for_one_another():
    made = []
    threads = [threading.Thread(target=lambda: made.append(bounded.decode(PHOTO, BOUNDS))) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert made == [shrunk(PHOTO, BOUNDS)] * 6


FORKED = """
import os
from shoprepair.jobs.decoding import bounded
from tests.jobs.decoding.pictures import BOUNDS, picture
photo = picture()
made, first = bounded.decode(photo, BOUNDS), bounded._running.process.pid
if not (child := os.fork()):
    assert bounded.decode(photo, BOUNDS) == made
    assert bounded._running.process.pid != first
    bounded.end()
    os._exit(7)
assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 7
assert bounded.decode(photo, BOUNDS) == made
assert bounded._running.process.pid == first
print(first)
"""


def test_a_server_that_forks_has_one_each_and_none_outlives_it():
    said = subprocess.run([sys.executable, "-c", FORKED], capture_output=True, text=True, timeout=60)
    assert said.returncode == 0, said.stderr
    with pytest.raises(ProcessLookupError):
        os.kill(int(said.stdout), 0)
