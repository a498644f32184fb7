"""What comes back from where papers are made is believed no further than it must be."""

import io

import pytest

from shoprepair.papers.printing import wire
from shoprepair.papers.printing.order import Bounds, Order, Picture, Unmade, Why

ORDER = Order(
    "<p>Größe",
    ("sheet", "quote"),
    {"b": Picture(b"\0\1", "image/jpeg"), "a": Picture(b"<svg/>", "image/svg+xml")},
    (("roomy", 2), ("dense", 9)),
    3.0,
)


def taking(content: bytes):
    file = io.BytesIO(content)

    def take(length: int) -> bytes:
        if len(taken := file.read(length)) != length:
            raise EOFError
        return taken

    return take


def test_an_order_arrives_as_it_was_given():
    said = b"".join(wire.question(ORDER, Bounds(7, 8)))
    assert wire.asked(taking(said)) == (ORDER, Bounds(7, 8))


def test_the_same_paper_is_asked_for_in_the_same_words():
    turned = Order(
        ORDER.markup, ORDER.style_sheets, dict(reversed(ORDER.pictures.items())), ORDER.layouts, ORDER.foot_mm
    )
    assert list(wire.pieces(turned)) == list(wire.pieces(ORDER))


def test_a_paper_arrives_and_a_refusal_with_its_reason():
    assert wire.answered(taking(wire.answer(b"%PDF-1.7 x"))) == b"%PDF-1.7 x"
    for why in Why:
        with pytest.raises(Unmade) as unmade:
            wire.answered(taking(wire.refusal(why, "there")))
        assert (unmade.value.why, unmade.value.told) == (why, "there")


def test_a_reason_that_nobody_knows_is_a_fault():
    with pytest.raises(Unmade) as unmade:
        wire.answered(taking(b"\xee\0\0\0\0"))
    assert unmade.value.why == Why.BROKEN


@pytest.mark.parametrize("said", [wire.answer(b"<html>"), b"\0" + (4_000_000_000).to_bytes(4, "big")])
def test_an_answer_that_is_no_paper_is_none(said):
    with pytest.raises(wire.Garbled):
        wire.answered(taking(said))


def test_an_answer_that_ends_too_soon_is_none():
    with pytest.raises(EOFError):
        wire.answered(taking(wire.answer(b"%PDF-1.7 x")[:-1]))
