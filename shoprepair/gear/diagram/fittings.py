"""How the fittings look: handles, boom, bridle points, valves and hoses."""

from math import hypot

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram.svg import at, element, polyline
from shoprepair.gear.diagram.view import View
from shoprepair.gear.shape import Shape
from shoprepair.gear.sites import BOOM_HALF_WIDTH_M, HANDLE_HALF_WIDTH_M, Site

INK = "#15252b"
CLOTH = "#fffdf8"


VALVE_M, RING_M = 0.03, 0.016


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


def _handle(_of: Shape, site: Site, view: View) -> str:
    low, high = site.bar_m or (0.0, 0.0)
    wide, long = 1.9 * HANDLE_HALF_WIDTH_M, 0.16 * (high - low)
    patches = "".join(
        _bar(site.middle.x_m, y - long, y + long, wide, view, "handle-patch", CLOTH) for y in (low, high)
    )
    return patches + _bar(site.middle.x_m, low, high, HANDLE_HALF_WIDTH_M, view, "grip", INK)


def _bar(x: float, low: float, high: float, half: float, view: View, class_: str, fill: str) -> str:
    return element(
        "rect",
        class_=class_,
        x=x - half,
        y=low,
        width=2 * half,
        height=high - low,
        rx=min(half, 0.02),
        fill=fill,
        stroke=INK,
        stroke_width=view.pen_m,
    )


def _boom(_of: Shape, site: Site, view: View) -> str:
    low, high = site.bar_m or (0.0, 0.0)
    x, half = site.middle.x_m, BOOM_HALF_WIDTH_M
    ends = "".join(
        _bar(x, y - 2.2 * half, y + 2.2 * half, 2.1 * half, view, "handle-patch", CLOTH) for y in (low, high)
    )
    tube = _bar(x, low, high, half, view, "grip", INK)
    shine = [Point(x - 0.3 * half, low + 3 * half), Point(x - 0.3 * half, high - 3 * half)]
    line = element(
        "path", d=polyline(shine), class_="shine", fill="none", stroke=CLOTH, stroke_width=view.pen_m
    )
    return ends + tube + line


def _bridle_point(of: Shape, site: Site, view: View) -> str:
    t, _ = of.line.foot(abs(site.middle.x_m), site.middle.y_m)
    radius, left = of.line.radius(t), site.middle.x_m < 0
    corners = [_near(of, t, along * radius, across * radius, left) for along, across in _PATCH]
    ring = max(RING_M, 3.4 * view.pen_m)
    line = [_near(of, t, 0.0, -share * radius, left) for share in (1.0, 1.75)]
    return (
        element(
            "path",
            d=polyline(corners, closed=True),
            class_="bridle-patch",
            fill=CLOTH,
            stroke=INK,
            stroke_width=view.pen_m,
        )
        + element(
            "path",
            d=polyline(line),
            class_="bridle-line",
            fill="none",
            stroke=INK,
            stroke_width=1.2 * view.pen_m,
        )
        + element(
            "circle",
            class_="ring",
            cx=line[0].x_m,
            cy=line[0].y_m,
            r=ring,
            fill=CLOTH,
            stroke=INK,
            stroke_width=1.6 * view.pen_m,
        )
    )


_PATCH = ((-0.34, -1.0), (-0.5, -0.35), (0.0, -0.1), (0.5, -0.35), (0.34, -1.0))
"""Corners of a bridle point's reinforcement in radii, along the tube and across it."""


def _near(of: Shape, t: float, along_m: float, across_m: float, left: bool) -> Point:
    slope, on = of.line.slope(t), of.line.beside(t, across_m)
    size = hypot(*slope)
    right = Point(on.x_m + along_m * slope.x_m / size, on.y_m + along_m * slope.y_m / size)
    return right.mirrored() if left else right


def _inflation_valve(_of: Shape, site: Site, view: View) -> str:
    (x, y), size = site.middle, valve_size(view)
    tab = f"M{at(Point(x, y))}l{size * 1.7:.3f} {size * 0.9:.3f}"
    return (
        element(
            "path",
            d=tab,
            class_="valve-strap",
            fill="none",
            stroke=INK,
            stroke_width=2.2 * view.pen_m,
            stroke_linecap="round",
        )
        + _disc(x, y, size, CLOTH, 1.8 * view.pen_m)
        + _disc(x, y, 0.45 * size, INK, 0)
    )


def _dump_valve(_of: Shape, site: Site, view: View) -> str:
    (x, y), size = site.middle, valve_size(view)
    arm = 0.62 * size
    corners = [
        Point(x + across * arm, y + down * arm) for across, down in ((-1, -1), (1, 1), (-1, 1), (1, -1))
    ]
    cross = polyline(corners[:2]) + polyline(corners[2:])
    return _disc(x, y, size, CLOTH, 1.8 * view.pen_m) + element(
        "path", d=cross, class_="valve-cross", fill="none", stroke=INK, stroke_width=1.3 * view.pen_m
    )


def _disc(x: float, y: float, radius: float, fill: str, pen_m: float) -> str:
    class_ = "valve" if fill == CLOTH else "valve-core"
    return element("circle", class_=class_, cx=x, cy=y, r=radius, fill=fill, stroke=INK, stroke_width=pen_m)


def _hose(of: Shape, site: Site, view: View) -> str:
    """A short hose out of the back of the leading edge into the strut's flank, with its two clamps."""
    index, out = site.strut or 0, -1 if site.middle.x_m < 0 else 1
    strut_x = out * of.strut_x(index)
    half, front = of.strut_half_width(index, 0.06), of.strut_ends(index)[0]
    start_x = strut_x + out * (half + 0.035)
    start = Point(start_x, of.rear_y(start_x) - 0.012)
    end = Point(strut_x + out * 0.7 * half, max(front, start.y_m) + 0.115)
    belly = Point(start_x + out * 0.012, end.y_m - 0.02)
    path = f"M{at(start)}C{at(Point(start_x + out * 0.01, start.y_m + 0.05))} {at(belly)} {at(end)}"
    clamp = polyline([Point(start_x - 0.02, start.y_m + 0.03), Point(start_x + 0.024, start.y_m + 0.03)])
    return (
        _stroke(path, "hose", 0.036, INK)
        + _stroke(path, "hose-core", 0.022, CLOTH)
        + _stroke(clamp, "hose-clamp", 1.8 * view.pen_m, INK)
    )


def _stroke(path: str, class_: str, wide_m: float, ink: str) -> str:
    return element("path", d=path, class_=class_, fill="none", stroke=ink, stroke_width=wide_m)
