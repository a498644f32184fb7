"""What a child does for one picture, step by step, without being one."""

import resource
import socket

import pytest

from shoprepair.jobs.decoding import warm, wire
from shoprepair.jobs.decoding.bounds import Refused, Why
from shoprepair.jobs.decoding.shrinking import FORMATS, shrunk
from shoprepair.shop.apart import Talk
from tests.jobs.decoding.pictures import BOUNDS, picture


@pytest.fixture
def line():
    """Both ends of a line: the shop's and the child's."""
    ours, theirs = socket.socketpair()
    with ours, theirs:
        yield ours, theirs


@pytest.fixture
def bound(monkeypatch) -> dict[int, tuple[int, int]]:
    """What the child bound itself to. It could not be undone here."""
    bound: dict[int, tuple[int, int]] = {}
    monkeypatch.setattr(resource, "setrlimit", bound.__setitem__)
    return bound


def said(line, content: bytes):
    """What a child answers to a photo that is handed to it."""
    ours, theirs = line
    for piece in wire.question(content, BOUNDS):
        ours.sendall(piece)
    warm._decode(theirs)
    return wire.answered(Talk(ours, 5).take, BOUNDS)


def test_it_answers_with_the_photo_in_all_its_sizes_and_may_take_no_more_than_it_was_told(line, bound):
    assert said(line, picture(400, 300)) == shrunk(picture(400, 300), BOUNDS)
    assert bound == {
        resource.RLIMIT_AS: (BOUNDS.memory, BOUNDS.memory),
        resource.RLIMIT_CPU: (BOUNDS.processor_s, BOUNDS.processor_s),
        resource.RLIMIT_NOFILE: (16, 16),
        resource.RLIMIT_FSIZE: (0, 0),
        resource.RLIMIT_CORE: (0, 0),
    }


def test_it_answers_why_it_took_none(line, bound):
    with pytest.raises(Refused) as refused:
        said(line, b"no photo")
    assert refused.value.why == Why.NOT_A_PHOTO


def test_without_memory_for_its_own_answer_it_says_so(line, bound, monkeypatch):
    def full(*_: object) -> bytes:
        raise MemoryError

    monkeypatch.setattr(wire, "answer", full)
    with pytest.raises(Refused) as refused:
        said(line, picture())
    assert refused.value.why == Why.TOO_MUCH


def test_of_a_photo_that_ends_too_soon_nothing_is_decoded(line, bound):
    ours, theirs = line
    ours.sendall(b"".join(wire.question(picture(), BOUNDS))[:-1])
    ours.shutdown(socket.SHUT_WR)
    with pytest.raises(EOFError):
        warm._decode(theirs)
    assert not bound


def test_it_is_handed_a_line_of_its_own_for_each_photo_until_nobody_is_there(line):
    ours, theirs = line
    one, other = socket.socketpair()
    with one, other:
        socket.send_fds(ours, [b"p"], [other.fileno()])
        with warm._next(theirs) as handed:
            handed.sendall(b"!")
            assert one.recv(1) == b"!"
    ours.sendall(b"p")
    assert warm._next(theirs) is None
    ours.close()
    assert warm._next(theirs) is None


@pytest.mark.parametrize("form", FORMATS)
def test_what_it_tries_its_decoders_on_is_a_small_picture_of_each_kind(form):
    [made, *_] = shrunk(warm._tiny(form), BOUNDS)
    assert (made.width, made.height) == (8, 8)
