"""Which kinds of damage an element can have, and which few questions each of them needs."""

from shoprepair.jobs.models import Damage
from shoprepair.mechanics.description import Element, Face, FindingKind

_TUBE = (
    FindingKind.CUT,
    FindingKind.HOLE,
    FindingKind.SCUFF,
    FindingKind.SEAM_OPENED,
    FindingKind.BURST,
    FindingKind.LEAK,
    FindingKind.RESIDUE,
    FindingKind.STAIN,
)
_KINDS = {
    Element.LEADING_EDGE: _TUBE,
    Element.STRUT: (*_TUBE, FindingKind.STITCHING),
    Element.CANOPY: (
        FindingKind.TEAR,
        FindingKind.HOLE,
        FindingKind.SCUFF,
        FindingKind.SEAM_OPENED,
        FindingKind.RESIDUE,
        FindingKind.STAIN,
    ),
    Element.WINDOW: (
        FindingKind.CRACK,
        FindingKind.TEAR,
        FindingKind.HOLE,
        FindingKind.SEAM_OPENED,
        FindingKind.RESIDUE,
        FindingKind.STAIN,
    ),
    Element.TRAILING_EDGE: (FindingKind.TEAR, FindingKind.HOLE, FindingKind.SEAM_OPENED, FindingKind.RESIDUE),
    Element.HANDLE: (FindingKind.STITCHING, *_TUBE),
    Element.BRIDLE_POINT: (FindingKind.STITCHING, *_TUBE),
    Element.VALVE: (FindingKind.LEAK, *(kind for kind in _TUBE if kind != FindingKind.LEAK)),
    Element.HOSE: (FindingKind.LEAK, *(kind for kind in _TUBE if kind != FindingKind.LEAK)),
}
_OF_THE_FITTING = {
    Element.HANDLE: FindingKind.STITCHING,
    Element.BRIDLE_POINT: FindingKind.STITCHING,
    Element.VALVE: FindingKind.LEAK,
    Element.HOSE: FindingKind.LEAK,
}
TUBES = (Element.LEADING_EDGE, Element.STRUT)
_ASKED = {
    FindingKind.CUT: ("length_m", "direction"),
    FindingKind.HOLE: ("length_m",),
    FindingKind.SCUFF: ("fold", "length_m"),
    FindingKind.SEAM_OPENED: ("length_m",),
    FindingKind.BURST: (),
    FindingKind.LEAK: ("softens",),
    FindingKind.TEAR: ("length_m", "direction"),
    FindingKind.CRACK: ("length_m",),
    FindingKind.STITCHING: ("stitched_left_m",),
    FindingKind.RESIDUE: ("under_kind",),
    FindingKind.STAIN: (),
}
_MEASURED = ("length_m", "stitched_left_m")


def kinds_for(element: Element | str) -> tuple[FindingKind, ...]:
    """What can be wrong with this element, the most usual first."""
    return _KINDS[Element(element)]


def element_for(pinned: Element | str, kind: FindingKind, *, on_strut: bool) -> Element:
    """What a damage of this kind lies on, where the pin hit `pinned`.

    Beside a fitting the pin hits the fitting; a cut there is a cut of the tube that carries it.
    """
    element = Element(pinned)
    if _OF_THE_FITTING.get(element, kind) == kind:
        return element
    return Element.STRUT if on_strut else Element.LEADING_EDGE


def questions_for(damage: Damage) -> tuple[str, ...]:
    """Names of the fields to ask for this damage, in the order of asking; the kind alone until it is said."""
    if not damage.kind:
        return ("kind",)
    kind, element = FindingKind(damage.kind), Element(damage.element)
    asked = ["kind", *_ASKED[kind]]
    if kind == FindingKind.RESIDUE and damage.under_kind:
        asked += _ASKED[FindingKind(damage.under_kind)]
    if "direction" in asked and damage.direction == "at an angle":
        asked.append("angle_deg")
    if element in TUBES and kind != FindingKind.LEAK:
        asked.append("face")
    if element in TUBES and kind in {FindingKind.CUT, FindingKind.HOLE, FindingKind.SEAM_OPENED}:
        asked.append("through_bladder")
    if kind not in {FindingKind.LEAK, FindingKind.RESIDUE}:
        asked.append("old_patch")
    if kind != FindingKind.STITCHING:
        asked.append("wet")
    return (*asked, "condition")


def faces_for(damage: Damage) -> tuple[Face, ...]:
    """Where around its tube this damage may lie, as far as an answer tells something.

    A strut has neither front nor back, but its seam that was sewn last is called the one at the back.
    """
    if Element(damage.element) == Element.STRUT and FindingKind.SEAM_OPENED not in (
        damage.kind,
        damage.under_kind,
    ):
        return (Face.TOP, Face.UNDERSIDE)
    return (Face.TOP, Face.FRONT, Face.BACK, Face.UNDERSIDE)


def required(damage: Damage) -> tuple[str, ...]:
    """The measured fields without which this damage cannot be judged; every other may stay *not said*."""
    return tuple(name for name in questions_for(damage) if name in _MEASURED)
