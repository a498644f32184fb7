"""One finding at one place of one pattern: how dangerous it is, and why.

`assess` follows the rule for the kind of finding and the part it lies on, puts the floors of the trade
on top, and adds what to inspect besides and what to beware of.
"""

from shoprepair.mechanics import casing
from shoprepair.mechanics.bands import LEAST_RATIO, band, urgency
from shoprepair.mechanics.beside import inspect
from shoprepair.mechanics.cautions import cautions
from shoprepair.mechanics.checks import COVERS, check
from shoprepair.mechanics.description import (
    DEFAULT_CASES,
    Assessment,
    Finding,
    FindingKind,
    LoadCases,
    Pattern,
    Place,
    Sentence,
)
from shoprepair.mechanics.loads import leading_edge_section, strut_section
from shoprepair.mechanics.outcome import Outcome
from shoprepair.mechanics.rules import ON_CASING, PARTS, SOUND, Part, rule_for
from shoprepair.mechanics.words import gettext_noop

__all__ = ["MODEL_VERSION", "assess", "band", "sound_load_ratio", "sound_strut_ratio", "urgency"]

MODEL_VERSION = "1"
"""Grows whenever the same finding may be answered differently than before."""
_JUDGED_BY = {
    (FindingKind.CUT, FindingKind.RESIDUE): gettext_noop("Judged by the cut under the residue."),
    (FindingKind.CUT, FindingKind.STAIN): gettext_noop("Judged by the cut under the stain."),
    (FindingKind.HOLE, FindingKind.RESIDUE): gettext_noop("Judged by the hole under the residue."),
    (FindingKind.HOLE, FindingKind.STAIN): gettext_noop("Judged by the hole under the stain."),
    (FindingKind.SCUFF, FindingKind.RESIDUE): gettext_noop("Judged by the scuff under the residue."),
    (FindingKind.SCUFF, FindingKind.STAIN): gettext_noop("Judged by the scuff under the stain."),
    (FindingKind.SEAM_OPENED, FindingKind.RESIDUE): gettext_noop(
        "Judged by the seam opened under the residue."
    ),
    (FindingKind.SEAM_OPENED, FindingKind.STAIN): gettext_noop("Judged by the seam opened under the stain."),
    (FindingKind.BURST, FindingKind.RESIDUE): gettext_noop("Judged by the burst under the residue."),
    (FindingKind.BURST, FindingKind.STAIN): gettext_noop("Judged by the burst under the stain."),
    (FindingKind.LEAK, FindingKind.RESIDUE): gettext_noop("Judged by the leak under the residue."),
    (FindingKind.LEAK, FindingKind.STAIN): gettext_noop("Judged by the leak under the stain."),
    (FindingKind.TEAR, FindingKind.RESIDUE): gettext_noop("Judged by the tear under the residue."),
    (FindingKind.TEAR, FindingKind.STAIN): gettext_noop("Judged by the tear under the stain."),
    (FindingKind.CRACK, FindingKind.RESIDUE): gettext_noop("Judged by the crack under the residue."),
    (FindingKind.CRACK, FindingKind.STAIN): gettext_noop("Judged by the crack under the stain."),
    (FindingKind.STITCHING, FindingKind.RESIDUE): gettext_noop(
        "Judged by the stitching gone under the residue."
    ),
    (FindingKind.STITCHING, FindingKind.STAIN): gettext_noop("Judged by the stitching gone under the stain."),
}


def assess(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases = DEFAULT_CASES) -> Assessment:
    """Judge a finding. Raises ValueError with one sentence for what cannot be, such as a burst canopy.

    The load ratio is the arithmetic's; band and urgency are at least what the trade's rules say.
    """
    check(pattern, place, finding, cases)
    part = PARTS[place.element]
    outcome = _judge(pattern, place, finding, cases, part)
    least = LEAST_RATIO[outcome.floor.least] if outcome.floor else 0.0
    level = max(outcome.load_ratio, least)
    reason, reasons = _sentences(outcome, lifted=outcome.load_ratio < least)
    return Assessment(
        load_ratio=outcome.load_ratio,
        urgency=urgency(level),
        band=band(level),
        case=outcome.case,
        reason=reason,
        reasons=reasons,
        figures=tuple(outcome.figures),
        demand_n_per_m=outcome.demand_n_per_m,
        run_length_m=outcome.run_length_m,
        hopeful_load_ratio=outcome.hopeful_load_ratio,
        runs_for_certain=outcome.runs_for_certain,
        out_of_range=outcome.out_of_range,
        pinhole_m=outcome.pinhole_m,
        inspect=inspect(pattern, place, finding, on_casing=part in ON_CASING),
        cautions=cautions(band(level), under_pressure=part is not Part.SAILCLOTH),
    )


def sound_load_ratio(pattern: Pattern, station: float, cases: LoadCases = DEFAULT_CASES) -> float:
    """Load ratio of whole casing cloth on the leading edge at a station, for the load map."""
    return casing.sound_ratio(pattern, leading_edge_section(pattern, station), cases)


def sound_strut_ratio(
    pattern: Pattern, strut_index: int, cases: LoadCases = DEFAULT_CASES, fraction: float = 0.0
) -> float:
    """Load ratio of whole casing cloth on a strut, at its root unless a share of its length is given."""
    return casing.sound_ratio(pattern, strut_section(pattern, strut_index, fraction), cases)


def _sentences(outcome: Outcome, *, lifted: bool) -> tuple[Sentence, tuple[Sentence, ...]]:
    """The deciding sentence and the others. A rule that lifts the band has decided, so it is said with it."""
    if outcome.floor is None:
        return outcome.reason, tuple(outcome.reasons)
    rule = outcome.floor.sentence
    if not lifted:
        return outcome.reason, (rule, *outcome.reasons)
    both = Sentence(f"{outcome.reason.text} {rule.text}", {**outcome.reason.values, **rule.values})
    return both, tuple(outcome.reasons)


def _judge(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases, part: Part) -> Outcome:
    if finding.kind in COVERS:
        return _judge_covered(pattern, place, finding, cases, part)
    return rule_for(place, finding)(pattern, place, finding, cases)


def _judge_covered(pattern: Pattern, place: Place, finding: Finding, cases: LoadCases, part: Part) -> Outcome:
    """Residue or a stain: the flaw under it where known, and never less than whole cloth."""
    whole = SOUND[part](pattern, place, finding, cases)
    if finding.under is None:
        whole.reasons.insert(
            0, Sentence(gettext_noop("What lies under it is not known: whole cloth is taken."))
        )
        return whole
    flaw = _judge(pattern, place, finding.under, cases, part)
    if flaw.load_ratio < whole.load_ratio:
        whole.reasons.insert(0, flaw.reason)
        whole.floor = flaw.floor
        return whole
    flaw.reasons.insert(0, Sentence(_JUDGED_BY[finding.under.kind, finding.kind]))
    return flaw
