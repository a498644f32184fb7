"""What a picture may be and what it becomes, for the shop too, which loads no decoder itself."""

from dataclasses import dataclass, field
from enum import IntEnum


class Why(IntEnum):
    """Why a picture was not taken."""

    NOT_A_PHOTO = 1
    TOO_MANY_PIXELS = 2
    TOO_THIN = 3
    TOO_LONG = 4
    BROKEN = 5
    TOO_MUCH = 6
    """It took more memory or time than a photo may."""


class Refused(Exception):
    """The picture was not taken."""

    def __init__(self, why: Why) -> None:
        super().__init__(why.name)
        self.why = why


@dataclass(frozen=True, slots=True)
class Bounds:
    """How large a picture may be, by its header, the sizes wanted, and what decoding it may take."""

    most_pixels: int
    most_side: int
    sizes: tuple[tuple[int, int], ...]
    """Longest side and quality, falling, for each is made from the one before."""
    memory: int = 1_000_000_000
    """Bytes of address space. A WebP of 50 million pixels takes 0.85 GB, a JPEG 0.3 GB (Pillow 13)."""
    processor_s: int = 20


@dataclass(frozen=True, slots=True)
class Jpeg:
    """A picture written anew, without anything that was attached to it."""

    width: int
    height: int
    content: bytes = field(repr=False)
