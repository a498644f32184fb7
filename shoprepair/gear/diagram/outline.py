"""The outlines of the parts as path data: segments of the leading edge, struts, panels, hem, silhouette."""

from math import hypot

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram.fewer import fewer
from shoprepair.gear.diagram.svg import Curve, at, continued, on_side, polyline, smooth
from shoprepair.gear.shape import HEM_M, POINTED_SHARE, Shape

UNSEEN_M = 0.002
"""A line that lies no farther off looks the same on any screen, and on paper as well."""
CAP = 0.35
"""How far the end of a leading edge bulges, as a share of its radius."""
FLARE = 1.3
"""A strut is this much wider where it grows out of the leading edge."""
BOW = 0.14
"""How far a seam round a tube bows over its radius: it is drawn as round things look, toward the tip."""
PIECES = 2
HALF_PIECES = 4
"""A half of the leading edge in so many cubic pieces lies within a third of a millimetre of its curve."""
CORNER_M = 0.07
"""How far the corner between tip and trailing edge is rounded."""
PATCH_M = 0.1
"""How far the patch of that corner reaches beyond its rounding."""


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
    """A stretch of the leading edge over its whole width, its ends bowed as its seams are."""
    front, rear = on_side(side, along_tube(of, -1)), on_side(side, along_tube(of, 1))
    cap = _cap(of, side) if capped else bowed(of, end, side, rear(end))
    back = continued(rear, end, start, PIECES)
    return smooth(front, start, end, PIECES) + cap + back + bowed(of, start, side, front(start)) + "Z"


def bowed(of: Shape, t: float, side: str, to: Point) -> str:
    """A line round the leading edge from where a path stands to its other rim, straight at the centre."""
    if t <= 0:
        return f"L{at(to)}"
    on, slope, reach = of.line.at(t), of.line.slope(t), 2 * BOW * of.line.radius(t)
    size = hypot(*slope)
    bend = Point(on.x_m + reach * slope.x_m / size, on.y_m + reach * slope.y_m / size)
    return f"Q{at(bend.mirrored() if side == 'left' else bend)} {at(to)}"


def _cap(of: Shape, side: str, *, inward: bool = True) -> str:
    """The rounded end of a leading edge, from its front to its rear or back again."""
    slope, reach = of.line.slope(1.0), 2 * CAP * of.line.radius(1.0)
    size = hypot(*slope)
    step = Point(reach * slope.x_m / size, reach * slope.y_m / size)
    ends = [of.line.beside(1.0, sign * of.line.radius(1.0)) for sign in (-1, 1)]
    beyond = [Point(end.x_m + step.x_m, end.y_m + step.y_m) for end in ends]
    path = [*beyond, ends[1]] if inward else [*reversed(beyond), ends[0]]
    return "C" + " ".join(at(p.mirrored() if side == "left" else p) for p in path)


def cap_from(of: Shape, across: float) -> tuple[str, str]:
    """The rear of both rounded ends, from a share of the radius on: right and left, as a path goes on."""
    ends = [of.line.beside(1.0, sign * of.line.radius(1.0)) for sign in (-1, 1)]
    slope, reach = of.line.slope(1.0), 2 * CAP * of.line.radius(1.0)
    step = Point(*(reach * part / hypot(*slope) for part in slope))
    low, high = 0.0, 1.0
    for _ in range(20):
        share = (low + high) / 2
        low, high = (share, high) if 2 * share * share * (3 - 2 * share) - 1 < across else (low, share)
    # The end of the cubic from there on [de Casteljau]; both of its inner corners lie the step beyond an end.
    front, rear = (Point(end.x_m + step.x_m, end.y_m + step.y_m) for end in ends)
    inner, last = _mixed(front, rear, share), _mixed(rear, ends[1], share)
    second = _mixed(inner, last, share)
    start = _mixed(_mixed(_mixed(ends[0], front, share), inner, share), second, share)
    left = [p.mirrored() for p in (last, second, start)]
    right = f"L{at(start)}C{at(second)} {at(last)} {at(ends[1])}"
    return right, f"C{at(left[0])} {at(left[1])} {at(left[2])}Z"


def _mixed(a: Point, b: Point, share: float) -> Point:
    return Point(a.x_m + share * (b.x_m - a.x_m), a.y_m + share * (b.y_m - a.y_m))


def tube_outline(of: Shape) -> str:
    """The whole leading edge from tip to tip."""
    front, rear = both_halves(along_tube(of, -1)), both_halves(along_tube(of, 1))
    return (
        smooth(front, -1, 0, HALF_PIECES)
        + continued(front, 0, 1, HALF_PIECES)
        + _cap(of, "right")
        + continued(rear, 1, 0, HALF_PIECES)
        + continued(rear, 0, -1, HALF_PIECES)
        + _cap(of, "left", inward=False)
        + "Z"
    )


def both_halves(right: Curve) -> Curve:
    """A curve of the right half run through from -1 at the left tip to 1 at the right."""
    return lambda t: right(t) if t >= 0 else right(-t).mirrored()


def strut(of: Shape, index: int, side: str) -> str:
    """A strut from under the leading edge to its pointed end."""
    left, right = _strut_flank(of, index, -1), _strut_flank(of, index, 1)
    if side == "left":
        left, right = [p.mirrored() for p in right], [p.mirrored() for p in left]
    tip_x, tip_y = (left[-1].x_m + right[-1].x_m) / 2, left[-1].y_m
    nose = Point(tip_x, tip_y + (right[-1].x_m - tip_x))
    under, mouth, bend, straight, knee, tip = (at(p) for p in left)
    rear = [at(p) for p in right]
    return (
        f"M{under}L{mouth}Q{bend} {straight}L{knee}L{tip}Q{at(nose)} {rear[5]}"
        f"L{rear[4]}L{rear[3]}Q{rear[2]} {rear[1]}L{rear[0]}Z"
    )


def collar(of: Shape, index: int) -> tuple[float, float]:
    """y of the row that ends a strut's collar at the leading edge, and half the strut's width there."""
    straight = _strut_flank(of, index, 1)[3]
    return straight.y_m, straight.x_m - of.strut_x(index)


def _strut_flank(of: Shape, index: int, out: int) -> list[Point]:
    """One flank of a strut on the right: under the leading edge, mouth, bend, straight, knee, tip."""
    x, (front, back) = of.strut_x(index), of.strut_ends(index)
    length, root = back - front, of.strut_half_width(index, 0)
    wide = x + out * FLARE * root
    mouth = of.rear_y(wide) if abs(wide) < of.reach.x_m else front
    straight = max(mouth, front) + min(0.16 * length, 1.6 * root)
    narrow = x + out * of.strut_half_width(index, (straight - front) / length)
    knee = front + POINTED_SHARE * length
    return [
        Point(wide, mouth - 0.5 * root),
        Point(wide, mouth),
        Point(narrow, mouth + 0.35 * (straight - mouth)),
        Point(narrow, straight),
        Point(x + out * of.strut_half_width(index, POINTED_SHARE), knee),
        Point(x + out * of.strut_half_width(index, 1.0), back),
    ]


def canopy(of: Shape) -> str:
    """The whole canopy, reaching forward under the leading edge's centreline."""
    middle = both_halves(of.line.at)
    reach = of.line.t_at_station(of.reach.x_m / of.planform.half_span_m)
    fore = smooth(middle, -reach, 0, 6) + continued(middle, 0, reach, 6)
    return (
        fore
        + _tip(of, "right")
        + trailing_edge(of, "right", inward=True)
        + trailing_edge(of, "left")
        + (_tip(of, "left", inward=False) + "Z")
    )


def _tip(of: Shape, side: str, *, inward: bool = True) -> str:
    """The short edge from the end of the tube to the trailing edge, its corner rounded."""
    sign, x, low = (-1 if side == "left" else 1), of.reach.x_m, of.trailing_y(of.reach.x_m)
    before = Point(sign * x, low - CORNER_M)
    inner = Point(sign * (x - CORNER_M), of.trailing_y(x - CORNER_M))
    corner = Point(sign * x, low)
    ends = (before, inner) if inward else (inner, before)
    return f"L{at(ends[0])}Q{at(corner)} {at(ends[1])}"


def corner(of: Shape, side: str, inside_m: float = 0.0) -> str:
    """The patch on the corner between tip and trailing edge, round inside; or the row so far inside it."""
    sign, x = (-1 if side == "left" else 1), of.reach.x_m
    low, size = of.trailing_y(x), PATCH_M + CORNER_M
    up = max(low - size, of.reach.y_m + CORNER_M)

    def on(across: float, y: float) -> Point:
        return Point(sign * across, y)

    flat = x - size + inside_m
    aft = [on(x - CORNER_M + share * (flat - x + CORNER_M), 0.0) for share in (0.0, 0.5, 1.0)]
    along = "L".join(at(Point(p.x_m, of.trailing_y(abs(p.x_m)) - 0.4 * inside_m)) for p in aft)
    top, full = on(x - 0.4 * inside_m, up + inside_m), on(flat + 0.15 * size, low - 0.45 * size + inside_m)
    turn = on(x - 0.4 * inside_m, low - 0.4 * inside_m)
    side_edge = on(x - 0.4 * inside_m, low - CORNER_M)
    return f"M{at(top)}L{at(side_edge)}Q{at(turn)} {along}Q{at(full)} {at(top)}Z"


def trailing_edge(of: Shape, side: str, *, inward: bool = False) -> str:
    """The trailing edge of one half up to its rounded corner, continuing a path."""
    curve = on_side(side, lambda x: Point(x, of.trailing_y(x)))
    cells = [(low, min(high, of.reach.x_m - CORNER_M)) for low, high in of.cells()]
    stretches = [(high, low) for low, high in reversed(cells)] if inward else cells
    return "".join(
        continued(curve, low, high, max(2, round(abs(high - low) / 0.5))) for low, high in stretches
    )


def trailing(of: Shape, side: str) -> list[Point]:
    """Points of the trailing edge from the centre to the tip."""
    points = [Point(x, of.trailing_y(x)) for low, high in of.cells() for x in _steps(low, high, 10)]
    points = list(dict.fromkeys(points))
    return [p.mirrored() for p in points] if side == "left" else points


def _steps(low: float, high: float, count: int) -> list[float]:
    return [low + (high - low) * i / count for i in range(count + 1)]


def seam(of: Shape, fraction: float, side: str, beside_m: float = 0.0) -> str:
    """A spanwise seam from the centre to where it runs under the leading edge, or a row beside it."""
    curve = on_side(side, lambda t: Point(x := of.rear(t).x_m, of.chord_y(x, fraction) + beside_m))
    end = _where_it_meets_the_tube(of, fraction)
    path = f"M{at(curve(0.0))}"
    for low, high in of.cells():
        start, stop = of.rear_t(low), min(of.rear_t(high), end)
        if stop > start:
            path += continued(curve, start, stop, max(2, round((high - low) / 0.5)))
    return path


def _where_it_meets_the_tube(of: Shape, fraction: float) -> float:
    low, high = 0.0, 1.0
    for _ in range(30):
        t = (low + high) / 2
        rear = of.rear(t)
        low, high = (t, high) if of.chord_y(rear.x_m, fraction) > rear.y_m else (low, t)
    return low


def _dense(of: Shape, low: float, high: float) -> list[float]:
    """x values between two, close together where the leading edge is steep."""
    first, last = of.rear_t(low), of.rear_t(high)
    inner = [of.rear(first + (last - first) * i / 10).x_m for i in range(1, 10)]
    return [low, *inner, high]


def panel(of: Shape, cell: int, row: int, side: str) -> str:
    """One piece of canopy, cut off where the tube begins and where the hem begins."""
    low, high = of.cells()[cell]
    shares = (0.0, *of.planform.canopy_seams, 1.0)
    xs = _dense(of, low, high)
    fore = [Point(x, max(of.chord_y(x, shares[row]), of.rear_y(x))) for x in xs]
    aft = [Point(x, max(_aft(of, x, shares[row + 1]), of.rear_y(x))) for x in xs]
    points = fewer(_open_stretch(fore, aft), UNSEEN_M)
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
    edge = on_side(side, lambda x: Point(x, of.trailing_y(x)))
    inner = on_side(side, lambda x: Point(x, of.trailing_y(x) - HEM_M))
    end = f"L{at(inner(high))}"
    return smooth(edge, low, high, 3) + end + continued(inner, high, low, 3) + "Z"


def hem_line(of: Shape, side: str, beside_m: float = 0.0) -> str:
    """Where the hem is folded to over one half, or a row of stitches beside it."""
    inner = on_side(side, lambda x: Point(x, of.trailing_y(x) - HEM_M + beside_m))
    cells = [(low, min(high, of.reach.x_m - HEM_M)) for low, high in of.cells()]
    first = f"M{at(inner(0.0))}"
    return first + "".join(
        continued(inner, low, high, max(2, round((high - low) / 0.5))) for low, high in cells
    )


def pane(of: Shape, cell: int, row: int, side: str, beyond_m: float = 0.0) -> str:
    """The clear part of a window panel, its corners rounded; or the row of stitches so far round it."""
    clear = of.pane(cell, row)
    (low, high), (fore, aft) = clear.xs_m, clear.fractions
    low, high = low - beyond_m, high + beyond_m
    fore, aft = (
        share + beyond_m * sign / of.planform.chord_centre_m for share, sign in ((fore, -1), (aft, 1))
    )
    upper = on_side(side, lambda x: Point(x, of.chord_y(x, fore)))
    lower = on_side(side, lambda x: Point(x, of.chord_y(x, aft)))
    turn = min(0.05, 0.2 * (high - low))
    inner, outer = (_between(upper(x), lower(x), turn) for x in (low, high))
    return (
        smooth(upper, low + turn, high - turn, 2)
        + f"Q{at(upper(high))} {at(outer[0])}L{at(outer[1])}Q{at(lower(high))} {at(lower(high - turn))}"
        + continued(lower, high - turn, low + turn, 2)
        + f"Q{at(lower(low))} {at(inner[1])}L{at(inner[0])}Q{at(upper(low))} {at(upper(low + turn))}Z"
    )


def _between(top: Point, foot: Point, turn: float) -> tuple[Point, Point]:
    """Two points of an upright side, a corner's room from its ends."""
    room = min(turn, 0.3 * (foot.y_m - top.y_m))
    return Point(top.x_m, top.y_m + room), Point(foot.x_m, foot.y_m - room)
