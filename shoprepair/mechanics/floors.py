"""Rules that stand above the arithmetic: common practice of the trade, each said in words where it applies."""

from dataclasses import dataclass

from shoprepair.mechanics.description import Band, Finding, FindingKind, Fold, Sentence
from shoprepair.mechanics.outcome import Outcome

_CUTS = {FindingKind.CUT, FindingKind.HOLE, FindingKind.TEAR, FindingKind.CRACK}
_SEAMS = {FindingKind.SEAM_OPENED, FindingKind.STITCHING}


@dataclass(frozen=True, slots=True)
class Floor:
    least: Band
    sentence: Sentence


def floor(finding: Finding, outcome: Outcome, *, on_casing: bool) -> Floor | None:
    """The least band that the trade gives this finding whatever the figures say; None where they decide."""
    if finding.kind is FindingKind.BURST:
        return Floor(Band.GROUNDED, Sentence("A burst is Grounded."))
    if not on_casing:
        return None
    if outcome.out_of_range:
        return Floor(Band.GROUNDED, Sentence("An opening longer than the tube's radius is Grounded."))
    if finding.kind in _CUTS:
        text = "Any cut in a casing is shop work, at least Repair first; canopy tape never holds on a casing."
        return Floor(Band.REPAIR_FIRST, Sentence(text))
    if finding.kind in _SEAMS:
        return Floor(Band.REPAIR_FIRST, Sentence("Any opened casing seam is at least Repair first."))
    if finding.kind is FindingKind.SCUFF and finding.fold is not Fold.ROUND:
        return Floor(Band.REPAIR_FIRST, Sentence(_FOLDS[finding.fold]))
    return None


_FOLDS = {
    Fold.EDGE: "Folded to an edge, about half its cloth is gone: at least Repair first.",
    Fold.UNTRIED: "The fold was not tried: taken as folding to an edge, at least Repair first.",
}
