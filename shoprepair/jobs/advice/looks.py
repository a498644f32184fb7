"""What a damage looks like to its owner, which looks a part can have, and what is asked about each."""

from enum import StrEnum

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from shoprepair.mechanics.description import Element, Finding, FindingKind, Fold, Softens


class Look(StrEnum):
    CUT = "cut"
    SCRAPE = "scrape"
    SEAM = "seam"
    HOLE = "hole"
    BURST = "burst"
    SOFT = "soft"
    TORN = "torn"
    CLOUDY = "cloudy"
    CRACKED = "cracked"
    VALVE = "valve"


TITLES: dict[Look, Promise] = {
    Look.CUT: _("A cut"),
    Look.SCRAPE: _("A scrape"),
    Look.SEAM: _("A seam has opened"),
    Look.HOLE: _("A hole"),
    Look.BURST: _("It has burst"),
    Look.SOFT: _("It goes soft"),
    Look.TORN: _("The cloth is torn"),
    Look.CLOUDY: _("The window is cloudy"),
    Look.CRACKED: _("The window is cracked"),
    Look.VALVE: _("It is loose"),
}
TUBES = (Element.LEADING_EDGE, Element.STRUT)

_ON_A_TUBE = (Look.CUT, Look.SCRAPE, Look.SEAM, Look.HOLE, Look.BURST, Look.SOFT)
_BY_PLACE: dict[Element, tuple[Look, ...]] = {
    **dict.fromkeys(TUBES, _ON_A_TUBE),
    Element.HANDLE: (Look.SEAM, Look.CUT, Look.SCRAPE, Look.HOLE, Look.BURST, Look.SOFT),
    Element.BRIDLE_POINT: (Look.SEAM, Look.CUT, Look.SCRAPE, Look.HOLE, Look.BURST, Look.SOFT),
    Element.VALVE: (Look.VALVE, Look.SOFT, Look.CUT, Look.SEAM, Look.HOLE, Look.BURST),
    Element.HOSE: (Look.VALVE, Look.SOFT),
    Element.CANOPY: (Look.TORN, Look.HOLE, Look.SEAM, Look.SCRAPE),
    Element.WINDOW: (Look.CLOUDY, Look.CRACKED, Look.SEAM),
    Element.TRAILING_EDGE: (Look.TORN, Look.HOLE, Look.SEAM),
}
_KINDS = {
    Look.CUT: FindingKind.CUT,
    Look.SCRAPE: FindingKind.SCUFF,
    Look.SEAM: FindingKind.SEAM_OPENED,
    Look.HOLE: FindingKind.HOLE,
    Look.BURST: FindingKind.BURST,
    Look.SOFT: FindingKind.LEAK,
    Look.TORN: FindingKind.TEAR,
    Look.CLOUDY: FindingKind.STAIN,
    Look.CRACKED: FindingKind.CRACK,
    Look.VALVE: FindingKind.LEAK,
}
_ASKED: dict[Look, tuple[str, ...]] = {
    Look.CUT: ("length", "far"),
    Look.HOLE: ("length", "far"),
    Look.SCRAPE: ("fold",),
    Look.SEAM: ("length",),
    Look.BURST: (),
    Look.SOFT: ("softens",),
    Look.TORN: ("length",),
    Look.CLOUDY: (),
    Look.CRACKED: ("length",),
    Look.VALVE: ("softens",),
}
_SEWN_ON = (Element.HANDLE, Element.BRIDLE_POINT)


def for_place(element: Element) -> tuple[Look, ...]:
    """What can be seen on a part, the most usual first."""
    return _BY_PLACE[element]


def kind(look: Look, element: Element) -> FindingKind:
    """What the shop calls it: a seam opened where load is sewn on is stitching gone."""
    if look is Look.SEAM and element in _SEWN_ON:
        return FindingKind.STITCHING
    return _KINDS[look]


def finding(
    look: Look,
    element: Element,
    *,
    length_m: float | None = None,
    fold: Fold = Fold.UNTRIED,
    softens: Softens = Softens.UNKNOWN,
) -> Finding:
    """The finding as the shop's own assessment takes it; whatever nobody said counts as the worst there."""
    return Finding(kind=kind(look, element), length_m=length_m, fold=fold, softens=softens)


def follow_ups(look: Look, element: Element) -> tuple[str, ...]:
    """Which questions follow a look, in order: of 'length', 'fold', 'softens' and 'far'.

    How far away a shop is matters only to a cut in a front tube: nowhere else may the answer turn on it.
    """
    if look is Look.SEAM and element in _SEWN_ON:
        return ()
    fixable_far_away = element is Element.LEADING_EDGE
    return tuple(name for name in _ASKED[look] if name != "far" or fixable_far_away)
