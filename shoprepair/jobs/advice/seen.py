"""What a rule may look at before it decides, and the arithmetic behind it.

A tube is judged by its air alone, hot on a beach, as single cloth: that load grows with pressure, with the
tube, with the cut and toward the centre, so that the worse of two damages is never answered more mildly. What
lift adds to a tube falls as the pressure grows; so it is kept out of the numbers and enters by place instead.
"""

from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from math import floor

from shoprepair.jobs.advice import thresholds
from shoprepair.jobs.advice.told import Told
from shoprepair.mechanics import sailcloth, seam, span
from shoprepair.mechanics.assessment import assess
from shoprepair.mechanics.description import (
    Assessment,
    Cloth,
    Element,
    Finding,
    FindingKind,
    LoadCases,
    Pattern,
    Place,
    Tube,
)
from shoprepair.mechanics.loads import bridle_supports, leading_edge_lift

LONGEST_M = thresholds.GET_HOME_TEAR_M
"""What a cut of no known end counts as in the figures; it is judged as longer than any."""
STEPS = 200
"""Stations at which bending is looked for between a place and the tip."""
BY_AIR = (FindingKind.CUT, FindingKind.HOLE, FindingKind.SEAM_OPENED, FindingKind.SCUFF)
"""Findings of a casing whose load ratio by air alone means anything."""


@dataclass(frozen=True)
class Seen:
    """One damage as it was told, at its place on a pattern."""

    pattern: Pattern
    place: Place
    told: Told
    cases: LoadCases

    @cached_property
    def finding(self) -> Finding:
        return self.told.finding(self.place.element)

    @cached_property
    def length_m(self) -> float | None:
        """Upper end of the length, in m; None counts as longer than any."""
        return self.told.length_m

    @cached_property
    def by_air(self) -> Assessment | None:
        """The tube's own assessment by air alone, as single cloth; None where no tube is cut or worn."""
        if self.place.element not in (Element.LEADING_EDGE, Element.STRUT) or self.finding.kind not in BY_AIR:
            return None
        length = LONGEST_M if self.length_m is None else self.length_m
        finding = replace(self.finding, length_m=length)
        return assess(single(self.pattern), self.place, finding, windless(self.cases))

    @cached_property
    def air_ratio(self) -> float:
        """What air alone asks of the damaged place over what it still holds."""
        return self.by_air.load_ratio if self.by_air else 0.0

    @cached_property
    def bending_nm(self) -> float:
        """The most that lift bends the front tube anywhere from here to the tip, in N m."""
        return bending_outboard(self.pattern, self.place.station, self.cases)

    @cached_property
    def tape_creeps(self) -> bool:
        """Whether the cloth is pulled harder here than tape on both faces holds for hours."""
        asked = sailcloth.tension_at(self.pattern, self.place.station, self.cases)
        return asked > tape_holds(cloth_at(self.pattern, self.place))

    def longer_than(self, most_m: float) -> bool:
        """Whether the damage may be longer than this; one that nobody measured may be."""
        return self.length_m is None or self.length_m > most_m


@lru_cache(maxsize=64)
def single(pattern: Pattern) -> Pattern:
    """The pattern without its doublings: from afar nobody sees whether the cloth is doubled."""
    struts = tuple(replace(strut, tube=_single(strut.tube)) for strut in pattern.struts)
    return replace(pattern, leading_edge=_single(pattern.leading_edge), struts=struts)


def windless(cases: LoadCases) -> LoadCases:
    """The shop's load cases without wind: what remains is the hot beach."""
    return replace(cases, held_wind_m_per_s=0.0, bridled_wind_m_per_s=0.0)


@lru_cache(maxsize=4096)
def bending_outboard(pattern: Pattern, station: float, cases: LoadCases) -> float:
    """The greatest bending moment in N m by lift from a station to the tip; it never grows outwards.

    It knows neither pressure nor diameter.
    """
    half, pull = pattern.span_m / 2, leading_edge_lift(pattern, cases)
    supports = bridle_supports(pattern)
    first = floor(station * STEPS)
    if not supports:
        return span.elliptical_moment(first / STEPS, pull, half)
    stations = [step / STEPS for step in range(first, STEPS + 1)]
    stations += [at / half for at in supports if at / half >= first / STEPS]
    return max(abs(span.bridled_moment(at * half, supports, pull, half)) for at in stations)


@lru_cache(maxsize=64)
def tape_holds(cloth: Cloth) -> float:
    """Tension in N/m that tape as stiff as the cloth, on both faces, holds for hours (Volkersen 1938)."""
    stiffness = cloth.stiffness_n_per_m or thresholds.TAPE_STIFFNESS_WHERE_UNKNOWN_N_PER_M
    fresh = seam.bond_strength(
        thresholds.TAPE_OVERLAP_M,
        thresholds.TAPE_SHEAR_STRENGTH_PA,
        thresholds.TAPE_SHEAR_MODULUS_PA,
        thresholds.TAPE_ADHESIVE_M,
        stiffness,
        stiffness,
    )
    return thresholds.TAPE_LASTING_SHARE * thresholds.TAPE_FACES * fresh


def cloth_at(pattern: Pattern, place: Place) -> Cloth:
    """The canopy cloth, or the film of a window where the pattern names one."""
    return pattern.window if place.element is Element.WINDOW and pattern.window else pattern.canopy


def _single(tube: Tube) -> Tube:
    return replace(tube, doublings=())
