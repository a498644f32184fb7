"""A cut through loaded cloth, in any direction: the part that casing and sailcloth share."""

from dataclasses import dataclass
from math import cos, inf, pi, sin

from shoprepair.mechanics import slit
from shoprepair.mechanics.description import (
    Cloth,
    Condition,
    Direction,
    Figure,
    Finding,
    FindingKind,
    LoadCases,
    Sentence,
)
from shoprepair.mechanics.loads import HOT_BEACH, POINT_LOST, RIDING
from shoprepair.mechanics.outcome import CASES, given
from shoprepair.mechanics.words import gettext_noop

YARNS_WHERE_UNKNOWN_PER_M = 2400.0
"""Counted for a film, which has none, and for a cloth whose yarns nobody counted."""


AROUND, ALONG = "around", "along"
CHORD, SPAN = "along the chord", "along the span"
"""Which way a pull goes: compared, and never said but in the names below."""
TENSION = {
    (AROUND, RIDING): gettext_noop("tension around, riding"),
    (ALONG, RIDING): gettext_noop("tension along, riding"),
    (AROUND, HOT_BEACH): gettext_noop("tension around, hot beach"),
    (ALONG, HOT_BEACH): gettext_noop("tension along, hot beach"),
    (ALONG, POINT_LOST): gettext_noop("tension along, one inner bridle point lost"),
    (CHORD, RIDING): gettext_noop("tension along the chord, riding"),
    (SPAN, RIDING): gettext_noop("tension along the span, riding"),
}
STRENGTH = {
    AROUND: gettext_noop("cloth strength around"),
    ALONG: gettext_noop("cloth strength along"),
    CHORD: gettext_noop("cloth strength along the chord"),
    SPAN: gettext_noop("cloth strength along the span"),
}
"""Strip strength as it is called among the figures."""
_LEFT = {
    Condition.FADED: gettext_noop("left in faded cloth"),
    Condition.BRITTLE: gettext_noop("left in brittle cloth"),
}


@dataclass(frozen=True, slots=True)
class Pull:
    """One loaded direction of the cloth: what pulls on it and what holds."""

    direction: str
    case: str
    tension_n_per_m: float
    strength_n_per_m: float
    yarns_per_m: float
    crossing: float
    """Share of the cut's length that lies across these yarns."""

    @property
    def plain_ratio(self) -> float:
        """Load ratio of the uncut cloth."""
        return self.tension_n_per_m / self.strength_n_per_m

    @property
    def name(self) -> str:
        """As the tension is called among the figures."""
        return TENSION[self.direction, self.case]


@dataclass(frozen=True, slots=True)
class Severity:
    """The worst of the pulls on one cut, and the least length at which any of them makes it run."""

    pull: Pull
    broken: int
    factor: float
    load_ratio: float
    hopeful_load_ratio: float
    run_length_m: float

    @property
    def certain(self) -> bool:
        """Whether even the hopeful bound says that it runs."""
        return self.hopeful_load_ratio >= 1


def crossings(finding: Finding) -> tuple[float, float]:
    """Shares of a cut's length across the yarns around (canopy: chordwise), and across those along.

    A hole cuts both in full; so, at worst, does a cut whose direction nobody said.
    """
    if finding.kind is FindingKind.HOLE or direction_unknown(finding):
        return 1.0, 1.0
    angle = {Direction.ALONG: 0.0, Direction.AROUND: pi / 2}.get(finding.direction, finding.angle_rad or 0.0)
    return _unless_tiny(abs(cos(angle))), _unless_tiny(abs(sin(angle)))


def direction_unknown(finding: Finding) -> bool:
    """Whether the direction matters and nobody said it."""
    if finding.kind is FindingKind.HOLE:
        return False
    unsaid = finding.direction is Direction.ANGLE and finding.angle_rad is None
    return unsaid or finding.direction is Direction.UNKNOWN


def worst(pulls: list[Pull], length_m: float, flaw_length_m: float) -> Severity:
    """The pull with the highest cautious load ratio, the others' hopeful ratios and run lengths in view."""
    severities = [_severity(pull, length_m, flaw_length_m) for pull in pulls if pull.crossing > 0]
    deciding = max(severities, key=lambda severity: severity.load_ratio)
    hopeful = max(severity.hopeful_load_ratio for severity in severities)
    return Severity(
        deciding.pull,
        deciding.broken,
        deciding.factor,
        deciding.load_ratio,
        min(hopeful, deciding.load_ratio),
        min(severity.run_length_m for severity in severities),
    )


def yarns(cloth: Cloth) -> tuple[float, float]:
    """Warp and weft yarns per m, the stand-in where none are known."""
    return (
        cloth.yarns_warp_per_m or YARNS_WHERE_UNKNOWN_PER_M,
        cloth.yarns_weft_per_m or YARNS_WHERE_UNKNOWN_PER_M,
    )


def condition(finding: Finding, cases: LoadCases) -> list[Figure]:
    """What fading and brittleness leave of the strength; nothing to say of sound cloth."""
    if finding.condition is Condition.SOUND:
        return []
    faded = finding.condition is Condition.FADED
    share = cases.faded_share if faded else cases.brittle_share
    return [given(_LEFT[finding.condition], share, "", CASES, assumed=True)]


def about_the_direction(finding: Finding) -> list[Sentence]:
    if direction_unknown(finding):
        return [Sentence(gettext_noop("The direction was not said: taken the worse way."))]
    return []


def _severity(pull: Pull, length_m: float, flaw_length_m: float) -> Severity:
    across = length_m * pull.crossing
    broken = slit.yarns_over(across, pull.yarns_per_m)
    factor = slit.yarn_stress_factor(broken)
    run = slit.run_length(pull.tension_n_per_m, pull.strength_n_per_m, pull.yarns_per_m)
    hopeful = pull.plain_ratio * slit.flaw_stress_factor(across, flaw_length_m)
    return Severity(
        pull,
        broken,
        factor,
        pull.plain_ratio * factor,
        hopeful,
        run / pull.crossing if run < inf else inf,
    )


def _unless_tiny(share: float) -> float:
    return share if share > 1e-6 else 0.0
