"""Stitching gone where load enters: at a handle, a bridle point, a strut joint."""

from math import inf

from shoprepair.mechanics import span
from shoprepair.mechanics.description import (
    Element,
    Figure,
    Finding,
    LoadCases,
    Pattern,
    Place,
    Quantity,
    Sentence,
)
from shoprepair.mechanics.domain import need, not_negative
from shoprepair.mechanics.lift_figures import of_the_leading_edge
from shoprepair.mechanics.loads import RIDING, bridle_supports, leading_edge_lift, lift, strut_of
from shoprepair.mechanics.outcome import ANSWER, CASES, CLOTH, Outcome, given, step
from shoprepair.mechanics.seam import stitched_strength
from shoprepair.mechanics.words import gettext_noop

_ESTIMATE = gettext_noop("the trade's seam-strength estimate")
_SEAM = gettext_noop(
    "rows × stitches per metre × thread strength × seam factor, at most strength of the cloth"
)
_HOLDS = gettext_noop("Riding asks {force} of this stitching; what is left holds about {holds}.")
_HOLDS_TOO_LITTLE = gettext_noop(
    "Riding asks {force} of this stitching; what is left holds about {holds}; do not ride."
)

_SHARE = gettext_noop("share of the lift")


def stitching(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> Outcome:
    """The place's share of the lift over what the stitching left can hold, never more than the cloth."""
    force, how = share_of_lift(pattern, place, cases)
    left = stitched_left(finding)
    per_metre = strength_per_metre(pattern, finding.rows, cases)
    holds = left * per_metre
    return Outcome(
        load_ratio=force / holds if holds > 0 else inf if force > 0 else 0.0,
        case=RIDING,
        reason=_verdict(force, holds),
        reasons=[Sentence(f"{how}."), *_about_the_unknown(finding)],
        figures=[
            *of_the_leading_edge(pattern, cases),
            step(
                gettext_noop("force on the stitching"),
                force,
                "N",
                f"{_SHARE}: {how}",
                CASES,
                assumed=True,
            ),
            *_of_the_strength(pattern, finding, cases, left, per_metre),
            step(
                gettext_noop("strength left"),
                holds,
                "N",
                gettext_noop("stitching left × strength of the stitching"),
                _ESTIMATE,
            ),
            *_ratio(force, holds),
        ],
    )


def stitched_left(finding: Finding) -> float:
    """Sound stitching left in m: as measured, or the whole less what opened; none where nobody said."""
    whole, left, opened = finding.stitched_whole_m, finding.stitched_left_m, finding.length_m
    if whole is not None:
        not_negative(whole, gettext_noop("whole stitched length"))
    if left is not None:
        not_negative(left, gettext_noop("stitched length left"))
        need(whole is None or left <= whole, gettext_noop("More stitching is left than there ever was."))
        return left
    return max(0.0, whole - opened) if whole is not None and opened is not None else 0.0


def strength_per_metre(pattern: Pattern, rows: int, cases: LoadCases) -> float:
    """Strength of the stitching in N/m; beyond the strength of the casing cloth, that tears instead."""
    sewn = stitched_strength(cases.stitches_per_m, cases.thread_strength_n, rows, cases.stitch_factor)
    return min(sewn, _cloth_strength(pattern))


def share_of_lift(pattern: Pattern, place: Place, cases: LoadCases) -> tuple[float, str]:
    """Force in N on a handle, bridle point or strut joint, and how it comes there, in words."""
    if place.element is Element.HANDLE:
        return _on_a_handle(pattern, cases)
    if place.element is Element.BRIDLE_POINT:
        return _on_a_bridle_point(pattern, place, cases)
    return _on_a_strut_joint(pattern, place, cases)


def _on_a_handle(pattern: Pattern, cases: LoadCases) -> tuple[float, str]:
    if not pattern.held:
        return 0.0, gettext_noop("On bridled gear a handle is for carrying and takes none of the lift")
    need(pattern.handle_count >= 1, gettext_noop("The pattern has no handles."))
    return lift(pattern, cases) / pattern.handle_count, gettext_noop(
        "The handles share the whole lift evenly"
    )


def _on_a_bridle_point(pattern: Pattern, place: Place, cases: LoadCases) -> tuple[float, str]:
    need(not pattern.held, gettext_noop("Held gear has no bridle points."))
    supports = bridle_supports(pattern)
    taken = leading_edge_lift(pattern, cases)
    if not supports:
        return taken, gettext_noop(
            "The bridle points are not known: this one is taken to carry the whole leading edge"
        )
    at = place.station * pattern.span_m / 2
    pulls = span.bridle_pulls(supports, taken, pattern.span_m / 2)
    nearest = min(range(len(supports)), key=lambda i: abs(supports[i] - at))
    return abs(pulls[nearest]), gettext_noop(
        "The bridle points share the leading edge's lift as a continuous beam does"
    )


def _on_a_strut_joint(pattern: Pattern, place: Place, cases: LoadCases) -> tuple[float, str]:
    strut = strut_of(pattern, place.strut)
    if pattern.held and strut.station == 0:
        return leading_edge_lift(pattern, cases), gettext_noop(
            "The leading edge's whole lift passes through this joint"
        )
    count = sum(2 if other.station else 1 for other in pattern.struts)
    rest = lift(pattern, cases) - leading_edge_lift(pattern, cases)
    return rest / count, gettext_noop("The struts share evenly the lift that the leading edge does not take")


def _cloth_strength(pattern: Pattern) -> float:
    return min(pattern.casing.strength_warp_n_per_m, pattern.casing.strength_weft_n_per_m)


def _verdict(force: float, holds: float) -> Sentence:
    values = {"force": Quantity(force, "N"), "holds": Quantity(holds, "N")}
    if holds == 0 and force > 0:
        return Sentence(
            gettext_noop("No stitching is left to carry {force}; do not ride."), {"force": values["force"]}
        )
    return Sentence(_HOLDS_TOO_LITTLE if force >= holds > 0 else _HOLDS, values)


def _about_the_unknown(finding: Finding) -> list[Sentence]:
    subtracted = finding.stitched_whole_m is not None and finding.length_m is not None
    if finding.stitched_left_m is not None or subtracted:
        return []
    return [Sentence(gettext_noop("How much stitching is left was not said: taken as none."))]


def _of_the_strength(
    pattern: Pattern, finding: Finding, cases: LoadCases, left: float, per_metre: float
) -> list[Figure]:
    guessed = not pattern.casing.measured
    return [
        given(gettext_noop("stitching left"), left, "m", ANSWER, assumed=finding.stitched_left_m is None),
        given(gettext_noop("rows"), finding.rows, "", ANSWER),
        given(gettext_noop("stitches per metre"), cases.stitches_per_m, "", CASES, assumed=True),
        given(gettext_noop("thread strength"), cases.thread_strength_n, "N", CASES, assumed=True),
        given(gettext_noop("seam factor"), cases.stitch_factor, "", CASES, assumed=True),
        given(gettext_noop("strength of the cloth"), _cloth_strength(pattern), "N/m", CLOTH, assumed=guessed),
        step(gettext_noop("strength of the stitching"), per_metre, "N/m", _SEAM, _ESTIMATE),
    ]


def _ratio(force: float, holds: float) -> list[Figure]:
    if holds == 0:
        return []
    return [
        step(
            gettext_noop("load ratio"),
            force / holds,
            "",
            gettext_noop("force on the stitching ÷ strength left"),
            CASES,
        )
    ]
