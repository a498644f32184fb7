"""How the fittings look: handles, boom, bridle points, valves and hoses."""

from math import hypot

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram.svg import at, dashes, element, polyline
from shoprepair.gear.diagram.view import View
from shoprepair.gear.shape import Shape
from shoprepair.gear.sites import BOOM_HALF_WIDTH_M, HANDLE_HALF_WIDTH_M, Site

INK = "#15252b"
CLOTH = "#fffdf8"


VALVE_M, RING_M = 0.03, 0.016
DUMP_SHARE = 0.8
"""Air goes out through less than it comes in by."""
SEAT_SHARE = 1.55
"""The patch that a valve is welded to, over the valve."""
HOSE_M, BORE_M = 0.036, 0.022


def valve_size(view: View) -> float:
    """Radius of a valve in m, drawn larger than it is where a large kite would shrink it to a speck."""
    return max(VALVE_M, 5.5 * view.pen_m)


def fitting(of: Shape, site: Site, view: View) -> str:
    """One fitting as it is seen from above."""
    draw = {
        "handle": _handle,
        "boom": _boom,
        "bridle point": _bridle_point,
        "inflation": _inflation_valve,
        "dump": _dump_valve,
        "hose": _hose,
    }[site.kind]
    return draw(of, site, view)


def _line(path: str, class_: str, wide_m: float, ink: str = INK, dash: str | None = None) -> str:
    return element(
        "path", d=path, class_=class_, fill="none", stroke=ink, stroke_width=wide_m, stroke_dasharray=dash
    )


def _handle(_of: Shape, site: Site, view: View) -> str:
    """A webbing loop, widest where the hand is, its ends sewn down on patches."""
    low, high = site.bar_m or (0.0, 0.0)
    x, half, long = site.middle.x_m, HANDLE_HALF_WIDTH_M, 0.16 * (high - low)
    patches = "".join(_end_patch(x, y, 1.9 * half, long, view) for y in (low, high))
    flank = [f"{at(Point(x + out * 1.3 * half, site.middle.y_m))}" for out in (-1, 1)]
    ends = [Point(x + out * 0.62 * half, y) for y in (low, high) for out in (-1, 1)]
    grip = f"M{at(ends[0])}L{at(ends[1])}Q{flank[1]} {at(ends[3])}L{at(ends[2])}Q{flank[0]} {at(ends[0])}Z"
    fold = polyline([Point(x, low + long), Point(x, high - long)])
    return (
        patches
        + element("path", d=grip, class_="grip", fill=INK, stroke=INK, stroke_width=view.pen_m)
        + _line(fold, "shine", view.pen_m, CLOTH)
    )


def _boom(_of: Shape, site: Site, view: View) -> str:
    low, high = site.bar_m or (0.0, 0.0)
    x, half = site.middle.x_m, BOOM_HALF_WIDTH_M
    ends = "".join(_end_patch(x, y, 2.1 * half, 2.4 * half, view) for y in (low, high))
    tube = element(
        "rect",
        class_="grip",
        x=x - half,
        y=low,
        width=2 * half,
        height=high - low,
        rx=half,
        fill=INK,
        stroke=INK,
        stroke_width=view.pen_m,
    )
    shine = [Point(x - 0.3 * half, low + 3 * half), Point(x - 0.3 * half, high - 3 * half)]
    return ends + tube + _line(polyline(shine), "shine", view.pen_m, CLOTH)


def _end_patch(x: float, y: float, half: float, long: float, view: View) -> str:
    """A patch under the end of a handle, with the row that sews it down."""
    pen = view.pen_m
    patch = _rounded(x, y, half, long, "handle-patch", CLOTH, pen)
    inset = min(2.4 * pen, 0.4 * half)
    row = _rounded(x, y, half - inset, long - inset, "stitches", "none", 0.7 * pen, dashes(2.4, 2, pen))
    return patch + row


def _rounded(
    x: float,
    y: float,
    half: float,
    long: float,
    class_: str,
    fill: str,
    pen_m: float,
    dash: str | None = None,
) -> str:
    return element(
        "rect",
        class_=class_,
        x=x - half,
        y=y - long,
        width=2 * half,
        height=2 * long,
        rx=min(half, 0.02),
        fill=fill,
        stroke=INK,
        stroke_width=pen_m,
        stroke_dasharray=dash,
    )


def _bridle_point(of: Shape, site: Site, view: View) -> str:
    """A ring on the tube's front at the tip of a doubling cut like a drop, its rows spread from there."""
    t, _ = of.line.foot(abs(site.middle.x_m), site.middle.y_m)
    radius, left, pen = of.line.radius(t), site.middle.x_m < 0, view.pen_m

    def near(along: float, across: float) -> str:
        return at(_near(of, t, along * radius, across * radius, left))

    drop = (
        f"M{near(0, -1)}C{near(-0.24, -0.8)} {near(-0.62, 0.12)} {near(0, 0.12)}"
        f"C{near(0.62, 0.12)} {near(0.24, -0.8)} {near(0, -1)}Z"
    )
    rays = "".join(f"M{near(0, -0.95)}L{near(along, across)}" for along, across in _RAYS)
    ring = _near(of, t, 0.0, -radius, left)
    return (
        element("path", d=drop, class_="bridle-patch", fill=CLOTH, stroke=INK, stroke_width=pen)
        + _line(rays, "stitches", 0.7 * pen, dash=dashes(2.4, 2, pen))
        + _line(f"M{near(0, -1)}L{near(0, -1.75)}", "bridle-line", 1.2 * pen)
        + _disc(ring, max(RING_M, 3.2 * pen), "ring", CLOTH, 1.5 * pen)
    )


_RAYS = ((-0.24, -0.1), (0.0, 0.0), (0.24, -0.1))
"""Where the rows of a bridle point's doubling end, in radii along the tube and across it."""


def _near(of: Shape, t: float, along_m: float, across_m: float, left: bool) -> Point:
    slope, on = of.line.slope(t), of.line.beside(t, across_m)
    size = hypot(*slope)
    right = Point(on.x_m + along_m * slope.x_m / size, on.y_m + along_m * slope.y_m / size)
    return right.mirrored() if left else right


def _inflation_valve(_of: Shape, site: Site, view: View) -> str:
    """A ring with its one-way flap, and the cap beside it on its strap."""
    middle, size, pen = site.middle, valve_size(view), view.pen_m
    cap = Point(middle.x_m + 1.75 * size, middle.y_m + 0.85 * size)
    bend = Point(middle.x_m + 1.35 * size, middle.y_m - 0.15 * size)
    return (
        _seat(site, size, view)
        + _line(f"M{at(middle)}Q{at(bend)} {at(cap)}", "valve-strap", 1.6 * pen)
        + _disc(cap, 0.42 * size, "valve", CLOTH, 1.2 * pen)
        + _disc(middle, size, "valve", CLOTH, 1.7 * pen)
        + _disc(middle, 0.48 * size, "valve-core", INK, 0)
    )


def _dump_valve(_of: Shape, site: Site, view: View) -> str:
    """A smaller ring with the cross of its spokes."""
    (x, y), size = site.middle, DUMP_SHARE * valve_size(view)
    arm = 0.66 * size
    corners = [
        Point(x + across * arm, y + down * arm) for across, down in ((-1, -1), (1, 1), (-1, 1), (1, -1))
    ]
    cross = polyline(corners[:2]) + polyline(corners[2:])
    return (
        _seat(site, size, view)
        + _disc(site.middle, size, "valve", CLOTH, 1.5 * view.pen_m)
        + _line(cross, "valve-cross", 1.1 * view.pen_m)
    )


def _seat(site: Site, size: float, view: View) -> str:
    """The row round a valve's patch; on a strut there is no room for it."""
    if site.strut is not None:
        return ""
    return element(
        "circle",
        class_="stitches",
        cx=site.middle.x_m,
        cy=site.middle.y_m,
        r=SEAT_SHARE * size,
        fill="none",
        stroke=INK,
        stroke_width=0.7 * view.pen_m,
        stroke_dasharray=dashes(2.4, 2, view.pen_m),
    )


def _disc(at_: Point, radius: float, class_: str, fill: str, pen_m: float) -> str:
    return element(
        "circle", class_=class_, cx=at_.x_m, cy=at_.y_m, r=radius, fill=fill, stroke=INK, stroke_width=pen_m
    )


def _hose(of: Shape, site: Site, view: View) -> str:
    """A short hose from the back of the leading edge into the strut, a port and a clamp at each end."""
    index, out = site.strut or 0, -1 if site.middle.x_m < 0 else 1
    strut_x = out * of.strut_x(index)
    half, front = of.strut_half_width(index, 0.06), of.strut_ends(index)[0]
    start_x = strut_x + out * (half + 0.04)
    start = Point(start_x, of.rear_y(start_x) - 0.016)
    end = Point(strut_x + out * 0.55 * half, max(front, start.y_m) + 0.125)
    belly = Point(start_x + out * 0.02, end.y_m - 0.012)
    path = f"M{at(start)}C{at(Point(start_x + out * 0.012, start.y_m + 0.055))} {at(belly)} {at(end)}"
    down, across = start.y_m + 0.042, 0.62 * HOSE_M
    clamps = polyline([Point(start_x - across, down), Point(start_x + across, down)]) + _clamp(belly, end)
    pen = view.pen_m
    return (
        _line(path, "hose", HOSE_M)
        + _line(path, "hose-core", BORE_M, CLOTH)
        + _line(clamps, "hose-clamp", 1.5 * pen)
        + "".join(_disc(port, 0.56 * HOSE_M, "ring", CLOTH, 1.2 * pen) for port in (start, end))
    )


def _clamp(belly: Point, end: Point) -> str:
    """Across the hose, a little before its end."""
    along = Point(end.x_m - belly.x_m, end.y_m - belly.y_m)
    size = hypot(*along)
    on = Point(end.x_m - 0.036 * along.x_m / size, end.y_m - 0.036 * along.y_m / size)
    aside = Point(-0.62 * HOSE_M * along.y_m / size, 0.62 * HOSE_M * along.x_m / size)
    return polyline(Point(on.x_m + way * aside.x_m, on.y_m + way * aside.y_m) for way in (-1, 1))
