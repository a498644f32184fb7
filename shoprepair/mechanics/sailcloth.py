"""Damage to the canopy and its windows: tears, cracks, scuffs, opened seams."""

from math import inf

from shoprepair.mechanics.canopy import membrane_tension
from shoprepair.mechanics.cutting import Pull, condition_share, crossings, direction_unknown, worst, yarns
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
from shoprepair.mechanics.domain import not_negative, within
from shoprepair.mechanics.loads import RIDING, riding_pressure
from shoprepair.mechanics.outcome import ANSWER, CASES, CLOTH, HEDGEPETH, PATTERN, Outcome, given, step

_ARC = "a membrane bellied to an arc"


def tear(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> Outcome:
    """A tear, cut, hole or crack, by the cautious bound."""
    what = {FindingKind.HOLE: "A hole", FindingKind.CRACK: "A crack", FindingKind.CUT: "A cut"}
    return _slit(pattern, place, finding, cases, share=1.0, what=what.get(finding.kind, "A tear"))


def seam(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> Outcome:
    """An opened seam: a tear along it, in cloth as weak as the seam."""
    return _slit(
        pattern, place, finding, cases, share=pattern.seam_efficiency, what="An opening of this seam"
    )


def scuff(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> Outcome:
    """Worn cloth: the plain tension over what the fold test says is left."""
    left = 1.0 if finding.fold is Fold.ROUND else cases.folded_share
    return _whole_cloth(pattern, place, finding, cases, left, "this scuff; it still holds")


def sound(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> Outcome:
    """Whole cloth in the condition that the finding names."""
    return _whole_cloth(pattern, place, finding, cases, 1.0, "this cloth; it holds")


def chord_at(pattern: Pattern, station: float) -> float:
    """Chord in m, tapering evenly from the centre to the tip."""
    within(station, "station")
    return pattern.chord_centre_m + (pattern.chord_tip_m - pattern.chord_centre_m) * station


def tension_at(pattern: Pattern, station: float, cases: LoadCases) -> float:
    """Tension of the riding canopy in N/m, taken the same along the chord and across it."""
    chord = chord_at(pattern, station)
    not_negative(chord, "chord")
    if chord == 0:
        return 0.0
    return membrane_tension(riding_pressure(pattern, cases), chord, cases.camber_share * chord)


def _cloth(pattern: Pattern, place: Place) -> Cloth:
    return pattern.window if place.element is Element.WINDOW and pattern.window else pattern.canopy


def _pulls(cloth: Cloth, tension: float, share: float, crossing: tuple[float, float]) -> list[Pull]:
    warp, weft = yarns(cloth)
    return [
        Pull("along the chord", RIDING, tension, cloth.strength_warp_n_per_m * share, warp, crossing[0]),
        Pull("along the span", RIDING, tension, cloth.strength_weft_n_per_m * share, weft, crossing[1]),
    ]


def _slit(
    pattern: Pattern, place: Place, finding: Finding, cases: LoadCases, *, share: float, what: str
) -> Outcome:
    tension = tension_at(pattern, place.station, cases)
    length = chord_at(pattern, place.station) if finding.length_m is None else finding.length_m
    left = share * condition_share(finding.condition, cases)
    severity = worst(
        _pulls(_cloth(pattern, place), tension, left, crossings(finding)), length, cases.flaw_length_m
    )
    run = severity.run_length_m if severity.run_length_m < inf else None
    certain = severity.hopeful_load_ratio >= 1
    values = {"length": Quantity(length, "m")}
    if certain:
        text = f"{what} of {{length}} runs here for certain; do not ride."
    elif run is None or run > pattern.span_m:
        text = f"{what} of {{length}} does not run here."
    else:
        ending = "do not ride" if severity.load_ratio >= 1 else "this one is {length}"
        text = f"{what} runs at about {{run_length}} here; {ending}."
        values["run_length"] = Quantity(run, "m")
    return Outcome(
        load_ratio=severity.load_ratio,
        case=RIDING,
        reason=Sentence(text, {name: value for name, value in values.items() if f"{{{name}}}" in text}),
        reasons=_unknowns(pattern, place, finding, length),
        figures=[
            *_inputs(pattern, place, cases, severity.pull),
            given("length", length, "m", ANSWER, assumed=finding.length_m is None),
            *_common(tension, severity.pull),
            step(
                "yarns cut",
                severity.broken,
                "",
                f"length across the yarns {severity.pull.direction} × yarns per metre",
                CLOTH,
            ),
            step(
                "stress factor",
                severity.factor,
                "",
                "what the first sound yarn carries beside the cut",
                HEDGEPETH,
            ),
            step("load ratio", severity.load_ratio, "", "tension × stress factor ÷ strength left", HEDGEPETH),
        ],
        run_length_m=run,
        hopeful_load_ratio=severity.hopeful_load_ratio,
        runs_for_certain=certain,
    )


def _whole_cloth(
    pattern: Pattern, place: Place, finding: Finding, cases: LoadCases, left: float, what: str
) -> Outcome:
    tension = tension_at(pattern, place.station, cases)
    share = left * condition_share(finding.condition, cases)
    pulls = _pulls(_cloth(pattern, place), tension, share, (1.0, 1.0))
    pull = min(pulls, key=lambda pull: pull.strength_n_per_m)
    ratio = tension / pull.strength_n_per_m
    values = {"asked": Quantity(tension, "N/m"), "left": Quantity(pull.strength_n_per_m, "N/m")}
    return Outcome(
        load_ratio=ratio,
        case=RIDING,
        reason=Sentence(f"Load asks {{asked}} of {what} about {{left}}.", values),
        reasons=_film(pattern, place),
        figures=[
            *_inputs(pattern, place, cases, pull),
            *_common(tension, pull),
            step("load ratio", ratio, "", "tension ÷ strength left", _ARC),
        ],
    )


def _unknowns(pattern: Pattern, place: Place, finding: Finding, length: float) -> list[Sentence]:
    said = _film(pattern, place)
    if finding.length_m is None:
        text = "The length was not measured: taken as the whole chord here, {length}."
        said.append(Sentence(text, {"length": Quantity(length, "m")}))
    if finding.kind is not FindingKind.HOLE and direction_unknown(finding):
        said.append(Sentence("The direction was not said: taken the worse way."))
    return said


def _film(pattern: Pattern, place: Place) -> list[Sentence]:
    if place.element is not Element.WINDOW:
        return []
    if pattern.window is None:
        return [Sentence("The pattern names no window film: taken as canopy cloth.")]
    if not pattern.window.yarns_warp_per_m:
        return [Sentence("A film has no yarns: a crack in it is counted as in a close-woven cloth.")]
    return []


def _inputs(pattern: Pattern, place: Place, cases: LoadCases, pull: Pull) -> list[Figure]:
    cloth = _cloth(pattern, place)
    strength = cloth.strength_warp_n_per_m if "chord" in pull.direction else cloth.strength_weft_n_per_m
    guessed = "chord_centre_m" in pattern.assumed or "chord_tip_m" in pattern.assumed
    return [
        given("wind pressure", riding_pressure(pattern, cases), "Pa", CASES, assumed=True),
        given("chord", chord_at(pattern, place.station), "m", PATTERN, assumed=guessed),
        given("camber as a share of the chord", cases.camber_share, "", CASES, assumed=True),
        given("strength of the cloth", strength, "N/m", CLOTH, assumed=not cloth.measured),
    ]


def _common(tension: float, pull: Pull) -> list[Figure]:
    return [
        step("tension", tension, "N/m", "wind pressure × radius of the arc, the same both ways", _ARC),
        step("strength left", pull.strength_n_per_m, "N/m", "strength of the cloth × what is left", CLOTH),
    ]
