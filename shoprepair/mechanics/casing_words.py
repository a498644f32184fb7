"""What is said of a damaged casing."""

from shoprepair.mechanics import slit, verdicts
from shoprepair.mechanics.cutting import AROUND, Severity, about_the_direction, direction_unknown
from shoprepair.mechanics.description import (
    Direction,
    Finding,
    FindingKind,
    Pattern,
    Quantity,
    Sentence,
)
from shoprepair.mechanics.loads import Load, Site, bridle_unknown
from shoprepair.mechanics.words import gettext_noop

THICKNESS_M = 0.0002
"""Of one ply of casing cloth, assumed; only the warning of bulging lips hangs on it."""
_FOLDS = gettext_noop(
    "Riding, the tube folds here: bending of {moment} is more than it carries. "
    "Its tension is taken just before."
)
_WOULD_FOLD = gettext_noop(
    "With one inner bridle point lost the tube would fold here: "
    "bending of {moment} is more than it carries. Its tension is taken just before."
)


def name_of_cut(finding: Finding) -> str:
    if finding.kind is FindingKind.HOLE:
        return verdicts.HOLE
    if direction_unknown(finding):
        return verdicts.CUT
    names = {Direction.ALONG: verdicts.CUT_ALONG, Direction.AROUND: verdicts.CUT_AROUND}
    return names.get(finding.direction, verdicts.CUT_THIS_WAY)


def about_the_unknown(finding: Finding, length_m: float | None, radius_m: float) -> list[Sentence]:
    said = about_the_direction(finding)
    if length_m is None:
        text = gettext_noop("The length was not measured: taken as the tube's radius, {length}.")
        said.append(Sentence(text, {"length": Quantity(radius_m, "m")}))
    return said


def about_the_bulge(at: Site, severity: Severity, length_m: float) -> list[Sentence]:
    """A warning where only the bulging of the lips makes a cut along the tube run (Folias 1965)."""
    if severity.load_ratio >= 1 or severity.pull.direction != AROUND:
        return []
    across = length_m * severity.pull.crossing
    bulge = slit.bulging_factor(across, at.here.radius_m, THICKNESS_M * at.here.plies)
    if severity.hopeful_load_ratio * bulge < 1:
        return []
    return [Sentence(gettext_noop("As the lips of the cut bulge it may run already: do not inflate."))]


def about_the_loads(pattern: Pattern, at: Site) -> list[Sentence]:
    """Folding, the bridle point lost, the bridle unknown, the doubling."""
    said = []
    if at.riding.folds:
        said.append(_folds(_FOLDS, at.riding))
    if at.point_lost is not None:
        said.append(_lost(at.point_lost))
    if at.here.station is not None and bridle_unknown(pattern):
        said.append(Sentence(gettext_noop("The bridle points are not known: taken as held at the centre.")))
    if at.here.plies > 1:
        said.append(Sentence(gettext_noop("The casing is doubled here: two plies are counted.")))
    return said


def _folds(text: str, load: Load) -> Sentence:
    return Sentence(text, {"moment": Quantity(load.moment_nm, "N m")})


def _lost(load: Load) -> Sentence:
    if load.folds:
        return _folds(_WOULD_FOLD, load)
    text = gettext_noop(
        "With one inner bridle point lost it would carry {tension} along the tube here; not counted."
    )
    return Sentence(text, {"tension": Quantity(load.axial_n_per_m, "N/m")})
