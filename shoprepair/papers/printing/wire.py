"""What the shop and the process that makes papers say to one another.

Asked: bounds and order as JSON, then the markup and each picture, each after its length. Answered: a zero
byte, then the PDF after its length; or why not as one byte, then where it broke after its length.
"""

import json
import struct
from collections.abc import Callable, Iterator
from dataclasses import astuple

from shoprepair.papers.printing.order import Bounds, Order, Picture, Unmade, Why

_LENGTH = struct.Struct("!I")
_GOOD = 0
_PDF_BEGINS = b"%PDF-"
MOST_ANSWERED = 60_000_000
"""Bytes; a paper with four photos has a hundredth of that."""
Take = Callable[[int], bytes]
"""Gives exactly so many bytes, or raises EOFError."""


class Garbled(ValueError):
    """The answer is none."""


def pieces(order: Order) -> Iterator[bytes]:
    """All of an order, the same for the same paper."""
    said = {
        "style_sheets": order.style_sheets,
        "layouts": order.layouts,
        "foot_mm": order.foot_mm,
        "pictures": [(name, order.pictures[name].media_type) for name in sorted(order.pictures)],
    }
    yield from _measured(json.dumps(said).encode())
    yield from _measured(order.markup.encode())
    for name in sorted(order.pictures):
        yield from _measured(order.pictures[name].content)


def question(order: Order, bounds: Bounds) -> Iterator[bytes]:
    """What is asked, in pieces."""
    yield from _measured(json.dumps(astuple(bounds)).encode())
    yield from pieces(order)


def asked(take: Take) -> tuple[Order, Bounds]:
    """The question, read."""
    bounds = Bounds(*json.loads(_next(take)))
    said, markup = json.loads(_next(take)), _next(take).decode()
    pictures = {name: Picture(_next(take), media_type) for name, media_type in said["pictures"]}
    layouts = tuple((classes, most) for classes, most in said["layouts"])
    return Order(markup, tuple(said["style_sheets"]), pictures, layouts, said["foot_mm"]), bounds


def answer(pdf: bytes) -> bytes:
    """The paper."""
    return b"".join([bytes([_GOOD]), *_measured(pdf)])


def refusal(why: Why, told: str = "") -> bytes:
    """Why there is none."""
    return b"".join([bytes([why]), *_measured(told.encode())])


def answered(take: Take) -> bytes:
    """The answer, read. Raises Unmade, Garbled where it is none, EOFError where it ends too soon."""
    code, content = take(1)[0], _next(take)
    if code != _GOOD:
        raise Unmade(Why(code) if code in set(Why) else Why.BROKEN, content.decode(errors="replace"))
    if not content.startswith(_PDF_BEGINS):
        raise Garbled("no PDF")
    return content


def _measured(content: bytes) -> Iterator[bytes]:
    yield _LENGTH.pack(len(content))
    yield content


def _next(take: Take) -> bytes:
    (length,) = _LENGTH.unpack(take(_LENGTH.size))
    if length > MOST_ANSWERED:
        raise Garbled("longer than anything that is said")
    return take(length)
