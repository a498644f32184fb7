"""What the shop and the process that decodes say to one another. What comes back is believed no further.

Asked: the bounds as JSON, then the file, each after its length. Answered: why not, as one byte; or a zero
byte, then each size: width, height and length, then a JPEG.
"""

import json
import struct
from collections.abc import Callable, Iterator
from dataclasses import astuple

from shoprepair.jobs.decoding.bounds import Bounds, Jpeg, Refused, Why

_LENGTH = struct.Struct("!I")
_SIZE = struct.Struct("!HHI")
_GOOD = 0
_JPEG_BEGINS, _JPEG_ENDS = b"\xff\xd8\xff", b"\xff\xd9"
MOST_ANSWERED = 20_000_000
"""Bytes of all sizes together; three sizes of a photo are a tenth of it."""
Take = Callable[[int], bytes]
"""Gives exactly so many bytes, or raises EOFError."""


class Garbled(ValueError):
    """The answer is none."""


def question(content: bytes, bounds: Bounds) -> Iterator[bytes]:
    """What is asked, in pieces."""
    said = json.dumps(astuple(bounds)).encode()
    yield _LENGTH.pack(len(said)) + said + _LENGTH.pack(len(content))
    yield content


def asked(take: Take) -> tuple[bytes, Bounds]:
    """The question, read."""
    pixels, side, sizes, *most = json.loads(take(*_LENGTH.unpack(take(_LENGTH.size))))
    bounds = Bounds(pixels, side, tuple((each, quality) for each, quality in sizes), *most)
    return take(*_LENGTH.unpack(take(_LENGTH.size))), bounds


def answer(made: list[Jpeg]) -> bytes:
    """The picture in all its sizes."""
    parts = [bytes([_GOOD])]
    for jpeg in made:
        parts += [_SIZE.pack(jpeg.width, jpeg.height, len(jpeg.content)), jpeg.content]
    return b"".join(parts)


def refusal(why: Why) -> bytes:
    return bytes([why])


def answered(take: Take, bounds: Bounds) -> list[Jpeg]:
    """The answer, read. Raises Refused, Garbled where it is none, EOFError where it ends too soon."""
    code = take(1)[0]
    if code != _GOOD:
        raise Refused(Why(code) if code in set(Why) else Why.BROKEN)
    left, made = MOST_ANSWERED, []
    for side, _ in bounds.sizes:
        width, height, length = _SIZE.unpack(take(_SIZE.size))
        left -= length
        if left < 0 or not 0 < min(width, height) <= max(width, height) <= side:
            raise Garbled("a size that was not asked for")
        made.append(Jpeg(width, height, _jpeg(take(length))))
    return made


def _jpeg(content: bytes) -> bytes:
    if not (content.startswith(_JPEG_BEGINS) and content.endswith(_JPEG_ENDS)):
        raise Garbled("no JPEG")
    return content
