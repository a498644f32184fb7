"""Air that leaves: leaks by words, by readings or by seconds, and bursts."""

from math import inf, isfinite, pi

from shoprepair.mechanics import air, floors
from shoprepair.mechanics.description import (
    Element,
    Finding,
    LoadCases,
    Pattern,
    Place,
    Quantity,
    Sentence,
    Softens,
    Tube,
)
from shoprepair.mechanics.domain import need, positive
from shoprepair.mechanics.loads import site, strut_of
from shoprepair.mechanics.outcome import ANSWER, CASES, PATTERN, Outcome, given, step
from shoprepair.mechanics.words import gettext_noop

SECONDS_IN_WORDS = {
    Softens.DAY: 86400.0,
    Softens.HOUR: 3600.0,
    Softens.MINUTES: 300.0,
    Softens.UNKNOWN: 300.0,
}
"""Time to half pressure that each answer stands for: assumed, and the worst where nobody said."""

_PINHOLE = gettext_noop(
    "the one round hole that halves rated pressure in air that can leak in time to half pressure"
)


def burst(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> Outcome:
    """Nothing left to hold: an infinite load ratio."""
    del finding
    on_a_hose = place.element is Element.HOSE
    return Outcome(
        load_ratio=inf,
        case=gettext_noop("as it lies"),
        reason=Sentence(gettext_noop("It has burst and holds nothing; do not inflate.")),
        floor=floors.BURST,
        demand_n_per_m=None if on_a_hose else site(pattern, place, cases).worst_n_per_m,
    )


def leak(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> Outcome:
    """A session's length over the time to half pressure, and the one round hole that would leak as fast."""
    seconds = _seconds(finding)
    positive(cases.session_s, gettext_noop("length of a session"))
    rated, kelvin = pattern.rated_pressure_pa, cases.fill_celsius + air.ZERO_CELSIUS_K
    positive(rated, gettext_noop("rated pressure"))
    volume = leaking_volume(pattern, place)
    pinhole = air.pinhole_from_time(volume, seconds, rated, rated / 2, kelvin)
    ratio = cases.session_s / seconds
    return Outcome(
        load_ratio=ratio,
        case=gettext_noop("a session on the water"),
        reason=Sentence(
            gettext_noop("It goes half soft in about {time}; a session is taken as {session}."),
            {"time": Quantity(seconds, "s"), "session": Quantity(cases.session_s, "s")},
        ),
        reasons=_about_the_unknown(finding),
        figures=[
            given(
                gettext_noop("time to half pressure"),
                seconds,
                "s",
                ANSWER,
                assumed=finding.seconds_to_half is None,
            ),
            given("session", cases.session_s, "s", CASES, assumed=True),
            step(
                gettext_noop("load ratio"), ratio, "", gettext_noop("session ÷ time to half pressure"), CASES
            ),
            given(
                gettext_noop("rated pressure"),
                rated,
                "Pa",
                PATTERN,
                assumed="rated_pressure_pa" in pattern.assumed,
            ),
            given(
                gettext_noop("air that can leak"),
                volume,
                "m3",
                PATTERN,
                assumed="leading_edge" in pattern.assumed,
            ),
            step("pinhole", pinhole, "m", _PINHOLE, gettext_noop("flow of air through a sharp-edged hole")),
        ],
        pinhole_m=pinhole,
    )


def sound_hose(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> Outcome:
    """A hose that is only stained carries next to nothing."""
    del pattern, place, finding, cases
    return Outcome(
        load_ratio=0.0,
        case=gettext_noop("as it lies"),
        reason=Sentence(gettext_noop("A hose that holds air carries no load.")),
    )


def tube_volume(tube: Tube) -> float:
    """Air in m3 of one tube, a truncated cone."""
    root, tip = tube.diameter_root_m / 2, tube.diameter_tip_m / 2
    return pi * tube.length_m / 3 * (root * root + root * tip + tip * tip)


def leading_edge_volume(pattern: Pattern) -> float:
    """Air in m3 of both halves of the leading edge."""
    return 2 * tube_volume(pattern.leading_edge)


def leaking_volume(pattern: Pattern, place: Place) -> float:
    """Air in m3 that a leak at this place lets out: all where one valve fills all, else that of its tube."""
    if pattern.linked or place.element is Element.HOSE:
        struts = sum(tube_volume(strut.tube) * (2 if strut.station else 1) for strut in pattern.struts)
        return leading_edge_volume(pattern) + struts
    if place.strut is not None:
        return tube_volume(strut_of(pattern, place.strut).tube)
    return leading_edge_volume(pattern)


def _seconds(finding: Finding) -> float:
    told = finding.seconds_to_half
    seconds = SECONDS_IN_WORDS[finding.softens] if told is None else told
    need(isfinite(seconds) and seconds > 0, gettext_noop("The time to half pressure must be more than zero."))
    return seconds


def _about_the_unknown(finding: Finding) -> list[Sentence]:
    if finding.seconds_to_half is None and finding.softens is Softens.UNKNOWN:
        return [Sentence(gettext_noop("How fast it softens was not said: taken as within minutes."))]
    return []
