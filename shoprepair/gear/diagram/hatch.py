"""Hatching of tubes as plain lines, which paper shows as well as a screen: density and lean carry meaning."""

from collections.abc import Iterator
from math import ceil

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram.outline import BOW
from shoprepair.gear.diagram.svg import at
from shoprepair.gear.shape import Shape


def edge_hatch(of: Shape, arcs_m: tuple[float, float], spacing_m: float, side: str, lean: float = 1.0) -> str:
    """Lines across a stretch of the leading edge between two lengths from the centre.

    `lean` is how far a line runs outwards over the tube's width, in diameters; negative leans inwards.
    """
    lines = []
    for start in _starts(arcs_m, spacing_m, lean * 2 * of.line.radius(0)):
        if clipped := _clipped(of, start, lean, arcs_m):
            ends = [_on_edge(of, arc, across, side) for arc, across in clipped]
            lines.append(f"M{at(ends[0])}L{at(ends[1])}")
    return "".join(lines)


def _starts(arcs_m: tuple[float, float], spacing_m: float, run_m: float) -> Iterator[float]:
    low, high = arcs_m[0] - max(run_m, 0.0), arcs_m[1] - min(run_m, 0.0)
    for n in range(ceil(low / spacing_m), ceil(high / spacing_m)):
        yield (n + 0.5) * spacing_m


def _clipped(
    of: Shape, start: float, lean: float, arcs_m: tuple[float, float]
) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """The part of one line within the stretch, as (length from the centre, share of the radius) twice."""
    radius = of.line.radius(of.line.t_at_arc(min(max(start, 0.0), of.line.length_m)))
    run = lean * 2 * radius
    shares = sorted(
        (arcs_m[0] - start) / run if bound == 0 else (arcs_m[1] - start) / run for bound in (0, 1)
    )
    low, high = max(shares[0], 0.0), min(shares[1], 1.0)
    if high - low < 0.05:
        return None
    return (start + low * run, 2 * low - 1), (start + high * run, 2 * high - 1)


def _on_edge(of: Shape, arc_m: float, across: float, side: str) -> Point:
    # As a seam bows, so does all that lies between two.
    bow = BOW * of.line.radius(of.line.t_at_arc(arc_m)) * (1 - across * across)
    t = of.line.t_at_arc(arc_m + bow if arc_m > 0 else arc_m)
    right = of.line.beside(t, across * of.line.radius(t))
    return right.mirrored() if side == "left" else right


def edge_comb(of: Shape, arcs_m: tuple[float, float], spacing_m: float, side: str) -> str:
    """Short ticks inwards from both edges of a stretch of the leading edge."""
    lines = []
    for start in _starts(arcs_m, spacing_m, 0.0):
        for edge, inner in ((-1.0, -0.72), (1.0, 0.72)):
            ends = [_on_edge(of, start, across, side) for across in (edge, inner)]
            lines.append(f"M{at(ends[0])}L{at(ends[1])}")
    return "".join(lines)


def strut_hatch(
    of: Shape, index: int, shares: tuple[float, float], spacing_m: float, side: str, lean: float = 1.0
) -> str:
    """Lines across a stretch of a strut between two shares of its length."""
    front, back = of.strut_ends(index)
    x = -of.strut_x(index) if side == "left" else of.strut_x(index)
    low, high = (front + share * (back - front) for share in shares)
    lines = []
    run = 2 * of.strut_half_width(index, 0) * abs(lean)
    for n in range(ceil((low - run) / spacing_m), ceil(high / spacing_m)):
        if line := _strut_line(of, index, n * spacing_m, (low, high), lean):
            lines.append(
                "".join(("M" if i == 0 else "L") + at(Point(x + p.x_m, p.y_m)) for i, p in enumerate(line))
            )
    return "".join(lines)


def strut_comb(of: Shape, index: int, shares: tuple[float, float], spacing_m: float, side: str) -> str:
    """Short ticks inwards from both flanks of a stretch of a strut."""
    front, back = of.strut_ends(index)
    x = -of.strut_x(index) if side == "left" else of.strut_x(index)
    low, high = (front + share * (back - front) for share in shares)
    lines = []
    for n in range(ceil(low / spacing_m), ceil(high / spacing_m)):
        half = of.strut_half_width(index, (n * spacing_m - front) / (back - front))
        for out in (-1, 1):
            ends = [Point(x + out * share * half, n * spacing_m) for share in (1.0, 0.66)]
            lines.append(f"M{at(ends[0])}L{at(ends[1])}")
    return "".join(lines)


def _strut_line(
    of: Shape, index: int, start: float, ys: tuple[float, float], lean: float
) -> tuple[Point, Point] | None:
    front, back = of.strut_ends(index)
    half = of.strut_half_width(index, min(max((start - front) / (back - front), 0.0), 1.0))
    run = 2 * half * abs(lean)
    low, high = max(0.0, (ys[0] - start) / run), min(1.0, (ys[1] - start) / run)
    if high - low < 0.05:
        return None
    out = -1 if lean < 0 else 1
    bow = 4 * BOW * half
    return tuple(Point(out * half * (1 - 2 * s), start + s * run + bow * s * (1 - s)) for s in (low, high))  # type: ignore[return-value]
