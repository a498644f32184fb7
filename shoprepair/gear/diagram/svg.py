"""Writing SVG: elements and smooth paths. No inline style ever, only classes and attributes."""

from collections.abc import Callable, Iterable
from itertools import pairwise

from shoprepair.gear.curve import Point
from shoprepair.shop.charts.svg import element, group, number

__all__ = [
    "Curve",
    "at",
    "continued",
    "dashes",
    "element",
    "group",
    "mirrored",
    "number",
    "on_side",
    "polyline",
    "smooth",
]

Curve = Callable[[float], Point]


def at(point: Point, digits: int = 3) -> str:
    return f"{number(point.x_m, digits)} {number(point.y_m, digits)}"


def dashes(on_pens: float, off_pens: float, pen_m: float) -> str:
    """A row of stitches for paper, as long as its pen is wide."""
    return f"{on_pens * pen_m:.4f} {off_pens * pen_m:.4f}"


def polyline(points: Iterable[Point], *, closed: bool = False, digits: int = 3) -> str:
    """Path data of straight lines."""
    return "M" + "L".join(at(p, digits) for p in points) + ("Z" if closed else "")


def smooth(curve: Curve, start: float, end: float, pieces: int) -> str:
    """Path data of cubic pieces that touch a curve with its own tangents."""
    return f"M{at(curve(start))}{continued(curve, start, end, pieces)}"


def continued(curve: Curve, start: float, end: float, pieces: int) -> str:
    """The same as the continuation of a path that already stands at the curve's start."""
    knots = [start + i * (end - start) / pieces for i in range(pieces + 1)]
    return "".join(_piece(curve, low, high, start, end) for low, high in pairwise(knots))


def _piece(curve: Curve, low: float, high: float, start: float, end: float) -> str:
    before, after, third = curve(low), curve(high), (high - low) / 3
    leaving, arriving = _tangent(curve, low, start, end), _tangent(curve, high, start, end)
    first = Point(before.x_m + leaving.x_m * third, before.y_m + leaving.y_m * third)
    second = Point(after.x_m - arriving.x_m * third, after.y_m - arriving.y_m * third)
    return f"C{at(first)} {at(second)} {at(after)}"


def _tangent(curve: Curve, at_t: float, start: float, end: float) -> Point:
    # One-sided at the ends: beyond them a curve may bend the other way, as at the centre or a strut.
    reach = 1e-4 * (end - start)
    low = at_t if at_t == start else at_t - reach
    high = at_t if at_t == end else at_t + reach
    before, after = curve(low), curve(high)
    return Point((after.x_m - before.x_m) / (high - low), (after.y_m - before.y_m) / (high - low))


def mirrored(curve: Curve) -> Curve:
    """The same curve on the left."""
    return lambda t: curve(t).mirrored()


def on_side(side: str, curve: Curve) -> Curve:
    return mirrored(curve) if side == "left" else curve
