"""What nobody said of a damage, and what was taken instead: the dearer or the worse."""

from collections.abc import Iterator

from django.utils.translation import gettext

from shoprepair.mechanics.description import (
    Answer,
    Element,
    Face,
    FindingKind,
    Fold,
    Quantity,
    Sentence,
    Softens,
)
from shoprepair.pricing.proposals.remedies import Situation, part

SIZED = (
    "casing-",
    "canopy-",
    "window-",
    "trailing-",
    "stretch-",
    "bladder-patch",
    "le-burst-rebuild",
    "strut-burst-rebuild",
    "closing-seam-resew",
    "segment-seam-resew",
)
"""Operations whose size follows the damage's, by how their codes begin."""
_AIR = ("bladder-", "valve-", "dump-", "hose-")
_FITTINGS = ("handle-", "bridle-", "strut-")
_MEASURED = frozenset(FindingKind) - {FindingKind.LEAK, FindingKind.STITCHING, FindingKind.STAIN}
_MAY_GO_THROUGH = (FindingKind.CUT, FindingKind.HOLE, FindingKind.SEAM_OPENED)


def unknowns(found: Situation, code: str) -> tuple[Sentence, ...]:
    """What was taken for want of an answer, as far as it matters to one operation; a sentence each."""
    return tuple(sentence for codes, sentence in _all(found) if code.startswith(codes))


def _all(found: Situation) -> Iterator[tuple[tuple[str, ...], Sentence]]:
    kind, on_tube = found.kind, part(found) in (Element.LEADING_EDGE, Element.STRUT)
    if found.length_m is None and kind in _MEASURED:
        length = {"length": Quantity(found.taken_m, "m")}
        yield SIZED, Sentence(gettext("The length was not measured: taken as {length}."), length)
    if on_tube and kind in _MAY_GO_THROUGH and found.through_bladder is Answer.UNKNOWN:
        yield _AIR, Sentence(gettext("Nobody said whether the bladder is whole: taken as hurt too."))
    if kind is FindingKind.SCUFF and found.fold is Fold.UNTRIED:
        yield ("casing-",), Sentence(gettext("The fold was not tried: taken as folding to an edge."))
    if kind is FindingKind.LEAK and found.softens is Softens.UNKNOWN:
        yield _AIR, Sentence(gettext("How fast it softens was not said: taken as within minutes."))
    if kind is FindingKind.STITCHING and found.stitched_left_m is None:
        yield _FITTINGS, Sentence(gettext("How much stitching is left was not said: taken as none."))
    if on_tube and kind is FindingKind.SEAM_OPENED and found.face is Face.UNKNOWN:
        taken = gettext("Which seam opened was not said: taken as one between two segments.")
        yield ("segment-",), Sentence(taken)
    if kind is FindingKind.RESIDUE and found.under is None:
        look = gettext("What lies under the old patch is not known: look before the price is final.")
        yield ("stretch-",), Sentence(look)
