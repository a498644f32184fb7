"""What to look at besides the damage itself."""

from shoprepair.mechanics.checks import COVERS
from shoprepair.mechanics.description import (
    Answer,
    Element,
    Finding,
    FindingKind,
    Pattern,
    Place,
    Sentence,
)
from shoprepair.mechanics.loads import section
from shoprepair.mechanics.words import gettext_noop

_THROUGH = {FindingKind.CUT, FindingKind.HOLE, FindingKind.TEAR, FindingKind.CRACK}
_OTHER_SIDE = {"left": "right", "right": "left"}
_MIRROR = {
    (True, "left"): gettext_noop(
        "Look at the mirror place, the matching strut, left: after a burst it is the next to go."
    ),
    (True, "right"): gettext_noop(
        "Look at the mirror place, the matching strut, right: after a burst it is the next to go."
    ),
    (False, "left"): gettext_noop(
        "Look at the mirror place, as far left of the centre: after a burst it is the next to go."
    ),
    (False, "right"): gettext_noop(
        "Look at the mirror place, as far right of the centre: after a burst it is the next to go."
    ),
}


def inspect(pattern: Pattern, place: Place, finding: Finding, *, on_casing: bool) -> tuple[Sentence, ...]:
    """The mirror place of a burst, the bladder behind an opening, the second ply, what residue hides."""
    laid_bare = finding.under or finding
    looks = []
    if laid_bare.kind is FindingKind.BURST:
        looks += [
            _mirror(place),
            Sentence(gettext_noop("Look at the bladder: a burst usually takes it too.")),
        ]
    if on_casing and laid_bare.kind in _THROUGH:
        looks += _bladder(laid_bare)
    if on_casing and laid_bare.kind is FindingKind.SEAM_OPENED:
        looks.append(
            Sentence(gettext_noop("Look at the bladder behind the seam: it may have bulged out and chafed."))
        )
    if on_casing and laid_bare.kind is not FindingKind.LEAK and section(pattern, place).plies > 1:
        looks.append(Sentence(gettext_noop("The casing is doubled here: look at both plies.")))
    if laid_bare.kind is FindingKind.LEAK:
        looks.append(Sentence(gettext_noop("Look at valves and hose ends before the film.")))
    if laid_bare.kind is FindingKind.STITCHING:
        looks.append(Sentence(gettext_noop("Look at the same stitching on the other side.")))
    if laid_bare.kind in COVERS:
        looks.append(Sentence(gettext_noop("Peel or clean it off and look at the cloth under it.")))
    return tuple(looks)


def _bladder(finding: Finding) -> list[Sentence]:
    return {
        Answer.YES: [
            Sentence(gettext_noop("The bladder behind it is hurt too: it needs a patch of its own."))
        ],
        Answer.NO: [],
        Answer.UNKNOWN: [
            Sentence(gettext_noop("Look at the bladder behind it: nobody said whether it is whole."))
        ],
    }[finding.through_bladder]


def _mirror(place: Place) -> Sentence:
    if place.side not in _OTHER_SIDE or place.station == 0:
        return Sentence(
            gettext_noop("The burst lies at the centre and has no mirror place: look at both sides of it.")
        )
    other = _OTHER_SIDE[place.side]
    on_strut = place.element is Element.STRUT
    return Sentence(_MIRROR[on_strut, other])
