"""What is found on an inflatable: where, what kind, and the answers to the questions about it."""

from dataclasses import dataclass, field, replace
from typing import Any

from shoprepair.gear.describe import planform
from shoprepair.gear.geometry import Point, point
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import shape
from shoprepair.gear.sites import sites
from shoprepair.jobs import damages
from shoprepair.jobs.models import Damage, Job
from shoprepair.mechanics.description import Element, FindingKind, Place
from shoprepair.shop.models import Staff
from shoprepair.shop.units import Units, read_length

FITTINGS = (Element.HANDLE, Element.BRIDLE_POINT, Element.VALVE, Element.HOSE)
_MEASURED = ("length", "stitched_left")


@dataclass(frozen=True, slots=True)
class Find:
    """One damage to be: `which` counts fittings of an element, `answers` go by the fields' names."""

    place: Place
    kind: FindingKind | None
    answers: dict[str, Any] = field(default_factory=dict)
    which: int = 0
    photo: bool = False


def edge(kind: FindingKind | None, station: float, side: str = "right", **answers: Any) -> Find:
    """On the leading edge."""
    return Find(Place(element=Element.LEADING_EDGE, station=station, side=side), kind, answers)


def strut(kind: FindingKind, index: int, fraction: float, side: str = "centre", **answers: Any) -> Find:
    """On a strut, `fraction` of the way to the trailing edge."""
    place = Place(element=Element.STRUT, station=0.0, side=side, strut=index, fraction=fraction)
    return Find(place, kind, answers)


def canopy(kind: FindingKind, station: float, fraction: float, side: str = "right", **answers: Any) -> Find:
    """On the canopy, `fraction` of the chord behind the leading edge; on its hem near 1."""
    return Find(Place(element=Element.CANOPY, station=station, side=side, fraction=fraction), kind, answers)


def fitting(kind: FindingKind, element: Element, which: int = 0, **answers: Any) -> Find:
    """On a handle, bridle point, valve or hose, counted as the drawing counts them."""
    return Find(Place(element=element, station=0.0), kind, answers, which)


def window(kind: FindingKind, **answers: Any) -> Find:
    """In the middle of the first window."""
    return Find(Place(element=Element.WINDOW, station=0.0), kind, answers)


def with_photo(find: Find) -> Find:
    """The same, photographed."""
    return replace(find, photo=True)


def pin(job: Job, find: Find, *, who: Staff) -> Damage:
    """Pin it on the job as a finger would, and answer what is asked."""
    spot = where(planform(job.inflatable.pattern), find)
    damage = damages.pin(job, spot.x_m, spot.y_m, who=who)
    if find.kind is None:
        return damage
    answers: dict[str, Any] = {
        name: read_length(value, Units()) if name in _MEASURED else value
        for name, value in find.answers.items()
    }
    return damages.answer(damage, kind=find.kind.value, who=who, **answers)


def where(of: Planform, find: Find) -> Point:
    """The point of the drawing where it lies, to the millimetre."""
    spot = _exactly(of, find)
    return Point(round(spot.x_m, 3), round(spot.y_m, 3))


def _exactly(of: Planform, find: Find) -> Point:
    if find.place.element in FITTINGS:
        return [site.middle for site in sites(of) if site.element == find.place.element][find.which]
    if find.place.element == Element.WINDOW:
        return _in_first_window(of)
    return point(of, find.place)


def _in_first_window(of: Planform) -> Point:
    """The middle of the first window of a planform that has one."""
    cell, row = min(of.windows)
    low, high = shape(of).cells()[cell]
    seams = (0.0, *of.canopy_seams, 1.0)
    station = (low + high) / 2 / of.half_span_m
    fraction = (seams[row] + seams[row + 1]) / 2
    return point(of, Place(element=Element.CANOPY, station=station, side="right", fraction=fraction))
