"""Which rule judges which kind of finding on which part."""

from collections.abc import Callable
from enum import Enum, auto

from shoprepair.mechanics import attachment, bladder, casing, sailcloth
from shoprepair.mechanics.description import Element, Finding, FindingKind, LoadCases, Pattern, Place
from shoprepair.mechanics.domain import Refused
from shoprepair.mechanics.outcome import Outcome
from shoprepair.mechanics.words import gettext_noop

Rule = Callable[[Pattern, Place, Finding, LoadCases], Outcome]


class Part(Enum):
    """What the rules tell apart."""

    LEADING_EDGE = auto()
    STRUT = auto()
    ATTACHMENT = auto()
    VALVE = auto()
    HOSE = auto()
    SAILCLOTH = auto()


PARTS = {
    Element.LEADING_EDGE: Part.LEADING_EDGE,
    Element.STRUT: Part.STRUT,
    Element.HANDLE: Part.ATTACHMENT,
    Element.BRIDLE_POINT: Part.ATTACHMENT,
    Element.VALVE: Part.VALVE,
    Element.HOSE: Part.HOSE,
    Element.CANOPY: Part.SAILCLOTH,
    Element.WINDOW: Part.SAILCLOTH,
    Element.TRAILING_EDGE: Part.SAILCLOTH,
}
ON_CASING = (Part.LEADING_EDGE, Part.STRUT, Part.ATTACHMENT, Part.VALVE)
SOUND: dict[Part, Rule] = {
    **dict.fromkeys(ON_CASING, casing.sound),
    Part.SAILCLOTH: sailcloth.sound,
    Part.HOSE: bladder.sound_hose,
}

_CUT: dict[Part, Rule] = {
    **dict.fromkeys(ON_CASING, casing.cut),
    Part.HOSE: bladder.leak,
    Part.SAILCLOTH: sailcloth.tear,
}
_AIR = (*ON_CASING, Part.HOSE)
_RULES: dict[FindingKind, dict[Part, Rule]] = {
    FindingKind.CUT: _CUT,
    FindingKind.HOLE: _CUT,
    FindingKind.TEAR: _CUT,
    FindingKind.CRACK: {**_CUT, Part.VALVE: bladder.leak},
    FindingKind.SCUFF: {
        **dict.fromkeys(ON_CASING, casing.scuff),
        Part.SAILCLOTH: sailcloth.scuff,
    },
    FindingKind.SEAM_OPENED: {
        **dict.fromkeys(ON_CASING, casing.seam),
        Part.ATTACHMENT: attachment.stitching,
        Part.SAILCLOTH: sailcloth.seam,
    },
    FindingKind.STITCHING: {
        Part.LEADING_EDGE: casing.seam,
        Part.STRUT: attachment.stitching,
        Part.ATTACHMENT: attachment.stitching,
        Part.SAILCLOTH: sailcloth.seam,
    },
    FindingKind.BURST: dict.fromkeys(_AIR, bladder.burst),
    FindingKind.LEAK: dict.fromkeys(_AIR, bladder.leak),
}


OTHER_KIND = gettext_noop("This part cannot have that damage: choose another kind of damage.")


def rule_for(place: Place, finding: Finding) -> Rule:
    """The rule for this kind of finding on this part; ValueError where the part cannot have it."""
    rule = _RULES[finding.kind].get(PARTS[place.element])
    if rule is None:
        raise Refused(OTHER_KIND)
    return rule
