"""Damages as they come in over the years: any kind on any element, of a likely size."""

from collections.abc import Iterator
from random import Random
from typing import Any

from shoprepair.gear.describe import description
from shoprepair.gear.geometry import resolve
from shoprepair.gear.models import Inflatable
from shoprepair.gear.planform import Planform
from shoprepair.gear.sites import sites
from shoprepair.jobs.questions import element_for, kinds_for
from shoprepair.mechanics.assessment import sound_load_ratio, sound_strut_ratio
from shoprepair.mechanics.description import Direction, Element, Face, FindingKind, Fold, Place, Softens
from shoprepair.office.demo.finds import FITTINGS, Find, where
from shoprepair.shop.settings import cases

# How often each element comes in for each that comes in seldom.
SHARES = {
    Element.LEADING_EDGE: 9,
    Element.STRUT: 5,
    Element.CANOPY: 8,
    Element.WINDOW: 2,
    Element.TRAILING_EDGE: 4,
    Element.HANDLE: 2,
    Element.BRIDLE_POINT: 2,
    Element.VALVE: 3,
    Element.HOSE: 1,
}
LENGTHS_MM = {
    FindingKind.CUT: (8, 60),
    FindingKind.HOLE: (2, 12),
    FindingKind.SCUFF: (40, 180),
    FindingKind.SEAM_OPENED: (20, 150),
    FindingKind.TEAR: (30, 380),
    FindingKind.CRACK: (40, 220),
}
BURSTS_WITHIN = 0.08
"""Station within which leading edges burst by chance: where the load is greatest."""
PRONE = 4
"""Of so many pieces of gear whose tubes work hardest one is the next to burst."""
TRIES = 200


def every_kind() -> list[tuple[Element, FindingKind]]:
    """Each kind of damage on each element that can have it itself: a cut beside a valve is the tube's."""
    every = [(element, kind) for element in Element for kind in kinds_for(element)]
    return [
        (element, kind) for element, kind in every if element_for(element, kind, on_strut=False) == element
    ]


def elements_of(of: Planform) -> set[Element]:
    """What a planform has to be damaged."""
    fittings = {site.element for site in sites(of)}
    windows = {Element.WINDOW} if of.windows else set()
    return {Element.LEADING_EDGE, Element.STRUT, Element.CANOPY, Element.TRAILING_EDGE} | fittings | windows


def prone(able: list[Inflatable], wanted: tuple[Element, FindingKind]) -> list[Inflatable]:
    """Of the gear that can have such a damage, that which likely has: tubes burst where they work hardest."""
    element, kind = wanted
    if kind != FindingKind.BURST:
        return able
    return sorted(able, key=lambda one: _works(one, element), reverse=True)[:PRONE]


def _works(inflatable: Inflatable, element: Element) -> float:
    """Load ratio of sound cloth where such tubes burst."""
    described = description(inflatable.pattern)
    if element == Element.STRUT:
        return max(sound_strut_ratio(described, strut, cases()) for strut in range(len(described.struts)))
    return sound_load_ratio(described, BURSTS_WITHIN / 2, cases())


def find(of: Planform, rng: Random, wanted: tuple[Element, FindingKind] | None = None) -> Find:
    """One damage of that element and kind, or of any that are likely."""
    element, kind = wanted or _likely(of, rng)
    answers = dict(_answers(element, kind, rng))
    if element in FITTINGS:
        count = sum(site.element == element for site in sites(of))
        return Find(Place(element=element, station=0.0), kind, answers, rng.randrange(count))
    for _ in range(TRIES):
        tried = Find(_guess(of, element, kind, rng), kind, answers)
        spot = where(of, tried)
        if resolve(of, spot.x_m, spot.y_m).place.element == element:
            return tried
    raise LookupError(f"{of.name} shows no {element}.")


def _likely(of: Planform, rng: Random) -> tuple[Element, FindingKind]:
    present = sorted(elements_of(of))
    element = rng.choices(present, [SHARES[one] for one in present])[0]
    kinds = kinds_for(element)
    return element, rng.choices(kinds, [1 / (place + 1) for place in range(len(kinds))])[0]


def _guess(of: Planform, element: Element, kind: FindingKind, rng: Random) -> Place:
    side = rng.choice(("left", "right"))
    if element == Element.LEADING_EDGE:
        out = BURSTS_WITHIN if kind == FindingKind.BURST else 0.94
        return Place(element=element, station=rng.uniform(0, out), side=side)
    if element == Element.STRUT:
        index = rng.randrange(len(of.struts))
        return Place(element=element, station=0, side=side, strut=index, fraction=rng.uniform(0.08, 0.95))
    low, high = (0.99, 1.0) if element == Element.TRAILING_EDGE else (0.1, 0.95)
    station = rng.uniform(0.03, 0.85)
    return Place(element=Element.CANOPY, station=station, side=side, fraction=rng.uniform(low, high))


def _answers(element: Element, kind: FindingKind, rng: Random) -> Iterator[tuple[str, Any]]:
    if kind in LENGTHS_MM:
        yield "length", _typed(rng.randint(*LENGTHS_MM[kind]), rng)
    if kind in {FindingKind.CUT, FindingKind.TEAR}:
        yield "direction", rng.choice((Direction.ALONG, Direction.AROUND, Direction.UNKNOWN)).value
    if kind == FindingKind.SCUFF:
        yield "fold", rng.choice(list(Fold)).value
    if kind == FindingKind.LEAK:
        yield "softens", rng.choice(list(Softens)).value
    if kind == FindingKind.STITCHING:
        yield "stitched_left", _typed(rng.randint(0, 90), rng)
    if kind == FindingKind.RESIDUE:
        yield "under_kind", ""
    if element in {Element.LEADING_EDGE, Element.STRUT} and kind != FindingKind.LEAK:
        yield "face", rng.choice(list(Face)).value


def _typed(length_mm: int, rng: Random) -> str:
    """As one or another of the crew would type it."""
    return rng.choice((f"{length_mm} mm", f"{length_mm} mm", f"{length_mm}", f"{length_mm / 10:g} cm"))
