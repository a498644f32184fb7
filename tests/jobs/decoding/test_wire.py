"""What comes back from where strangers' files are decoded is believed no further than it must be."""

import io

import pytest

from shoprepair.jobs.decoding import wire
from shoprepair.jobs.decoding.bounds import Bounds, Jpeg, Refused, Why
from tests.jobs.decoding.pictures import picture

BOUNDS = Bounds(100, 50, ((40, 80), (20, 75)))
GOOD = [Jpeg(40, 30, picture(40, 30)), Jpeg(20, 15, picture(20, 15))]


def taking(content: bytes):
    file = io.BytesIO(content)

    def take(length: int) -> bytes:
        if len(taken := file.read(length)) != length:
            raise EOFError
        return taken

    return take


def test_a_question_arrives_as_it_was_asked():
    said = b"".join(wire.question(b"a photo", BOUNDS))
    assert wire.asked(taking(said)) == (b"a photo", BOUNDS)


def test_an_answer_arrives_as_it_was_given():
    assert wire.answered(taking(wire.answer(GOOD)), BOUNDS) == GOOD


@pytest.mark.parametrize("why", list(Why))
def test_a_refusal_arrives_with_its_reason(why):
    with pytest.raises(Refused) as refused:
        wire.answered(taking(wire.refusal(why)), BOUNDS)
    assert refused.value.why == why


def test_a_reason_that_nobody_knows_is_a_broken_photo():
    with pytest.raises(Refused) as refused:
        wire.answered(taking(b"\xee"), BOUNDS)
    assert refused.value.why == Why.BROKEN


@pytest.mark.parametrize(
    ("made", "why"),
    [
        ([Jpeg(41, 30, GOOD[0].content), GOOD[1]], "a size that was not asked for"),
        ([Jpeg(0, 30, GOOD[0].content), GOOD[1]], "a size that was not asked for"),
        ([Jpeg(40, 30, b"<html><script>"), GOOD[1]], "no JPEG"),
        ([Jpeg(40, 30, GOOD[0].content + b"<script>"), GOOD[1]], "no JPEG"),
    ],
)
def test_an_answer_that_was_not_asked_for_is_none(made, why):
    with pytest.raises(wire.Garbled, match=f"^{why}$"):
        wire.answered(taking(wire.answer(made)), BOUNDS)


def test_an_answer_is_not_waited_for_beyond_all_size():
    length = (4_000_000_000).to_bytes(4, "big")
    with pytest.raises(wire.Garbled):
        wire.answered(taking(b"\0\0\x28\0\x1e" + length), BOUNDS)


def test_an_answer_may_be_square_and_as_long_as_any_and_no_byte_longer(monkeypatch):
    square = [Jpeg(40, 40, picture(40, 40)), Jpeg(20, 20, picture(20, 20))]
    whole = sum(len(each.content) for each in square)
    monkeypatch.setattr(wire, "MOST_ANSWERED", whole)
    assert wire.answered(taking(wire.answer(square)), BOUNDS) == square
    monkeypatch.setattr(wire, "MOST_ANSWERED", whole - 1)
    with pytest.raises(wire.Garbled, match="a size that was not asked for"):
        wire.answered(taking(wire.answer(square)), BOUNDS)


def test_an_answer_that_ends_too_soon_is_none():
    with pytest.raises(EOFError):
        wire.answered(taking(wire.answer(GOOD)[:-1]), BOUNDS)
