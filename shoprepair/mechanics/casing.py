"""Damage to a casing: cuts and holes, scuffs, opened seams; and sound cloth to measure them against."""

from shoprepair.mechanics import slit
from shoprepair.mechanics.cutting import (
    Pull,
    Severity,
    condition_share,
    crossings,
    direction_unknown,
    worst,
    yarns,
)
from shoprepair.mechanics.description import (
    Cloth,
    Direction,
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
from shoprepair.mechanics.loads import FOLDS_FROM, Load, Section, load_with_point_lost, section, tube_loads
from shoprepair.mechanics.outcome import (
    ANSWER,
    CASES,
    CLOTH,
    HEDGEPETH,
    MEMBRANE,
    PATTERN,
    Outcome,
    given,
    step,
)
from shoprepair.mechanics.tube import collapse_moment

THICKNESS_M = 0.0002
"""Of a casing cloth, assumed; only the bulging of a cut's lips hangs on it."""


def cut(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> Outcome:
    """A cut or hole: the tension at its ends by the cautious bound, over what the cloth holds."""
    return _slit(pattern, place, finding, cases, share=1.0, what=_name_of_cut(finding))


def seam(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> Outcome:
    """An opened seam: a slit along it, in cloth as weak as the seam."""
    outcome = _slit(
        pattern, place, finding, cases, share=pattern.seam_efficiency, what="An opening of this seam"
    )
    outcome.reasons.append(
        Sentence(
            "A seam holds {share} of what its cloth holds.", {"share": Quantity(pattern.seam_efficiency, "")}
        )
    )
    return outcome


def scuff(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> Outcome:
    """Worn cloth: the plain tension over what the fold test says is left."""
    left = 1.0 if finding.fold is Fold.ROUND else cases.folded_share
    outcome = _whole_cloth(pattern, place, finding, cases, left=left)
    outcome.figures.insert(-1, given("left by the fold test", left, "", "common practice", assumed=True))
    outcome.reason = Sentence(
        "Load asks {asked} of this scuff; it still holds about {left}.", outcome.reason.values
    )
    return outcome


def sound(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> Outcome:
    """Whole cloth in the condition that the finding names."""
    return _whole_cloth(pattern, place, finding, cases, left=1.0)


def sound_ratio(pattern: Pattern, here: Section, cases: LoadCases) -> float:
    """Load ratio of whole cloth: the worse direction of the worse case."""
    warp, weft = pattern.casing.strength_warp_n_per_m, pattern.casing.strength_weft_n_per_m
    loads = tube_loads(pattern, here, cases)
    return max(max(load.hoop_n_per_m / warp, load.axial_n_per_m / weft) for load in loads) / here.plies


def _whole_cloth(
    pattern: Pattern, place: Place, finding: Finding, cases: LoadCases, *, left: float
) -> Outcome:
    here = section(pattern, place)
    loads = tube_loads(pattern, here, cases)
    share = left * condition_share(finding.condition, cases)
    pulls = _pulls(pattern.casing, here, loads, share, (1.0, 1.0))
    pull = max(pulls, key=lambda pull: pull.tension_n_per_m / pull.strength_n_per_m)
    ratio = pull.tension_n_per_m / pull.strength_n_per_m
    values = {
        "asked": Quantity(pull.tension_n_per_m, "N/m"),
        "left": Quantity(pull.strength_n_per_m, "N/m"),
    }
    return Outcome(
        load_ratio=ratio,
        case=pull.case,
        reason=Sentence("Load asks {asked} of this cloth; it holds about {left}.", values),
        reasons=[*_words_of_loads(pattern, here, loads, cases)],
        figures=[
            *_inputs(pattern, here, finding, cases, pull),
            *_tensions(pattern, here, loads),
            step(
                "strength left",
                pull.strength_n_per_m,
                "N/m",
                "strength of the cloth × plies × what is left",
                CLOTH,
            ),
            step("load ratio", ratio, "", f"tension {pull.direction} ÷ strength left", MEMBRANE),
        ],
    )


def _slit(
    pattern: Pattern, place: Place, finding: Finding, cases: LoadCases, *, share: float, what: str
) -> Outcome:
    here = section(pattern, place)
    loads = tube_loads(pattern, here, cases)
    length = here.radius_m if finding.length_m is None else finding.length_m
    pulls = _pulls(
        pattern.casing, here, loads, share * condition_share(finding.condition, cases), crossings(finding)
    )
    severity = worst(pulls, length, cases.flaw_length_m)
    out_of_range = length > here.radius_m
    certain = severity.hopeful_load_ratio >= 1
    run = min(severity.run_length_m, here.radius_m)
    return Outcome(
        load_ratio=severity.load_ratio,
        case=severity.pull.case,
        reason=_verdict(what, length, run, here, severity, out_of_range=out_of_range, certain=certain),
        reasons=[
            *_unknowns(finding, length),
            *_bulging(here, loads, severity, length, finding, cases),
            *_words_of_loads(pattern, here, loads, cases),
        ],
        figures=[
            *_inputs(pattern, here, finding, cases, severity.pull),
            given("length", length, "m", ANSWER, assumed=finding.length_m is None),
            *_tensions(pattern, here, loads),
            *_steps_of_cut(severity, run, here, loads, length, finding, cases),
        ],
        run_length_m=run,
        hopeful_load_ratio=severity.hopeful_load_ratio,
        runs_for_certain=certain,
        out_of_range=out_of_range,
    )


def _pulls(
    cloth: Cloth, here: Section, loads: tuple[Load, Load], share: float, crossing: tuple[float, float]
) -> list[Pull]:
    strength = here.plies * share
    warp, weft = cloth.strength_warp_n_per_m * strength, cloth.strength_weft_n_per_m * strength
    warp_yarns, weft_yarns = yarns(cloth)
    pulls = []
    for load in loads:
        pulls.append(Pull("around the tube", load.case, load.hoop_n_per_m, warp, warp_yarns, crossing[0]))
        pulls.append(Pull("along the tube", load.case, load.axial_n_per_m, weft, weft_yarns, crossing[1]))
    return pulls


def _name_of_cut(finding: Finding) -> str:
    if finding.kind is FindingKind.HOLE:
        return "A hole"
    if direction_unknown(finding):
        return "A cut"
    names = {Direction.ALONG: "A cut along the tube", Direction.AROUND: "A cut around the tube"}
    return names.get(finding.direction, "A cut this way")


def _verdict(
    what: str,
    length: float,
    run: float,
    here: Section,
    severity: Severity,
    *,
    out_of_range: bool,
    certain: bool,
) -> Sentence:
    values = {
        "length": Quantity(length, "m"),
        "run_length": Quantity(run, "m"),
        "radius": Quantity(here.radius_m, "m"),
    }
    if out_of_range:
        text = f"{what} longer than the tube's radius, {{radius}}, lets the bladder out; do not inflate."
    elif certain:
        text = f"{what} of {{length}} runs here for certain; do not inflate."
    elif severity.load_ratio >= 1:
        text = f"{what} runs at about {{run_length}} here; do not inflate."
    elif run < here.radius_m:
        text = f"{what} runs at about {{run_length}} here; this one is {{length}}."
    else:
        text = f"{what} lets the bladder out at {{radius}} here; this one is {{length}}."
    return Sentence(text, {name: value for name, value in values.items() if f"{{{name}}}" in text})


def _unknowns(finding: Finding, length: float) -> list[Sentence]:
    said = []
    if finding.length_m is None:
        text = "The length was not measured: taken as the tube's radius, {length}."
        said.append(Sentence(text, {"length": Quantity(length, "m")}))
    if finding.kind is not FindingKind.HOLE and direction_unknown(finding):
        said.append(Sentence("The direction was not said: taken the worse way."))
    return said


def _bulging(
    here: Section,
    loads: tuple[Load, Load],
    severity: Severity,
    length: float,
    finding: Finding,
    cases: LoadCases,
) -> list[Sentence]:
    if severity.load_ratio >= 1 or _bulging_ratio(here, loads, severity, length, finding, cases) < 1:
        return []
    return [Sentence("As the lips of the cut bulge it may run already: do not inflate.")]


def _bulging_ratio(
    here: Section,
    loads: tuple[Load, Load],
    severity: Severity,
    length: float,
    finding: Finding,
    cases: LoadCases,
) -> float:
    """The hopeful bound of the yarns around, raised by the bulging of the lips."""
    across = length * crossings(finding)[0]
    bulge = slit.bulging_factor(across, here.radius_m, THICKNESS_M * here.plies)
    return severity.hopeful_load_ratio * bulge if severity.pull.direction == "around the tube" else 0.0


def _words_of_loads(
    pattern: Pattern, here: Section, loads: tuple[Load, Load], cases: LoadCases
) -> list[Sentence]:
    said = []
    if loads[0].folds:
        said.append(_folds("Riding, the tube folds here", loads[0]))
    lost = load_with_point_lost(pattern, here, cases)
    if lost is not None:
        said.append(_lost(lost))
    if here.plies > 1:
        said.append(Sentence("The casing is doubled here: two plies are counted."))
    if here.station is not None and not pattern.held and not any(pattern.bridle_stations):
        said.append(Sentence("The bridle points are not known: taken as held at the centre."))
    return said


def _folds(beginning: str, load: Load) -> Sentence:
    text = beginning + ": bending of {moment} is more than it can carry. The tension is taken just before."
    return Sentence(text, {"moment": Quantity(load.moment_nm, "N m")})


def _lost(load: Load) -> Sentence:
    if load.folds:
        return _folds("With one inner bridle point lost the tube would fold here", load)
    text = "With one inner bridle point lost the tube would carry {tension} along itself here."
    return Sentence(text, {"tension": Quantity(load.axial_n_per_m, "N/m")})


def _inputs(pattern: Pattern, here: Section, finding: Finding, cases: LoadCases, pull: Pull) -> list[Figure]:
    cloth = pattern.casing
    warp = pull.direction == "around the tube"
    strength = cloth.strength_warp_n_per_m if warp else cloth.strength_weft_n_per_m
    figures = [
        given(
            "rated pressure",
            pattern.rated_pressure_pa,
            "Pa",
            PATTERN,
            assumed="rated_pressure_pa" in pattern.assumed,
        ),
        given("radius", here.radius_m, "m", PATTERN, assumed="leading_edge" in pattern.assumed),
        given("strength of the cloth", strength, "N/m", CLOTH, assumed=not cloth.measured),
        given("plies", here.plies, "", PATTERN),
    ]
    share = condition_share(finding.condition, cases)
    if share != 1:
        figures.append(given("left by its condition", share, "", CASES, assumed=True))
    return figures


def _tensions(pattern: Pattern, here: Section, loads: tuple[Load, Load]) -> list[Figure]:
    riding, hot = loads
    gas, beam = (
        "ideal gas",
        "lift spread as an ellipse (lifting-line theory); three-moment equation, Clapeyron 1857",
    )
    figures = [
        step(
            "pressure, hot beach",
            hot.pressure_pa,
            "Pa",
            "rated pressure heated in a closed tube",
            gas,
            assumed=True,
        ),
        step("tension around, riding", riding.hoop_n_per_m, "N/m", "rated pressure × radius", MEMBRANE),
        step("tension around, hot beach", hot.hoop_n_per_m, "N/m", "pressure, hot beach × radius", MEMBRANE),
    ]
    if here.station is not None:
        collapse = collapse_moment(riding.pressure_pa, here.radius_m)
        figures.append(
            step(
                "bending, riding",
                riding.moment_nm,
                "N m",
                "lift of the leading edge × its lever",
                beam,
                assumed=True,
            )
        )
        figures.append(
            step("bending at collapse", collapse, "N m", "π × rated pressure × radius cubed", "NASA TN D-457")
        )
    taut = "tension along at rest + what bending adds on the taut side"
    figures.append(step("tension along, riding", riding.axial_n_per_m, "N/m", taut, "Comer & Levy 1963"))
    return figures


def _steps_of_cut(
    severity: Severity,
    run: float,
    here: Section,
    loads: tuple[Load, Load],
    length: float,
    finding: Finding,
    cases: LoadCases,
) -> list[Figure]:
    pull = severity.pull
    return [
        step(
            "strength left",
            pull.strength_n_per_m,
            "N/m",
            "strength of the cloth × plies × what is left",
            CLOTH,
        ),
        step(
            "yarns cut",
            severity.broken,
            "",
            f"length across the yarns {pull.direction} × yarns per metre",
            CLOTH,
        ),
        step(
            "stress factor",
            severity.factor,
            "",
            "what the first sound yarn carries beside the cut",
            HEDGEPETH,
        ),
        step(
            "load ratio",
            severity.load_ratio,
            "",
            f"tension {pull.direction} × stress factor ÷ strength left",
            HEDGEPETH,
        ),
        step(
            "run length", run, "m", "length at which the load ratio reaches 1, at most the radius", HEDGEPETH
        ),
    ]
