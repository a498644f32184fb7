"""What is drawn of one tube: its casing and closing seam, patches, fittings, and the opened seam."""

from collections.abc import Iterator, Sequence

from shoprepair.gear.diagram.svg import element, group, number
from shoprepair.pricing.access.plan import Opening, Reached
from shoprepair.pricing.access.sheet import (
    DRAWN_OUT,
    INK,
    LENGTH_WIDE,
    PAPER,
    SIDE,
    WIDE,
    WORDS,
    Row,
    stroke,
    write,
    xy,
)
from shoprepair.pricing.tubes import Mark
from shoprepair.shop.units import Units, say_length


def body(row: Row) -> str:
    """The tube's outline between rounded ends."""
    places = [at for at, _ in row.line.radii_m]
    above = [xy(row.x(at), row.y - row.half(at)) for at in places]
    below = [xy(row.x(at), row.y + row.half(at)) for at in reversed(places)]
    return f"M{'L'.join(above)}{_end(row, places[-1], 1)}L{'L'.join(below)}{_end(row, places[0], -1)}Z"


def _end(row: Row, at_m: float, down: int) -> str:
    """A rounded end, drawn downwards or upwards."""
    half = row.half(at_m)
    return f"a{number(min(half, 12.0), 1)} {number(half, 1)} 0 0 1 0 {number(down * 2 * half, 1)}"


def closing_seam(row: Row, openings: Sequence[Opening]) -> str:
    """The closing seam along the middle, whole but for the openings."""
    edges = [0.0, *(at for o in openings for at in (o.start_m, o.end_m)), row.line.length_m]
    runs = "".join(
        f"M{xy(row.x(low), row.y)}H{number(row.x(high), 1)}"
        for low, high in zip(edges[::2], edges[1::2], strict=True)
        if high > low
    )
    return stroke("opened-seam", runs, 2, dashes="7 4")


def patch(row: Row, here: Sequence[Reached]) -> str:
    """What one damage's repairs take of the tube, as a stitched patch across it."""
    low, high = min(each.start_m for each in here), max(each.end_m for each in here)
    middle = (low + high) / 2
    wide, tall = max((high - low) * row.scale, 14.0), 1.5 * row.half(middle)
    x, y = row.x(middle) - wide / 2, row.y - tall / 2
    cloth = element(
        "rect", "", x=x, y=y, width=wide, height=tall, rx=6.0, fill=PAPER, stroke=INK, stroke_width=2
    )
    rows = element(
        "rect",
        "",
        class_="opened-stitches",
        x=x + 4,
        y=y + 4,
        width=wide - 8,
        height=tall - 8,
        rx=4.0,
        fill="none",
        stroke=INK,
        stroke_width=1.4,
        stroke_dasharray="4 3",
    )
    return group("opened-patch", (cloth, rows))


def mark(row: Row, of: Mark) -> str:
    """A strut joint as the strut's end seen from behind, a valve as a ringed cross."""
    x, y = row.x(of.at_m), row.y
    if of.kind in ("joint", "end"):
        half = max(of.half_m * row.scale, 7.0)
        tall = min(1.15 * row.half(of.at_m), half * 1.6)
        left, right = max(x - half, SIDE - 2), min(x + half, row.x(row.line.length_m) + 10)
        return element(
            "rect",
            "",
            class_="opened-joint",
            x=left,
            y=y - tall,
            width=right - left,
            height=2 * tall,
            rx=min((right - left) / 2, tall),
            fill="#d8d1bd",
            stroke=INK,
            stroke_width=2,
        )
    radius = min(11.0, 0.5 * row.half(of.at_m) + 4)
    arm = 0.55 * radius
    cross = f"M{xy(x - arm, y)}h{number(2 * arm, 1)}M{xy(x, y - arm)}v{number(2 * arm, 1)}"
    return group(
        "opened-valve",
        (
            element("circle", "", cx=x, cy=y, r=radius, fill=PAPER),
            element("path", "", d=cross, fill="none"),
        ),
        stroke=INK,
        stroke_width=2,
    )


def slit(row: Row, opening: Opening, lane: int, units: Units) -> Iterator[str]:
    """The opened seam: a dark slit held by bar tacks, the bladder drawn out of it, and how long it is."""
    low, high, y = row.x(opening.start_m), row.x(opening.end_m), row.y
    half = row.half((opening.start_m + opening.end_m) / 2)
    if opening.bladder_out:
        yield _bladder(low, high, y, y + half + DRAWN_OUT)
    middle, gape = (low + high) / 2, min(0.68 * half, (high - low) / 1.5)
    eye = f"M{xy(low, y)}Q{xy(middle, y - gape)} {xy(high, y)}Q{xy(middle, y + gape)} {xy(low, y)}Z"
    yield element("path", "", class_="opened-slit", d=eye, fill=INK, stroke=INK, stroke_width=2)
    yield stroke("opened-tack", "".join(f"M{xy(x, y - 9)}v18" for x in (low, high)), 4)
    ruler = y + half + DRAWN_OUT + 8
    length = say_length(opening.length_m, units)
    yield from _measure(low, high, ruler, ruler + (1 + lane) * (WORDS + 4), length)


def _bladder(low: float, high: float, y: float, lowest: float) -> str:
    """A loop of film hanging out of the slit."""
    inset = (high - low) / 4
    pull = lowest + (lowest - y) / 3
    loop = f"M{xy(low + inset, y)}C{xy(low, pull)} {xy(high, pull)} {xy(high - inset, y)}Z"
    return element(
        "path", "", class_="opened-bladder", d=loop, fill="#dfeceb", stroke="#4d7580", stroke_width=2
    )


def _measure(low: float, high: float, y: float, below: float, length: str) -> Iterator[str]:
    ends = "".join(f"M{xy(x, y - 7)}v14" for x in (low, high))
    yield stroke("opened-measure", f"M{xy(low, y)}H{number(high, 1)}{ends}", 1.75)
    at = min(max((low + high) / 2, LENGTH_WIDE / 2), WIDE - LENGTH_WIDE / 2)
    yield write(length, at, below, "middle", "opened-length")
