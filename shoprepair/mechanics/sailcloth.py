"""Damage to the canopy and its windows: tears, cracks, opened seams, scuffs; and whole cloth."""

from shoprepair.mechanics import verdicts
from shoprepair.mechanics.canopy import membrane_tension
from shoprepair.mechanics.cutting import (
    CHORD,
    SPAN,
    STRENGTH,
    Pull,
    about_the_direction,
    condition,
    crossings,
    worst,
    yarns,
)
from shoprepair.mechanics.cutting_figures import of_a_cut
from shoprepair.mechanics.description import (
    Cloth,
    Element,
    Figure,
    Finding,
    FindingKind,
    Fold,
    LoadCases,
    Pattern,
    Place,
    Quantity,
    Sentence,
)
from shoprepair.mechanics.domain import within
from shoprepair.mechanics.lift_figures import of_the_wind
from shoprepair.mechanics.loads import RIDING, riding_pressure
from shoprepair.mechanics.outcome import (
    CASES,
    CLOTH,
    PATTERN,
    PRACTICE,
    Outcome,
    given,
    product,
    step,
    times,
)
from shoprepair.mechanics.words import gettext_noop

_ARC = gettext_noop("a membrane bellied to an arc")
_NAMES = {
    FindingKind.HOLE: verdicts.HOLE,
    FindingKind.CRACK: verdicts.CRACK,
    FindingKind.CUT: verdicts.CUT,
    FindingKind.TEAR: verdicts.TEAR,
}


def tear(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> Outcome:
    """A tear, cut, hole or crack: the tension beside its ends, by the cautious bound."""
    return _slit(pattern, place, finding, cases, condition(finding, cases), _NAMES[finding.kind])


def seam(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> Outcome:
    """An opened seam: a tear along it, in cloth as weak as the seam."""
    guessed = "seam_efficiency" in pattern.assumed
    share = given(gettext_noop("seam efficiency"), pattern.seam_efficiency, "", PATTERN, assumed=guessed)
    shares = [share, *condition(finding, cases)]
    return _slit(pattern, place, finding, cases, shares, verdicts.SEAM)


def scuff(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> Outcome:
    """Worn cloth: the plain tension over what the fold test says is left."""
    left = 1.0 if finding.fold is Fold.ROUND else cases.folded_share
    shares = [
        given(gettext_noop("left by the fold test"), left, "", PRACTICE, assumed=True),
        *condition(finding, cases),
    ]
    outcome = _whole_cloth(pattern, place, cases, shares, verdicts.OF_A_SCUFF)
    if finding.fold is Fold.UNTRIED:
        outcome.reasons.append(Sentence(gettext_noop("The fold was not tried: taken as folding to an edge.")))
    return outcome


def sound(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> Outcome:
    """Whole cloth in the condition that the finding names."""
    return _whole_cloth(pattern, place, cases, condition(finding, cases), verdicts.OF_CLOTH)


def chord_at(pattern: Pattern, station: float) -> float:
    """Chord in m, tapering evenly from the centre to the tip."""
    within(station, gettext_noop("station"))
    return pattern.chord_centre_m + (pattern.chord_tip_m - pattern.chord_centre_m) * station


def tension_at(pattern: Pattern, station: float, cases: LoadCases) -> float:
    """Tension of the riding canopy in N/m, taken the same along the chord and across it."""
    chord = chord_at(pattern, station)
    if chord == 0:
        return 0.0
    return membrane_tension(riding_pressure(pattern, cases), chord, cases.camber_share * chord)


def _slit(
    pattern: Pattern, place: Place, finding: Finding, cases: LoadCases, shares: list[Figure], what: str
) -> Outcome:
    tension = tension_at(pattern, place.station, cases)
    length = _longest(pattern) if finding.length_m is None else finding.length_m
    pulls = _pulls(_cloth(pattern, place), tension, product(shares), crossings(finding))
    severity = worst(pulls, length, cases.flaw_length_m)
    measured = finding.length_m is not None
    return Outcome(
        load_ratio=severity.load_ratio,
        case=RIDING,
        reason=verdicts.of_sailcloth(what, length, _longest(pattern), severity),
        reasons=[*_about_film(pattern, place), *_about_the_unknown(pattern, finding)],
        figures=[
            *_of_the_tension(pattern, place, cases, tension),
            *_of_the_strength(_cloth(pattern, place), severity.pull, shares),
            *of_a_cut(severity, length, _longest(pattern), cases, limit="span", measured=measured),
        ],
        demand_n_per_m=tension,
        run_length_m=severity.run_length_m if severity.run_length_m <= _longest(pattern) else None,
        hopeful_load_ratio=severity.hopeful_load_ratio,
        runs_for_certain=severity.certain,
    )


def _whole_cloth(
    pattern: Pattern, place: Place, cases: LoadCases, shares: list[Figure], text: str
) -> Outcome:
    tension = tension_at(pattern, place.station, cases)
    pulls = _pulls(_cloth(pattern, place), tension, product(shares), (1.0, 1.0))
    pull = min(pulls, key=lambda pull: pull.strength_n_per_m)
    values = {"asked": Quantity(tension, "N/m"), "left": Quantity(pull.strength_n_per_m, "N/m")}
    return Outcome(
        load_ratio=pull.plain_ratio,
        case=RIDING,
        reason=Sentence(text, values),
        reasons=_about_film(pattern, place),
        figures=[
            *_of_the_tension(pattern, place, cases, tension),
            *_of_the_strength(_cloth(pattern, place), pull, shares),
            step(gettext_noop("load ratio"), pull.plain_ratio, "", f"{pull.name} ÷ strength left", _ARC),
        ],
        demand_n_per_m=tension,
    )


def _cloth(pattern: Pattern, place: Place) -> Cloth:
    return pattern.window if place.element is Element.WINDOW and pattern.window else pattern.canopy


def _longest(pattern: Pattern) -> float:
    return max(pattern.span_m, pattern.chord_centre_m)


def _pulls(cloth: Cloth, tension: float, share: float, crossing: tuple[float, float]) -> list[Pull]:
    warp, weft = yarns(cloth)
    return [
        Pull(
            CHORD,
            RIDING,
            tension,
            cloth.strength_warp_n_per_m * share,
            warp,
            crossing[0],
        ),
        Pull(
            SPAN,
            RIDING,
            tension,
            cloth.strength_weft_n_per_m * share,
            weft,
            crossing[1],
        ),
    ]


def _about_the_unknown(pattern: Pattern, finding: Finding) -> list[Sentence]:
    said = about_the_direction(finding)
    if finding.length_m is None:
        text = gettext_noop("The length was not measured: taken as the whole canopy, {length}.")
        said.append(Sentence(text, {"length": Quantity(_longest(pattern), "m")}))
    return said


def _about_film(pattern: Pattern, place: Place) -> list[Sentence]:
    if place.element is not Element.WINDOW:
        return []
    if pattern.window is None:
        return [Sentence(gettext_noop("The pattern names no window film: taken as canopy cloth."))]
    if not pattern.window.yarns_warp_per_m:
        return [
            Sentence(gettext_noop("A film has no yarns: a crack in it is counted as in a close-woven cloth."))
        ]
    return []


def _of_the_tension(pattern: Pattern, place: Place, cases: LoadCases, tension: float) -> list[Figure]:
    guessed = not {"chord_centre_m", "chord_tip_m"}.isdisjoint(pattern.assumed)
    pressure = riding_pressure(pattern, cases)
    return [
        *of_the_wind(pattern, cases),
        step(
            gettext_noop("pressure on the canopy"),
            pressure,
            "Pa",
            _PRESSURE,
            gettext_noop("dynamic pressure of wind"),
        ),
        given(gettext_noop("chord"), chord_at(pattern, place.station), "m", PATTERN, assumed=guessed),
        given(gettext_noop("camber share"), cases.camber_share, "", CASES, assumed=True),
        step(gettext_noop("tension along the chord, riding"), tension, "N/m", _TENSION, _ARC),
        step(
            gettext_noop("tension along the span, riding"),
            tension,
            "N/m",
            _SPANWISE,
            gettext_noop("assumed"),
            assumed=True,
        ),
    ]


_PRESSURE = gettext_noop("half the air's density × wind squared × gust factor × lift coefficient")
_TENSION = gettext_noop("pressure on the canopy × radius of the arc that chord and camber share make")
_SPANWISE = gettext_noop("the same as tension along the chord, riding")


def _of_the_strength(cloth: Cloth, pull: Pull, shares: list[Figure]) -> list[Figure]:
    strip = cloth.strength_warp_n_per_m if pull.direction == CHORD else cloth.strength_weft_n_per_m
    name = STRENGTH[pull.direction]
    return [
        given(name, strip, "N/m", CLOTH, assumed=not cloth.measured),
        *shares,
        step(gettext_noop("strength left"), pull.strength_n_per_m, "N/m", times(name, shares), CLOTH),
    ]
