"""Air that leaves: leaks by words, by readings or by seconds, and bursts."""

from math import inf, isfinite, pi

from shoprepair.mechanics import air
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
from shoprepair.mechanics.loads import strut_of
from shoprepair.mechanics.outcome import ANSWER, CASES, PATTERN, Outcome, given, step

SECONDS_IN_WORDS = {
    Softens.DAY: 86400.0,
    Softens.HOUR: 3600.0,
    Softens.MINUTES: 300.0,
    Softens.UNKNOWN: 300.0,
}
"""Time to half pressure that each answer stands for: assumed, and the worst where nobody said."""


def burst(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> Outcome:  # noqa: ARG001
    """Nothing left to hold: an infinite load ratio."""
    return Outcome(
        load_ratio=inf,
        case="as it lies",
        reason=Sentence("It has burst and holds nothing; do not inflate."),
        run_length_m=None,
    )


def leak(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> Outcome:
    """A session's length over the time to half pressure, and the one round hole that would leak as fast."""
    seconds = (
        SECONDS_IN_WORDS[finding.softens] if finding.seconds_to_half is None else finding.seconds_to_half
    )
    need(isfinite(seconds) and seconds > 0, "The time to half pressure must be more than zero.")
    positive(cases.session_s, "length of a session")
    volume = _leaking_volume(pattern, place)
    rated, kelvin = pattern.rated_pressure_pa, cases.fill_celsius + air.ZERO_CELSIUS_K
    positive(rated, "rated pressure")
    pinhole = air.pinhole_from_time(volume, seconds, rated, rated / 2, kelvin)
    by_words = finding.seconds_to_half is None
    ratio = cases.session_s / seconds
    return Outcome(
        load_ratio=ratio,
        case="a session on the water",
        reason=Sentence(
            "It goes half soft in about {time}; a session is taken as {session}.",
            {"time": Quantity(seconds, "s"), "session": Quantity(cases.session_s, "s")},
        ),
        reasons=_unknown_speed(finding),
        figures=[
            given("time to half pressure", seconds, "s", ANSWER, assumed=by_words),
            given("session", cases.session_s, "s", CASES, assumed=True),
            given("rated pressure", rated, "Pa", PATTERN, assumed="rated_pressure_pa" in pattern.assumed),
            step("air that leaks, in cubic metres", volume, "", "tubes as truncated cones", "geometry"),
            step("load ratio", ratio, "", "session ÷ time to half pressure", CASES),
            step(
                "pinhole",
                pinhole,
                "m",
                "one round hole that halves the pressure in that time",
                "orifice flow of air",
            ),
        ],
        pinhole_m=pinhole,
    )


def tube_volume(tube: Tube) -> float:
    """Air in m3 of one tube: a truncated cone."""
    root, tip = tube.diameter_root_m / 2, tube.diameter_tip_m / 2
    return pi * tube.length_m / 3 * (root * root + root * tip + tip * tip)


def whole_volume(pattern: Pattern) -> float:
    """Air in m3 of both halves of the leading edge and all struts."""
    struts = sum(tube_volume(strut.tube) * (2 if strut.station else 1) for strut in pattern.struts)
    return 2 * tube_volume(pattern.leading_edge) + struts


def _leaking_volume(pattern: Pattern, place: Place) -> float:
    if pattern.linked or place.element is Element.HOSE:
        return whole_volume(pattern)
    if place.strut is not None:
        return tube_volume(strut_of(pattern, place.strut).tube)
    return 2 * tube_volume(pattern.leading_edge)


def _unknown_speed(finding: Finding) -> list[Sentence]:
    if finding.seconds_to_half is None and finding.softens is Softens.UNKNOWN:
        return [Sentence("How fast it softens was not said: taken as within minutes.")]
    return []


def sound_hose(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> Outcome:  # noqa: ARG001
    """A hose that is only stained carries next to nothing."""
    return Outcome(
        load_ratio=0.0, case="as it lies", reason=Sentence("A hose that holds air carries no load.")
    )
