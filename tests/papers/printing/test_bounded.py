"""Papers are made where they can take nothing else down with them."""

import io
import logging
import os
import signal
import subprocess
import sys
import threading
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

import pytest
from django.conf import settings
from PIL import Image

from shoprepair.papers.printing import bounded, pages
from shoprepair.papers.printing.order import Bounds, Order, Picture, Unmade, Why


def order(body: str = "<p>Łódź <b>Größe</b>", *sheets: str) -> Order:
    return Order(
        f'<html lang="en"><head><title>A page</title></head><body>{body}</body></html>', sheets or ("sheet",)
    )


LONG = order("".join(f"<p>line {number}" for number in range(3_000)))


def why(asked: Order, bounds: Bounds | None = None) -> Why:
    with pytest.raises(Unmade) as unmade:
        bounded.make(asked, bounds)
    return unmade.value.why


def running() -> int:
    """The process that waits for the next paper."""
    bounded.make(order())
    return bounded._pool.idle[-1].process.pid


@pytest.fixture
def log(caplog):
    caplog.set_level(logging.WARNING, "shoprepair.papers")
    return caplog


def test_a_paper_is_the_same_bytes_whoever_makes_it(log):
    assert bounded.make(order()) == pages.made(order())
    assert not log.records


def test_a_process_makes_many_papers_and_a_broken_one_is_no_reason_to_end_it(log):
    first = running()
    assert why(order("x", "no-such-sheet")) == Why.BROKEN
    assert "FileNotFoundError at pages.py" in log.text
    assert running() == first


def test_the_process_knows_nothing_of_the_shop():
    known = Path(f"/proc/{running()}/environ").read_bytes()
    assert b"SHOPREPAIR_" not in known
    assert b"DJANGO" not in known
    assert settings.SECRET_KEY.encode() not in known
    assert "_sqlite3" not in Path(f"/proc/{running()}/maps").read_text()


def test_a_paper_that_takes_more_memory_than_it_may_is_not_made_and_the_next_is(log):
    drawn = io.BytesIO()
    Image.new("RGBA", (5_000, 5_000), (9, 9, 9, 9)).save(drawn, "PNG")
    vast = order('<img src="paper:vast" alt="A field">')
    vast = replace(vast, pictures={"vast": Picture(drawn.getvalue(), "image/png")})
    assert why(vast, Bounds(memory=150_000_000)) == Why.TOO_LONG
    assert "was not made (TOO_LONG)" in log.text
    assert bounded.make(order())


def test_a_process_that_is_killed_over_a_paper_is_replaced_and_nobody_notices(log):
    before = running()
    os.kill(before, signal.SIGSTOP)
    with ThreadPoolExecutor(1) as people:
        waiting = people.submit(bounded.make, order("<p>for you"))
        while bounded._pool.idle:
            pass
        os.kill(before, signal.SIGKILL)
        assert waiting.result() == pages.made(order("<p>for you"))
    assert running() != before
    assert not log.records


def test_what_is_far_too_long_is_not_even_begun(monkeypatch, log):
    monkeypatch.setattr(bounded, "MOST_MARKUP", 10)
    assert why(order()) == Why.TOO_LONG


def test_where_all_are_making_papers_nobody_waits_for_ever(monkeypatch, log):
    monkeypatch.setattr(bounded, "PATIENCE_S", 0.01)
    pool = bounded._pool
    with pool.turns, pool.turns:
        assert why(order()) == Why.NOT_NOW


@pytest.mark.parametrize("program", ["/nowhere/python", "/bin/false"])
def test_where_no_process_can_be_started_the_log_says_so_and_nothing_is_made_here(program, monkeypatch, log):
    idle, bounded._pool.idle = bounded._pool.idle, []
    monkeypatch.setattr(sys, "executable", program)
    try:
        assert why(order()) == Why.NOT_NOW
    finally:
        bounded._pool.idle = idle
    assert "NOT_NOW" in log.text


@pytest.mark.soak
def test_a_paper_that_takes_more_time_than_it_may_is_not_made_and_the_next_is(log):
    assert why(LONG, Bounds(processor_s=1)) == Why.TOO_LONG
    assert "processor time" in log.text
    assert bounded.make(order())


@pytest.mark.soak
@pytest.mark.parametrize(
    "body",
    [
        "".join(f"<p>line {number}" for number in range(10_000)),
        "x" * 1_000_000,
        "<table><tr><td>" * 2_000,
        '<p style="width:1e30mm;font-size:1e9px">x',
    ],
)
def test_a_paper_without_end_ends(body, log):
    with suppress(Unmade):
        assert bounded.make(order(body)).startswith(b"%PDF")
    assert bounded.make(order())


@pytest.mark.soak
def test_one_that_stands_still_is_given_up(monkeypatch, log):
    os.kill(running(), signal.SIGSTOP)
    with monkeypatch.context() as patched:
        patched.setattr(bounded, "PATIENCE_S", 0.05)
        assert why(order()) == Why.TOO_LONG
    assert bounded.make(order())


@pytest.mark.soak
def test_many_print_at_the_same_moment_and_each_gets_their_own():
    with ThreadPoolExecutor(6) as people:
        made = list(people.map(lambda number: bounded.make(order(f"<p>Job {number}")), range(12)))
    assert made == [pages.made(order(f"<p>Job {number}")) for number in range(12)]
    assert len(bounded._pool.idle) <= bounded.MOST
    assert threading.active_count() < 6


FORKED = """
import os
from shoprepair.papers.printing import bounded
from tests.papers.printing.test_bounded import order
made, first = bounded.make(order()), bounded._pool.idle[0].process.pid
if not (child := os.fork()):
    assert bounded.make(order()) == made
    assert bounded._pool.idle[0].process.pid != first
    bounded.end()
    os._exit(7)
assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 7
assert bounded.make(order()) == made
assert bounded._pool.idle[0].process.pid == first
print(first, bounded._pool.idle[0]._folder)
"""


@pytest.mark.soak
def test_a_server_that_forks_has_its_own_and_nothing_outlives_it():
    said = subprocess.run([sys.executable, "-c", FORKED], capture_output=True, text=True, timeout=120)
    assert said.returncode == 0, said.stderr
    pid, folder = said.stdout.split()
    with pytest.raises(ProcessLookupError):
        os.kill(int(pid), 0)
    assert not Path(folder).exists()
