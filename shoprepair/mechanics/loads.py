"""What a place of a tube is asked to carry in each load case."""

from dataclasses import dataclass
from math import inf

from shoprepair.mechanics import air, span, tube
from shoprepair.mechanics.description import Element, LoadCases, Pattern, Place, Strut, Tube
from shoprepair.mechanics.domain import Refused, need, positive, within
from shoprepair.mechanics.words import gettext_noop

RIDING = gettext_noop("riding")
HOT_BEACH = gettext_noop("hot beach")
POINT_LOST = gettext_noop("one inner bridle point lost")
FOLDS_FROM = 0.95
"""Share of the collapse moment beyond which no tension is believed; the tube folds."""


@dataclass(frozen=True, slots=True)
class Section:
    """The tube at a place. `station` is None on a strut, which the lift does not bend here."""

    radius_m: float
    plies: int
    station: float | None


@dataclass(frozen=True, slots=True)
class Load:
    """Tensions of one load case at a section, in N/m; the axial one on the side that bending stretches."""

    case: str
    pressure_pa: float
    hoop_n_per_m: float
    axial_n_per_m: float
    moment_nm: float
    folds: bool


@dataclass(frozen=True, slots=True)
class Site:
    """A section with its load cases, the last of them shown but never banded."""

    here: Section
    riding: Load
    hot: Load
    point_lost: Load | None

    @property
    def worst_n_per_m(self) -> float:
        """The highest tension in either direction of either case."""
        return max(self.riding.hoop_n_per_m, self.riding.axial_n_per_m, self.hot.hoop_n_per_m)


def section(pattern: Pattern, place: Place) -> Section:
    """The tube that a place lies on: a handle on the centre strut, a bridle point on the leading edge."""
    within(place.station, gettext_noop("station"))
    within(place.fraction, gettext_noop("fraction of the way to the trailing edge"))
    strut = _strut_under(pattern, place)
    if strut is None:
        return leading_edge_section(pattern, place.station)
    return _section(strut.tube, place.fraction, None)


def leading_edge_section(pattern: Pattern, station: float) -> Section:
    within(station, gettext_noop("station"))
    return _section(pattern.leading_edge, station, station)


def strut_section(pattern: Pattern, index: int, fraction: float = 0.0) -> Section:
    within(fraction, gettext_noop("fraction of the way to the trailing edge"))
    return _section(strut_of(pattern, index).tube, fraction, None)


def strut_of(pattern: Pattern, index: int | None) -> Strut:
    """The strut of a pattern by its number, counted from 0."""
    if index is None:
        raise Refused(gettext_noop("Say which strut this lies on."))
    need(0 <= index < len(pattern.struts), gettext_noop("The pattern has no such strut."))
    return pattern.struts[index]


def lift(pattern: Pattern, cases: LoadCases) -> float:
    """Total lift in N of the riding case."""
    whole = riding_pressure(pattern, cases) * pattern.area_m2
    return min(whole, cases.held_lift_cap_n) if pattern.held else whole


def riding_pressure(pattern: Pattern, cases: LoadCases) -> float:
    """Pressure in Pa of the riding case on the canopy, gusts and lift coefficient in it."""
    wind = cases.held_wind_m_per_s if pattern.held else cases.bridled_wind_m_per_s
    gust = cases.held_gust if pattern.held else cases.bridled_gust
    return air.wind_pressure(wind) * cases.lift_coefficient * gust


def leading_edge_lift(pattern: Pattern, cases: LoadCases) -> float:
    """The part of the lift in N that reaches the leading edge."""
    return lift(pattern, cases) * (cases.held_share if pattern.held else cases.bridled_share)


def bridle_supports(pattern: Pattern) -> tuple[float, ...]:
    """Places of the bridle points across the projected span, left ones negative; empty when held.

    A bridled pattern without known points on both halves counts as held at the centre, the worse case.
    """
    if pattern.held or bridle_unknown(pattern):
        return ()
    half = pattern.span_m / 2
    right = tuple(station * half for station in pattern.bridle_stations)
    return tuple(-at for at in right if at) + right


def bridle_unknown(pattern: Pattern) -> bool:
    """Whether a bridled pattern says nothing of its bridle points off the centre."""
    return not pattern.held and not any(pattern.bridle_stations)


def site(pattern: Pattern, place: Place, cases: LoadCases) -> Site:
    """The tube at a place with all its loads."""
    here = section(pattern, place)
    return Site(here, *banded(pattern, here, cases), load_with_point_lost(pattern, here, cases))


def banded(pattern: Pattern, here: Section, cases: LoadCases) -> tuple[Load, Load]:
    """The two cases that bands are given by: riding, and the hot beach."""
    positive(pattern.rated_pressure_pa, gettext_noop("rated pressure"))
    moment = 0.0 if here.station is None else _riding_moment(pattern, here.station, cases)
    riding = _load(RIDING, pattern.rated_pressure_pa, here.radius_m, moment)
    return riding, _load(HOT_BEACH, hot_pressure(pattern, cases), here.radius_m, 0.0)


def hot_pressure(pattern: Pattern, cases: LoadCases) -> float:
    """Pressure in Pa of a tube pumped to its rating and then heated by sand and sun."""
    return air.gauge_after(
        pattern.rated_pressure_pa,
        cases.fill_celsius + air.ZERO_CELSIUS_K,
        cases.hot_celsius + air.ZERO_CELSIUS_K,
    )


def load_with_point_lost(pattern: Pattern, here: Section, cases: LoadCases) -> Load | None:
    """Riding with the innermost bridle point of one half gone, on the worse half; shown, never banded.

    None where that cannot be: held gear, a strut, too few points.
    """
    supports = bridle_supports(pattern)
    if here.station is None or len(supports) < 3:
        return None
    lost = min(at for at in supports if at >= 0)
    rest = tuple(at for at in supports if at != lost)
    half = pattern.span_m / 2
    pull = leading_edge_lift(pattern, cases)
    moment = max(abs(span.bridled_moment(side * here.station * half, rest, pull, half)) for side in (1, -1))
    return _load(POINT_LOST, pattern.rated_pressure_pa, here.radius_m, moment)


def _strut_under(pattern: Pattern, place: Place) -> Strut | None:
    if place.element is Element.STRUT:
        return strut_of(pattern, place.strut)
    if place.element in (Element.VALVE, Element.HANDLE) and place.strut is not None:
        return strut_of(pattern, place.strut)
    if place.element is Element.HANDLE:
        return next((strut for strut in pattern.struts if strut.station == 0), None)
    return None


def _section(along: Tube, share: float, station: float | None) -> Section:
    diameter = along.diameter_root_m + (along.diameter_tip_m - along.diameter_root_m) * share
    need(0 < diameter < inf, gettext_noop("The tube's diameter must be more than zero."))
    doubled = any(start <= share <= end for start, end in along.doublings)
    return Section(diameter / 2, 2 if doubled else 1, station)


def _riding_moment(pattern: Pattern, station: float, cases: LoadCases) -> float:
    half = pattern.span_m / 2
    pull = leading_edge_lift(pattern, cases)
    supports = bridle_supports(pattern)
    if not supports:
        return span.elliptical_moment(station, pull, half)
    return abs(span.bridled_moment(station * half, supports, pull, half))


def _load(case: str, pressure_pa: float, radius_m: float, moment_nm: float) -> Load:
    most = FOLDS_FROM * tube.collapse_moment(pressure_pa, radius_m)
    return Load(
        case,
        pressure_pa,
        tube.hoop_tension(pressure_pa, radius_m),
        tube.taut_tension(min(moment_nm, most), pressure_pa, radius_m),
        moment_nm,
        moment_nm > most,
    )
