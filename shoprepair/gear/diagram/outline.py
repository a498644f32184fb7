"""The outlines of the parts as path data: segments of the leading edge, struts, panels, hem, silhouette."""

from math import hypot

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram.svg import Curve, at, on_side, polyline, smooth
from shoprepair.gear.shape import HEM_M, POINTED_SHARE, Shape

CAP = 0.45
"""How far the end of a leading edge bulges, as a share of its radius."""
FLARE = 1.3
"""A strut is this much wider where it grows out of the leading edge."""
PIECES = 3


def along_tube(of: Shape, share: float) -> Curve:
    """A line along the right half of the leading edge at a share of the radius; -1 is its front."""
    return lambda t: of.line.beside(t, share * of.line.radius(t))


def segment_ts(of: Shape) -> list[float]:
    """Where along the centreline the seams between cut segments lie, from the centre to the tip."""
    count, length = of.planform.segments, of.line.length_m
    return [0.0, *(of.line.t_at_arc(length * n / count) for n in range(1, count)), 1.0]


def segment(of: Shape, number: int, side: str) -> str:
    """One cut segment of the leading edge, counted from 1."""
    ts = segment_ts(of)
    last = number == of.planform.segments
    return tube_stretch(of, ts[number - 1], ts[number], side, capped=last)


def tube_stretch(of: Shape, start: float, end: float, side: str, *, capped: bool = False) -> str:
    """A stretch of the leading edge over its whole width."""
    front, rear = on_side(side, along_tube(of, -1)), on_side(side, along_tube(of, 1))
    cap = f"Q{at(_cap(of, side))} {at(rear(end))}" if capped else ""
    return smooth(front, start, end, PIECES) + cap + smooth(rear, end, start, PIECES, move=False) + "Z"


def _cap(of: Shape, side: str) -> Point:
    end, slope = of.line.at(1.0), of.line.slope(1.0)
    reach = 2 * CAP * of.line.radius(1.0) / hypot(*slope)
    tip = Point(end.x_m + reach * slope.x_m, end.y_m + reach * slope.y_m)
    return tip.mirrored() if side == "left" else tip


def tube_outline(of: Shape) -> str:
    """The whole leading edge from tip to tip."""
    front, rear = both_halves(along_tube(of, -1)), both_halves(along_tube(of, 1))
    right, left = at(_cap(of, "right")), at(_cap(of, "left"))
    return (
        smooth(front, -1, 0, 8)
        + smooth(front, 0, 1, 8)[len("M" + at(front(0))) :]
        + f"Q{right} {at(rear(1))}"
        + smooth(rear, 1, 0, 8)[len("M" + at(rear(1))) :]
        + smooth(rear, 0, -1, 8)[len("M" + at(rear(0))) :]
        + f"Q{left} {at(front(-1))}Z"
    )


def both_halves(right: Curve) -> Curve:
    """A curve of the right half run through from -1 at the left tip to 1 at the right."""
    return lambda t: right(t) if t >= 0 else right(-t).mirrored()


def strut(of: Shape, index: int, side: str) -> str:
    """A strut from under the leading edge to its pointed end."""
    x, (front, back) = _strut_x(of, index, side), of.strut_ends(index)
    length, root = back - front, of.strut_half_width(index, 0)
    straight = front + min(0.16 * length, 1.6 * root)
    narrow = of.strut_half_width(index, (straight - front) / length)
    shoulder, knee = of.strut_half_width(index, POINTED_SHARE), front + POINTED_SHARE * length
    tip = of.strut_half_width(index, 1.0)
    under, wide = front - 0.6 * root, FLARE * root
    return (
        f"M{at(Point(x - wide, under))}L{at(Point(x - wide, front))}"
        f"Q{at(Point(x - narrow, front + 0.35 * (straight - front)))} {at(Point(x - narrow, straight))}"
        f"L{at(Point(x - shoulder, knee))}L{at(Point(x - tip, back))}"
        f"Q{at(Point(x, back + tip))} {at(Point(x + tip, back))}L{at(Point(x + shoulder, knee))}"
        f"L{at(Point(x + narrow, straight))}"
        f"Q{at(Point(x + narrow, front + 0.35 * (straight - front)))} {at(Point(x + wide, front))}"
        f"L{at(Point(x + wide, under))}Z"
    )


def _strut_x(of: Shape, index: int, side: str) -> float:
    return -of.strut_x(index) if side == "left" else of.strut_x(index)


def canopy(of: Shape) -> str:
    """The whole canopy, reaching forward under the leading edge's centreline."""
    middle = both_halves(of.line.at)
    right = trailing(of, "right")
    left = trailing(of, "left")
    return polyline([middle(i / 20) for i in range(-20, 21)]) + _joined(right, left)


def _joined(right: list[Point], left: list[Point]) -> str:
    inward = [*reversed(right), *left[1:]]
    return "L" + "L".join(at(p) for p in inward) + "Z"


def trailing(of: Shape, side: str) -> list[Point]:
    """Points of the trailing edge from the centre to the tip."""
    points = [Point(x, of.trailing_y(x)) for low, high in of.cells() for x in _steps(low, high, 10)]
    points = list(dict.fromkeys(points))
    return [p.mirrored() for p in points] if side == "left" else points


def _steps(low: float, high: float, count: int) -> list[float]:
    return [low + (high - low) * i / count for i in range(count + 1)]


def seam(of: Shape, fraction: float, side: str) -> list[Point]:
    """A spanwise seam from the centre to where it runs under the leading edge."""
    return _row_line(of, fraction, 0.0, of.reach.x_m, side)


def _row_line(of: Shape, fraction: float, low: float, high: float, side: str) -> list[Point]:
    xs = _dense(of, low, high)
    points = [Point(x, of.chord_y(x, fraction)) for x in xs]
    kept = [p for p in points if p.y_m >= of.rear_y(p.x_m)]
    return [p.mirrored() for p in kept] if side == "left" else kept


def _dense(of: Shape, low: float, high: float) -> list[float]:
    """x values between two, close together where the leading edge is steep."""
    first, last = of.rear_t(low), of.rear_t(high)
    inner = [of.rear(first + (last - first) * i / 14).x_m for i in range(1, 14)]
    return [low, *inner, high]


def panel(of: Shape, cell: int, row: int, side: str) -> str:
    """One piece of canopy, cut off where the tube begins and where the hem begins."""
    low, high = of.cells()[cell]
    shares = (0.0, *of.planform.canopy_seams, 1.0)
    xs = _dense(of, low, high)
    fore = [Point(x, max(of.chord_y(x, shares[row]), of.rear_y(x))) for x in xs]
    aft = [Point(x, max(_aft(of, x, shares[row + 1]), of.rear_y(x))) for x in xs]
    points = _open_stretch(fore, aft)
    return polyline([p.mirrored() for p in points] if side == "left" else points, closed=True)


def _aft(of: Shape, x: float, share: float) -> float:
    return min(of.chord_y(x, share), of.trailing_y(x) - HEM_M)


def _open_stretch(fore: list[Point], aft: list[Point]) -> list[Point]:
    open_at = [i for i, (f, a) in enumerate(zip(fore, aft, strict=True)) if a.y_m - f.y_m > 0.001]
    if not open_at:
        return [fore[0], aft[0]]
    low, high = max(open_at[0] - 1, 0), min(open_at[-1] + 1, len(fore) - 1)
    return [*fore[low : high + 1], *reversed(aft[low : high + 1])]


def hem(of: Shape, cell: int, side: str) -> str:
    """The band along the trailing edge of one cell."""
    low, high = of.cells()[cell]
    xs = _steps(low, high, 10)
    edge = [Point(x, of.trailing_y(x)) for x in xs]
    points = [*edge, *(Point(p.x_m, p.y_m - HEM_M) for p in reversed(edge))]
    return polyline([p.mirrored() for p in points] if side == "left" else points, closed=True)


def inset_panel(of: Shape, cell: int, row: int, side: str, inset_m: float) -> str:
    """The inner part of a panel, `inset_m` within its seams and clear of the struts beside it."""
    low, high = _clear_of_struts(of, cell, inset_m)
    shares = (0.0, *of.planform.canopy_seams, 1.0)
    xs = _steps(low, high, 10)
    fore = [Point(x, max(of.chord_y(x, shares[row]), of.rear_y(x)) + inset_m) for x in xs]
    aft = [Point(x, _aft(of, x, shares[row + 1]) - inset_m) for x in xs]
    kept = _open_stretch(fore, aft)
    return polyline([p.mirrored() for p in kept] if side == "left" else kept, closed=True)


def _clear_of_struts(of: Shape, cell: int, inset_m: float) -> tuple[float, float]:
    low, high = of.cells()[cell]
    halves = {of.strut_x(i): of.strut_half_width(i, 0.2) for i in range(len(of.planform.struts))}
    return low + halves.get(low, 0.0) + inset_m, high - halves.get(high, 0.0) - inset_m
