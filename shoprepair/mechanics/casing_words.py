"""What is said of a damaged casing."""

from shoprepair.mechanics import slit
from shoprepair.mechanics.cutting import Severity, about_the_direction, direction_unknown
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


def name_of_cut(finding: Finding) -> str:
    if finding.kind is FindingKind.HOLE:
        return "A hole"
    if direction_unknown(finding):
        return "A cut"
    names = {
        Direction.ALONG: gettext_noop("A cut along the tube"),
        Direction.AROUND: gettext_noop("A cut around the tube"),
    }
    return names.get(finding.direction, "A cut this way")


def verdict(what: str, length_m: float, radius_m: float, severity: Severity) -> Sentence:
    """The sentence that decides: beyond the radius, running for certain, running, or holding so far."""
    run = severity.run_length_m
    if length_m > radius_m:
        text = f"{what} longer than the tube's radius, {{radius}}, lets the bladder out; do not inflate."
    elif severity.certain:
        text = f"{what} of {{length}} runs here for certain; do not inflate."
    elif severity.load_ratio >= 1:
        text = f"{what} runs at about {{run_length}} here; do not inflate."
    elif run < radius_m:
        text = f"{what} runs at about {{run_length}} here; this one is {{length}}."
    else:
        text = f"{what} lets the bladder out from {{radius}} here; this one is {{length}}."
    lengths = {"length": length_m, "run_length": run, "radius": radius_m}
    values = {name: Quantity(value, "m") for name, value in lengths.items() if f"{{{name}}}" in text}
    return Sentence(text, values)


def about_the_unknown(finding: Finding, length_m: float | None, radius_m: float) -> list[Sentence]:
    said = about_the_direction(finding)
    if length_m is None:
        text = gettext_noop("The length was not measured: taken as the tube's radius, {length}.")
        said.append(Sentence(text, {"length": Quantity(radius_m, "m")}))
    return said


def about_the_bulge(at: Site, severity: Severity, length_m: float) -> list[Sentence]:
    """A warning where only the bulging of the lips makes a cut along the tube run (Folias 1965)."""
    if severity.load_ratio >= 1 or severity.pull.direction != "around":
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
        said.append(_folds(gettext_noop("Riding, the tube folds here"), at.riding))
    if at.point_lost is not None:
        said.append(_lost(at.point_lost))
    if at.here.station is not None and bridle_unknown(pattern):
        said.append(Sentence(gettext_noop("The bridle points are not known: taken as held at the centre.")))
    if at.here.plies > 1:
        said.append(Sentence(gettext_noop("The casing is doubled here: two plies are counted.")))
    return said


def _folds(beginning: str, load: Load) -> Sentence:
    text = beginning + gettext_noop(
        ": bending of {moment} is more than it carries. Its tension is taken just before."
    )
    return Sentence(text, {"moment": Quantity(load.moment_nm, "N m")})


def _lost(load: Load) -> Sentence:
    if load.folds:
        return _folds(gettext_noop("With one inner bridle point lost the tube would fold here"), load)
    text = gettext_noop(
        "With one inner bridle point lost it would carry {tension} along the tube here; not counted."
    )
    return Sentence(text, {"tension": Quantity(load.axial_n_per_m, "N/m")})
