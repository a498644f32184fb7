"""Damage to a casing: cuts and holes, opened seams, scuffs; and whole cloth to measure them against."""

from shoprepair.mechanics import floors, verdicts
from shoprepair.mechanics.casing_figures import of_the_loads, of_the_strength
from shoprepair.mechanics.casing_words import (
    about_the_bulge,
    about_the_loads,
    about_the_unknown,
    name_of_cut,
)
from shoprepair.mechanics.cutting import ALONG, AROUND, Pull, condition, crossings, worst, yarns
from shoprepair.mechanics.cutting_figures import of_a_cut
from shoprepair.mechanics.description import (
    Cloth,
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
from shoprepair.mechanics.loads import Load, Section, banded, site
from shoprepair.mechanics.outcome import MEMBRANE, PATTERN, PRACTICE, Outcome, given, product, step
from shoprepair.mechanics.words import gettext_noop


def cut(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> Outcome:
    """A cut or hole: the tension beside its ends, by the cautious bound, over what the cloth holds."""
    shares = condition(finding, cases)
    outcome = _slit(pattern, place, finding, cases, shares, finding.length_m, name_of_cut(finding))
    outcome.floor = floors.OUT_OF_RANGE if outcome.out_of_range else floors.CUT
    return outcome


def seam(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> Outcome:
    """An opened seam: a slit along it, in cloth as weak as the seam."""
    guessed = "seam_efficiency" in pattern.assumed
    share = given(gettext_noop("seam efficiency"), pattern.seam_efficiency, "", PATTERN, assumed=guessed)
    shares = [share, *condition(finding, cases)]
    outcome = _slit(pattern, place, finding, cases, shares, _opened(finding), verdicts.SEAM)
    outcome.floor = floors.OUT_OF_RANGE if outcome.out_of_range else floors.SEAM
    return outcome


def scuff(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> Outcome:
    """Worn cloth: the plain tension over what the fold test says is left."""
    left = 1.0 if finding.fold is Fold.ROUND else cases.folded_share
    shares = [
        given(gettext_noop("left by the fold test"), left, "", PRACTICE, assumed=True),
        *condition(finding, cases),
    ]
    outcome = _whole_cloth(pattern, place, cases, shares, verdicts.OF_A_SCUFF)
    outcome.floor = {Fold.EDGE: floors.FOLDED, Fold.UNTRIED: floors.UNTRIED}.get(finding.fold)
    return outcome


def sound(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases) -> Outcome:
    """Whole cloth in the condition that the finding names."""
    return _whole_cloth(pattern, place, cases, condition(finding, cases), verdicts.OF_CLOTH)


def sound_ratio(pattern: Pattern, here: Section, cases: LoadCases) -> float:
    """Load ratio of whole cloth: the worse direction of the worse case."""
    pulls = _pulls(pattern.casing, here, banded(pattern, here, cases), 1.0, (1.0, 1.0))
    return max(pull.plain_ratio for pull in pulls)


def _whole_cloth(
    pattern: Pattern, place: Place, cases: LoadCases, shares: list[Figure], text: str
) -> Outcome:
    at = site(pattern, place, cases)
    pulls = _pulls(pattern.casing, at.here, (at.riding, at.hot), product(shares), (1.0, 1.0))
    pull = max(pulls, key=lambda pull: pull.plain_ratio)
    values = {
        "asked": Quantity(pull.tension_n_per_m, "N/m"),
        "left": Quantity(pull.strength_n_per_m, "N/m"),
    }
    ratio = step(gettext_noop("load ratio"), pull.plain_ratio, "", f"{pull.name} ÷ strength left", MEMBRANE)
    return Outcome(
        load_ratio=pull.plain_ratio,
        case=pull.case,
        reason=Sentence(text, values),
        reasons=about_the_loads(pattern, at),
        figures=[*of_the_loads(pattern, at, cases), *of_the_strength(pattern, at, pull, shares), ratio],
        demand_n_per_m=at.worst_n_per_m,
    )


def _slit(
    pattern: Pattern,
    place: Place,
    finding: Finding,
    cases: LoadCases,
    shares: list[Figure],
    length_m: float | None,
    what: str,
) -> Outcome:
    at = site(pattern, place, cases)
    radius = at.here.radius_m
    length = radius if length_m is None else length_m
    pulls = _pulls(pattern.casing, at.here, (at.riding, at.hot), product(shares), crossings(finding))
    severity = worst(pulls, length, cases.flaw_length_m)
    return Outcome(
        load_ratio=severity.load_ratio,
        case=severity.pull.case,
        reason=verdicts.of_a_casing(what, length, radius, severity),
        reasons=[
            *about_the_unknown(finding, length_m, radius),
            *about_the_bulge(at, severity, length),
            *about_the_loads(pattern, at),
        ],
        figures=[
            *of_the_loads(pattern, at, cases),
            *of_the_strength(pattern, at, severity.pull, shares),
            *of_a_cut(severity, length, radius, cases, limit="radius", measured=length_m is not None),
        ],
        demand_n_per_m=at.worst_n_per_m,
        run_length_m=min(severity.run_length_m, radius),
        hopeful_load_ratio=severity.hopeful_load_ratio,
        runs_for_certain=severity.certain,
        out_of_range=length > radius,
    )


def _pulls(
    cloth: Cloth, here: Section, loads: tuple[Load, Load], share: float, crossing: tuple[float, float]
) -> list[Pull]:
    strength = here.plies * share
    warp, weft = cloth.strength_warp_n_per_m * strength, cloth.strength_weft_n_per_m * strength
    warp_yarns, weft_yarns = yarns(cloth)
    pulls = []
    for load in loads:
        pulls.append(Pull(AROUND, load.case, load.hoop_n_per_m, warp, warp_yarns, crossing[0]))
        pulls.append(Pull(ALONG, load.case, load.axial_n_per_m, weft, weft_yarns, crossing[1]))
    return pulls


def _opened(finding: Finding) -> float | None:
    """How long a seam has opened: as measured, else what is missing of its stitching."""
    if finding.length_m is not None or finding.kind is not FindingKind.STITCHING:
        return finding.length_m
    whole, left = finding.stitched_whole_m, finding.stitched_left_m
    return whole - left if whole is not None and left is not None and left < whole else None
