"""Round ticks, and from a value to a place on the paper."""

from dataclasses import dataclass
from math import ceil, floor, isfinite, log10

ROUND = (1.0, 2.0, 2.5, 5.0, 10.0)
FINEST = 1e-9


def step(spread: float, count: int) -> float:
    """The round step of 1, 2, 2½ or 5 times a power of ten that cuts a spread into at most `count` parts."""
    if not isfinite(spread) or spread <= FINEST:
        return 1.0
    rough = spread / count
    power = 10.0 ** floor(log10(rough))
    return next(mantissa * power for mantissa in ROUND if mantissa * power >= rough * (1 - FINEST))


def ticks(low: float, high: float, count: int = 5, *, whole: bool = False) -> tuple[float, ...]:
    """Round values from at or below `low` to at or above `high`, both ends among them.

    `whole` where things are counted: no tick then stands at a part of one.
    """
    spread = high - low
    # Finer than a float can tell apart at that height is no spread.
    by = step(spread if spread > FINEST * max(abs(low), abs(high)) else 0.0, count)
    if whole:
        by = 1.0 if by < 1 else by if by.is_integer() else 2 * by
    first, last = floor(low / by + FINEST), ceil(high / by - FINEST)
    return tuple(round(by * i, 12) for i in range(first, max(last, first + 1) + 1))


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight scale from values to coordinates; values beyond its ends are held there."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        share = (min(max(value, self.low), self.high) - self.low) / (self.high - self.low)
        return self.start + share * (self.end - self.start)


def across(marks: tuple[float, ...], start: float, end: float) -> Scale:
    """The scale between the outermost of some ticks."""
    return Scale(marks[0], marks[-1], start, end)
