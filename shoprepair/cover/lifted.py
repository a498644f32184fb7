"""Which rule of the trade put a damage higher than its load ratio alone, read from its record."""

from shoprepair.cover.reading import Mended
from shoprepair.mechanics import floors
from shoprepair.mechanics.bands import LEAST_RATIO
from shoprepair.mechanics.description import Band, FindingKind, Sentence
from shoprepair.mechanics.words import gettext_noop

_AT_LEAST: dict[str, Sentence] = {
    FindingKind.CUT: floors.CUT.sentence,
    FindingKind.HOLE: floors.CUT.sentence,
    FindingKind.SEAM_OPENED: floors.SEAM.sentence,
    FindingKind.SCUFF: Sentence(
        gettext_noop("A scuff that folds to an edge, or whose fold was not tried, is at least Repair first.")
    ),
}
_GROUNDS: dict[str, Sentence] = {FindingKind.BURST: floors.BURST.sentence}
_OTHERWISE = Sentence(gettext_noop("A rule of the trade puts it higher than its load ratio does."))


def lifting_rule(mended: Mended) -> Sentence | None:
    """The rule, where the band that was given is more than its ratio gives; None where the figures decided.

    A record keeps the kind, not how the fold felt or what lay under a stain, so it is said as widely as that.
    """
    if mended.load_ratio is None or not mended.band or mended.load_ratio >= LEAST_RATIO[Band(mended.band)]:
        return None
    if mended.band == Band.GROUNDED:
        return _GROUNDS.get(mended.kind, floors.OUT_OF_RANGE.sentence)
    return _AT_LEAST.get(mended.kind, _OTHERWISE)
