"""Where the fittings sit: handles, boom, bridle points, valves, hoses, each with the room a finger gets."""

from dataclasses import dataclass
from functools import lru_cache
from math import hypot

from shoprepair.gear.curve import Point
from shoprepair.gear.planform import Fitting, Planform
from shoprepair.gear.shape import Shape, shape
from shoprepair.mechanics.description import Element

HANDLE_HALF_WIDTH_M = 0.022
BOOM_HALF_WIDTH_M = 0.017
TOUCH_M = 0.04
"""A pin this near a valve, hose or bridle point is on it."""
HANDLE_TOUCH_M = 0.03


@dataclass(frozen=True, slots=True)
class Site:
    """One fitting: round about its middle, or a bar from `bar_m` to `bar_m` along the centre strut."""

    region: str
    element: Element
    kind: str
    """handle, boom, bridle point, inflation, dump or hose."""
    middle: Point
    number: int
    """Counted outwards or aft among its like, from 1."""
    bar_m: tuple[float, float] | None = None
    strut: int | None = None
    """Index of the strut that a valve or hose sits at."""

    def distance_m(self, x_m: float, y_m: float) -> float:
        """From its outline, as far as a finger is concerned: 0 or less is on it."""
        if self.bar_m is None:
            return hypot(x_m - self.middle.x_m, y_m - self.middle.y_m) - TOUCH_M
        beyond = max(self.bar_m[0] - y_m, y_m - self.bar_m[1], 0.0)
        return hypot(x_m - self.middle.x_m, beyond) - HANDLE_TOUCH_M


@lru_cache(maxsize=512)
def sites(planform: Planform) -> tuple[Site, ...]:
    """Every fitting of a planform, each once."""
    of = shape(planform)
    return (*_handles(of), *_bridle_points(of), *_valves(of))


def _handles(of: Shape) -> tuple[Site, ...]:
    planform = of.planform
    if not planform.handle_shares or not planform.struts or not planform.struts[0].is_centre:
        return ()
    front, back = of.strut_ends(0)
    kind = "boom" if planform.boom else "handle"
    bars = [tuple(front + share * (back - front) for share in shares) for shares in planform.handle_shares]
    return tuple(
        Site(f"{kind}-{n}", Element.HANDLE, kind, Point(0.0, (low + high) / 2), n, (low, high))
        for n, (low, high) in enumerate(bars, 1)
    )


def _bridle_points(of: Shape) -> tuple[Site, ...]:
    return tuple(
        Site(f"bridle-{side}-{n}", Element.BRIDLE_POINT, "bridle point", middle, n)
        for n, station in enumerate(of.planform.bridle_stations, 1)
        for side, middle in _both_sides(_front(of, station), station)
    )


def _front(of: Shape, station: float) -> Point:
    t = of.line.t_at_station(station)
    return of.line.beside(t, -0.8 * of.line.radius(t))


def _both_sides(right: Point, station: float) -> tuple[tuple[str, Point], ...]:
    if station == 0:
        return (("centre", right),)
    return ("left", right.mirrored()), ("right", right)


def _valves(of: Shape) -> tuple[Site, ...]:
    counts: dict[str, int] = {}
    found = []
    for fitting in of.planform.fittings:
        counts[fitting.kind] = number = counts.get(fitting.kind, 0) + 1
        element = Element.HOSE if fitting.kind == "hose" else Element.VALVE
        strut = None if fitting.strut_share is None else strut_near(of.planform, fitting.station)
        middle = valve_point(of, fitting)
        found.append(Site(f"{fitting.kind}-{number}", element, fitting.kind, middle, number, strut=strut))
    return tuple(found)


def valve_point(of: Shape, fitting: Fitting) -> Point:
    """Middle of a valve; a hose passes beside the strut's mouth on its outer side."""
    out = -1 if fitting.station < 0 else 1
    if fitting.strut_share is None:
        t = of.line.t_at_station(abs(fitting.station))
        on = of.line.beside(t, 0.4 * of.line.radius(t))
        return Point(out * on.x_m, on.y_m)
    index = strut_near(of.planform, fitting.station)
    front, back = of.strut_ends(index)
    aside = 1.25 * of.strut_half_width(index, fitting.strut_share) if fitting.kind == "hose" else 0.0
    return Point(out * (of.strut_x(index) + aside), front + fitting.strut_share * (back - front))


def strut_near(planform: Planform, station: float) -> int:
    """Index of the strut that meets the leading edge nearest to a station."""
    return min(range(len(planform.struts)), key=lambda i: abs(planform.struts[i].station - abs(station)))
