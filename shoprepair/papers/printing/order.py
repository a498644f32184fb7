"""A paper that is to be made: everything that it needs, and nothing that it could reach for."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import IntEnum


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture or font in memory, known to the paper by its name only."""

    content: bytes = field(repr=False)
    media_type: str


@dataclass(frozen=True, slots=True)
class Order:
    """A whole HTML document with its pictures, and how closely it may be laid out."""

    markup: str = field(repr=False)
    style_sheets: tuple[str, ...]
    """Names of sheets in static/css/papers, after the fonts'."""
    pictures: Mapping[str, Picture] = field(default_factory=dict, repr=False)
    layouts: tuple[tuple[str, int], ...] = (("", 1),)
    """Classes for the body with the pages each may fill: the first that fits is taken, else the last."""
    foot_mm: float | None = None
    """For a continuous label: the first page is cut so far below the element with the id `end`."""


@dataclass(frozen=True, slots=True)
class Bounds:
    """What making one paper may take."""

    processor_s: int = 20
    memory: int = 512_000_000
    """Bytes, beside which whatever is only mapped and not there does not count."""


class Why(IntEnum):
    """Why a paper was not made."""

    TOO_LONG = 1
    """It took more memory or time than a paper may: asked for again, it will again."""
    NOT_NOW = 2
    """Nothing could be made; a moment later it may be."""
    BROKEN = 3
    """A fault of the program."""


class Unmade(Exception):
    """A paper that was not made."""

    def __init__(self, why: Why, told: str = "") -> None:
        super().__init__(why.name)
        self.why = why
        self.told = told
        """Where it broke; nothing of what stands on the paper."""
