"""What `assess` refuses before it computes: figures that no inflatable, finding or load case can have."""

from functools import lru_cache
from math import isfinite

from shoprepair.mechanics.description import Cloth, Finding, FindingKind, LoadCases, Pattern, Place
from shoprepair.mechanics.domain import need, not_negative, positive, within
from shoprepair.mechanics.words import gettext_noop

COVERS = frozenset({FindingKind.RESIDUE, FindingKind.STAIN})
"""Findings that hide another."""


def check(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> None:
    """Raise ValueError with one plain sentence for the first figure out of its range."""
    _check_standing(pattern, cases)
    within(place.station, gettext_noop("station"))
    within(place.fraction, gettext_noop("fraction of the way to the trailing edge"))
    _check_finding(finding)
    if finding.kind in COVERS and finding.under is not None:
        need(
            finding.under.kind not in COVERS,
            gettext_noop("Say what the flaw under it is, not what covers it."),
        )
        _check_finding(finding.under)


@lru_cache(maxsize=512)
def _check_standing(pattern: Pattern, cases: LoadCases) -> None:
    """What stays the same from finding to finding; kept, as a call that raises is not."""
    _check_pattern(pattern)
    _check_cases(cases)


def _check_pattern(pattern: Pattern) -> None:
    positive(pattern.rated_pressure_pa, gettext_noop("rated pressure"))
    positive(pattern.area_m2, gettext_noop("area"))
    positive(pattern.span_m, gettext_noop("span"))
    positive(pattern.chord_centre_m, gettext_noop("chord at the centre"))
    not_negative(pattern.chord_tip_m, gettext_noop("chord at the tip"))
    positive(pattern.leading_edge.length_m, gettext_noop("length of the leading edge"))
    need(
        0 < pattern.seam_efficiency <= 1,
        gettext_noop("The seam efficiency must be more than 0 and at most 1."),
    )
    _check_cloth(pattern.casing)
    _check_cloth(pattern.canopy)
    if pattern.window is not None:
        _check_cloth(pattern.window)


def _check_cloth(cloth: Cloth) -> None:
    for strength in (cloth.strength_warp_n_per_m, cloth.strength_weft_n_per_m):
        positive(strength, gettext_noop("strength of a cloth"))
    for yarns in (cloth.yarns_warp_per_m, cloth.yarns_weft_per_m):
        not_negative(yarns, gettext_noop("number of yarns per metre"))


def _check_cases(cases: LoadCases) -> None:
    for share in (cases.faded_share, cases.brittle_share, cases.folded_share):
        need(0 < share <= 1, gettext_noop("A share of strength must be more than 0 and at most 1."))
    for share in (cases.held_share, cases.bridled_share):
        need(0 <= share <= 1, gettext_noop("The leading edge's share of the lift must lie between 0 and 1."))
    for factor in (cases.held_gust, cases.bridled_gust, cases.lift_coefficient):
        not_negative(factor, gettext_noop("gust or lift factor"))
    not_negative(cases.held_wind_m_per_s, gettext_noop("wind"))
    not_negative(cases.bridled_wind_m_per_s, gettext_noop("wind"))
    not_negative(cases.held_lift_cap_n, gettext_noop("most lift that a rider holds"))
    positive(cases.flaw_length_m, gettext_noop("flaw length"))
    positive(cases.camber_share, gettext_noop("camber"))


def _check_finding(finding: Finding) -> None:
    need(finding.rows >= 0, gettext_noop("The number of rows must be zero or more."))
    need(
        finding.angle_rad is None or isfinite(finding.angle_rad), gettext_noop("The angle must be a number.")
    )
    if finding.length_m is not None:
        positive(finding.length_m, gettext_noop("length"))
