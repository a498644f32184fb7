"""The numbered tags above a tube that is laid straight, each on a thread to its damage."""

from collections.abc import Iterator, Sequence

from shoprepair.gear.diagram.svg import element
from shoprepair.pricing.access.plan import Reached
from shoprepair.pricing.access.sheet import (
    INK,
    PAPER,
    TAG_TALL,
    TAG_WIDE,
    WIDE,
    WORDS,
    Row,
    stroke,
    write,
    xy,
)

BETWEEN = 4.0
"""What keeps neighbours apart."""
EDGE = 2.0
LEAST_WIDE = 20.0
"""Where tags would be narrower nobody reads them: the list below the drawing names the damages."""
OF_WIDE = 0.68
"""How tall the figures of a narrow tag are, as a share of its width: two of them fit."""


def tags(row: Row, damages: Sequence[Sequence[Reached]]) -> Iterator[str]:
    """A tag on a thread above each damage's place, beside one another, and finer the more there are."""
    along = sorted(damages, key=lambda each: each[0].middle_m)
    step = min(TAG_WIDE + BETWEEN, (WIDE - 2 * EDGE) / max(len(along), 1))
    if step - BETWEEN < LEAST_WIDE:
        return
    wanted = [row.x(here[0].middle_m) for here in along]
    for here, middle in zip(along, spread(wanted, step), strict=True):
        yield from _tag(row, here[0], middle, step - BETWEEN)


def spread(wanted: Sequence[float], step: float) -> list[float]:
    """The middles of tags in this order and at least a step apart, as near as can be to where each is wanted.

    What crowds gathers in runs about its own middle: the least squares of an order, by pooling neighbours.
    """
    runs: list[tuple[float, int]] = []
    for at, middle in enumerate(wanted):
        start, many = middle - at * step, 1
        while runs and runs[-1][0] > start:
            before, count = runs.pop()
            start, many = (before * count + start * many) / (count + many), count + many
        runs.append((start, many))
    least, most = EDGE + step / 2, WIDE - EDGE - step / 2 - (len(wanted) - 1) * step
    starts = (min(max(start, least), most) for start, many in runs for _ in range(many))
    return [start + at * step for at, start in enumerate(starts)]


def _tag(row: Row, damage: Reached, middle: float, wide: float) -> Iterator[str]:
    figures = min(WORDS, OF_WIDE * wide)
    tall = TAG_TALL * figures / WORDS
    bottom = row.y - row.thick - 12
    knot = xy(row.x(damage.middle_m), row.y - 0.75 * row.half(damage.middle_m))
    yield stroke("opened-thread", f"M{knot}L{xy(middle, bottom)}", 2)
    yield element(
        "rect",
        "",
        class_="opened-tag",
        x=middle - wide / 2,
        y=bottom - tall,
        width=wide,
        height=tall,
        rx=9.0 * figures / WORDS,
        fill=PAPER,
        stroke=INK,
        stroke_width=2.5,
    )
    below = bottom - tall / 2 + 0.35 * figures
    yield write(str(damage.damage), middle, below, "middle", "opened-number", weight="700", size=figures)
