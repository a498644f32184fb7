"""How the fittings look: handles, boom, bridle points, valves and hoses."""

from math import hypot

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram.svg import at, element, polyline
from shoprepair.gear.diagram.view import View
from shoprepair.gear.shape import Shape
from shoprepair.gear.sites import BOOM_HALF_WIDTH_M, HANDLE_HALF_WIDTH_M, Site

INK = "#15252b"
CLOTH = "#fffdf8"


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
    ring = 0.016
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


def _inflation_valve(of: Shape, site: Site, view: View) -> str:
    x, y = site.middle
    size = 0.03
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


def _dump_valve(of: Shape, site: Site, view: View) -> str:
    x, y = site.middle
    size, arm = 0.03, 0.03 * 0.62
    cross = f"M{at(Point(x - arm, y - arm))}L{at(Point(x + arm, y + arm))}M{at(Point(x - arm, y + arm))}L{at(Point(x + arm, y - arm))}"
    return _disc(x, y, size, CLOTH, 1.8 * view.pen_m) + element(
        "path", d=cross, class_="valve-cross", fill="none", stroke=INK, stroke_width=1.3 * view.pen_m
    )


def _disc(x: float, y: float, radius: float, fill: str, pen_m: float) -> str:
    class_ = "valve" if fill == CLOTH else "valve-core"
    return element("circle", class_=class_, cx=x, cy=y, r=radius, fill=fill, stroke=INK, stroke_width=pen_m)


def _hose(of: Shape, site: Site, view: View) -> str:
    index = site.strut or 0
    out = -1 if site.middle.x_m < 0 else 1
    strut_x = out * of.strut_x(index)
    half, front = of.strut_half_width(index, 0.06), of.strut_ends(index)[0]
    reach = max(1.2 * half, 0.06)
    start = Point(strut_x + out * (half + 0.03), of.rear_y(abs(strut_x + out * (half + 0.03))) - 0.02)
    end = Point(strut_x + out * 0.45 * half, front + 1.5 * reach)
    path = (
        f"M{at(start)}C{at(Point(start.x_m + out * 0.012, start.y_m + 0.6 * reach))} "
        f"{at(Point(start.x_m, end.y_m))} {at(end)}"
    )
    return element(
        "path",
        d=path,
        class_="hose",
        fill="none",
        stroke=INK,
        stroke_width=7.5 * view.pen_m,
        stroke_linecap="butt",
    ) + element(
        "path",
        d=path,
        class_="hose-core",
        fill="none",
        stroke=CLOTH,
        stroke_width=4.6 * view.pen_m,
        stroke_linecap="butt",
    )
