"""Damages as people tell them, for tests of the advice."""

from shoprepair.jobs.advice import RULES, Advice, Told, Verdict, advise
from shoprepair.jobs.advice.looks import Look, for_place
from shoprepair.jobs.advice.seen import Seen
from shoprepair.jobs.advice.table import decide
from shoprepair.mechanics.description import DEFAULT_CASES, Element, LoadCases, Pattern, Place

LENGTHS = ("nail", "coin", "palm", "hand", "longer")
"""From the shortest to the longest; and nobody knowing counts as the longest."""
FOLDS = ("round", "edge")
SOFTENS = ("day", "hour", "minutes")
FRONT_LOOKS = for_place(Element.LEADING_EDGE)
PARTS = (
    Element.LEADING_EDGE,
    Element.STRUT,
    Element.CANOPY,
    Element.WINDOW,
    Element.TRAILING_EDGE,
    Element.HOSE,
)


def told(look: str, **said: str) -> Told:
    """Complete, and the mildest in whatever is not said."""
    mildest = {"length": "nail", "fold": "round", "softens": "day", "far": "far", "size": "medium"}
    return Told(**{"kind": "wing", "look": look, **mildest, **said})


def place(element: Element, station: float = 0.0) -> Place:
    side = "right" if station else "centre"
    strut = 0 if element in (Element.STRUT, Element.HOSE) else None
    return Place(element=element, station=station, side=side, strut=strut)


def on_the_front(
    pattern: Pattern, station: float, look: Look | str = "cut", cases: LoadCases = DEFAULT_CASES, **said: str
) -> Advice:
    """Advice on the front tube at a station."""
    return advise(pattern, place(Element.LEADING_EDGE, station), told(look, **said), cases)


def verdict(
    pattern: Pattern, element: Element, look: Look | str, station: float = 0.0, **said: str
) -> Verdict:
    """The verdict alone, without the shop's own assessment beside it."""
    seen = Seen(pattern, place(element, station), told(look, **said), DEFAULT_CASES)
    return RULES[decide(seen).rule].verdict


def on(pattern: Pattern, element: Element, look: Look | str, station: float = 0.0, **said: str) -> Advice:
    """Advice on any part."""
    return advise(pattern, place(element, station), told(look, **said))
