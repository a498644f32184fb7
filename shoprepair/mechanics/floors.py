"""Rules that stand above the arithmetic: common practice of the trade, said in words wherever they apply.

A finding is never banded below its floor, whatever its load ratio.
"""

from dataclasses import dataclass

from shoprepair.mechanics.description import Band, Sentence
from shoprepair.mechanics.words import gettext_noop


@dataclass(frozen=True, slots=True)
class Floor:
    least: Band
    sentence: Sentence


BURST = Floor(Band.GROUNDED, Sentence(gettext_noop("A burst is Grounded.")))
OUT_OF_RANGE = Floor(
    Band.GROUNDED,
    Sentence(gettext_noop("An opening longer than the tube's radius is Grounded: the bladder comes out.")),
)
CUT = Floor(
    Band.REPAIR_FIRST,
    Sentence(
        gettext_noop(
            "Any cut in a casing is shop work, at least Repair first; canopy tape never holds on a casing."
        )
    ),
)
SEAM = Floor(Band.REPAIR_FIRST, Sentence(gettext_noop("Any opened casing seam is at least Repair first.")))
FOLDED = Floor(
    Band.REPAIR_FIRST,
    Sentence(gettext_noop("It folds to an edge, so about half its cloth is gone: at least Repair first.")),
)
UNTRIED = Floor(
    Band.REPAIR_FIRST,
    Sentence(gettext_noop("The fold was not tried: taken as folding to an edge, at least Repair first.")),
)
