"""Places that a person can name without a drawing, in words that a twelve-year-old reads.

A name stands for a zone. It counts as the zone's worst end, the nearest to the centre, so that whoever names
the place is never answered more mildly than whoever taps it.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from shoprepair.gear.geometry import OffTheDrawing, Spot, point, resolve
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import HEM_M, shape
from shoprepair.gear.sites import Site, sites
from shoprepair.mechanics.description import Element, Place

MIDDLE_STATION = 0.33
"""From here on a front tube is no longer near its centre [common practice, no source]."""
TIP_STATION = 0.66
"""From here on it is near its tip [common practice, no source]."""
OUTER_STATION = 0.5
"""From here on the cloth between the tubes lies further out."""
A_HAIR = 0.01
"""A pin stands this far inside its zone, so that no rounding carries it out."""
SHARES = (0.5, 0.48, 0.88, 0.12, 0.45, 0.6, 0.8)
"""Where along a strut or chord a pin is tried, until one lies on no fitting."""


@dataclass(frozen=True, slots=True)
class Named:
    """A place by its name on one planform: where it counts as lying, and where its pin stands."""

    code: str
    label: Promise
    place: Place
    x_m: float
    y_m: float


@dataclass(frozen=True, slots=True)
class Zone:
    """A name, what it lies on, and the station from which it is meant on a tube or the canopy."""

    code: str
    element: Element
    label: Promise
    begins: float = 0.0


PLACES = (
    Zone("front-centre", Element.LEADING_EDGE, _("Front tube, near the middle")),
    Zone("front-middle", Element.LEADING_EDGE, _("Front tube, half way out"), MIDDLE_STATION),
    Zone("front-tip", Element.LEADING_EDGE, _("Front tube, near the tip"), TIP_STATION),
    Zone("strut-centre", Element.STRUT, _("Middle strut")),
    Zone("strut-side", Element.STRUT, _("Side strut"), 0.01),
    Zone("canopy-centre", Element.CANOPY, _("Cloth, near the middle")),
    Zone("canopy-outer", Element.CANOPY, _("Cloth, further out"), OUTER_STATION),
    Zone("window", Element.WINDOW, _("Clear window")),
    Zone("back-edge", Element.TRAILING_EDGE, _("Back edge")),
    Zone("valve", Element.VALVE, _("Valve")),
    Zone("hose", Element.HOSE, _("Hose from the front tube to a strut")),
    Zone("handle", Element.HANDLE, _("Handle")),
    Zone("bridle", Element.BRIDLE_POINT, _("Where a line meets the front tube")),
)
_BY_CODE = {zone.code: zone for zone in PLACES}
CODES = tuple(_BY_CODE)


def label(code: str) -> Promise:
    """A place's name in the reader's language. Raises KeyError for a code that is none."""
    return _BY_CODE[code].label


def element(code: str) -> Element:
    """What a named place lies on. Raises KeyError for a code that is none."""
    return _BY_CODE[code].element


@lru_cache(maxsize=64)
def named(planform: Planform) -> tuple[Named, ...]:
    """Every named place that a planform has, in the order of `PLACES`."""
    found = ((zone, _FINDERS[zone.element](planform, zone)) for zone in PLACES)
    return tuple(Named(zone.code, zone.label, *at) for zone, at in found if at)


def by_code(planform: Planform, code: str) -> Named | None:
    """One of them; None where this planform has no such place."""
    return next((each for each in named(planform) if each.code == code), None)


def code_at(planform: Planform, x_m: float, y_m: float) -> str:
    """The name of the zone that a point of the drawing lies in. Raises OffTheDrawing."""
    return code_of(resolve(planform, x_m, y_m).place)


def code_of(place: Place) -> str:
    """The name of the zone that a place lies in."""
    station = place.station if place.element is not Element.STRUT else float(place.side != "centre")
    zones = [zone for zone in PLACES if zone.element is place.element and zone.begins <= station]
    return zones[-1].code if zones else next(z.code for z in PLACES if z.element is place.element)


_At = tuple[Place, float, float]


def _front(planform: Planform, zone: Zone) -> _At | None:
    side = "right" if zone.begins else "centre"
    place = Place(element=Element.LEADING_EDGE, station=zone.begins, side=side)
    return (place, *point(planform, replace(place, station=zone.begins + A_HAIR if zone.begins else 0.0)))


def _strut(planform: Planform, zone: Zone) -> _At | None:
    """The joint at the front tube, where a strut is widest; its pin stands on bare strut."""
    wanted = [i for i, strut in enumerate(planform.struts) if strut.is_centre is not bool(zone.begins)]
    if not wanted:
        return None
    strut = wanted[0]
    side = "centre" if planform.struts[strut].is_centre else "right"
    station = planform.struts[strut].station
    place = Place(element=Element.STRUT, station=station, side=side, strut=strut, fraction=0.0)
    pins = (point(planform, replace(place, fraction=share)) for share in SHARES)
    return next(((place, x, y) for x, y in pins if _lies_on(planform, Element.STRUT, x, y)), None)


def _canopy(planform: Planform, zone: Zone) -> _At | None:
    place = Place(element=Element.CANOPY, station=zone.begins, side="right", fraction=0.5)
    aside = (0.03, 0.12, 0.2, 0.3)
    pins = ((zone.begins * planform.half_span_m + off, share) for off in aside for share in (0.55, 0.3, 0.8))
    spots = ((x, shape(planform).chord_y(x, share)) for x, share in pins)
    return next(((place, x, y) for x, y in spots if _lies_on(planform, Element.CANOPY, x, y)), None)


def _window(planform: Planform, _zone: Zone) -> _At | None:
    if not planform.windows:
        return None
    pane = shape(planform).pane(*min(planform.windows))
    x = sum(pane.xs_m) / 2
    y = shape(planform).chord_y(x, sum(pane.fractions) / 2)
    spot = resolve(planform, x, y)
    return replace(spot.place, station=pane.xs_m[0] / planform.half_span_m), x, y


def _back_edge(planform: Planform, _zone: Zone) -> _At | None:
    x = 0.06 * planform.half_span_m
    y = shape(planform).trailing_y(x) - HEM_M / 2
    return replace(resolve(planform, x, y).place, station=0.0), x, y


def _fitting(planform: Planform, zone: Zone) -> _At | None:
    """The innermost fitting of its kind, on the right or in the middle."""
    of = [site for site in sites(planform) if site.element is zone.element and site.middle.x_m >= 0]
    if not of:
        return None
    site = min(of, key=_inward)
    place = resolve(planform, *site.middle).place
    return place, *site.middle


def _inward(site: Site) -> tuple[bool, float]:
    """Inflation valves before dump valves, then the nearest to the centre."""
    return site.kind == "dump", site.middle.x_m


def _lies_on(planform: Planform, element: Element, x_m: float, y_m: float) -> bool:
    try:
        return resolve(planform, x_m, y_m).place.element is element
    except OffTheDrawing:
        return False


_FINDERS: dict[Element, Callable[[Planform, Zone], _At | None]] = {
    Element.LEADING_EDGE: _front,
    Element.STRUT: _strut,
    Element.CANOPY: _canopy,
    Element.WINDOW: _window,
    Element.TRAILING_EDGE: _back_edge,
    **dict.fromkeys((Element.VALVE, Element.HOSE, Element.HANDLE, Element.BRIDLE_POINT), _fitting),
}

__all__ = ["CODES", "PLACES", "Named", "OffTheDrawing", "Spot", "Zone", "code_at", "code_of", "named"]
