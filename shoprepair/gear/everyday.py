"""The everyday patterns: what stands for gear whose model nobody knows, one for each kind and size.

Who asks from a beach knows "a wing, about five metres", and no more. Each size takes the fattest tube and the
hardest pumping that is usual in it, so that an answer for it holds for the others of that size too. All its
figures are assumed [common practice, no source]; the library's own patterns are never asked more.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Any

from django.db import IntegrityError, transaction

from shoprepair.gear import describe, library, measured
from shoprepair.gear.models import Cloth, Pattern
from shoprepair.gear.planform import Planform
from shoprepair.mechanics import description as plain
from shoprepair.mechanics.description import Kind
from shoprepair.mechanics.words import gettext_noop

SIZES = ("small", "medium", "large")
UNSURE = "unsure"
WORST = "large"
"""Taken where nobody knows the size: no size of its kind is asked more."""
CASING = "Polyester casing cloth 170"
"""What most tubes are sewn from; what is pumped as hard as here is usually sewn from stronger cloth."""
CANOPY = "Ripstop canopy cloth 50"
LIGHT_CANOPY = "Ripstop canopy cloth 40"
"""Usual on the largest kites, and the least for tape to hold on to."""
WINDOW = "Clear window film 0.25"
ASSUMED = (*measured.ASSUMED, "rated_pressure_pa", "leading_edge", "span_m", "bridle_stations", "window")


@dataclass(frozen=True, slots=True, kw_only=True)
class Everyday:
    """One size of one kind, with the figures that are the worst usual in it."""

    code: str
    kind: Kind
    size: str
    area_low_m2: float
    area_high_m2: float
    name: str
    span_m: float
    diameter_centre_m: float
    diameter_tip_m: float
    rated_pressure_pa: float
    rated_pressure_typed: str
    struts: int
    canopy: str = CANOPY
    windows: tuple[tuple[int, int], ...] = ()
    """(cell, row) of the clear panels, so that a window can be pointed at."""


_NAMES = {
    "wing-small": gettext_noop("Wing up to 3.5 m², model not known"),
    "wing-medium": gettext_noop("Wing of 3.5 to 5.5 m², model not known"),
    "wing-large": gettext_noop("Wing over 5.5 m², model not known"),
    "kite-small": gettext_noop("Kite up to 8 m², model not known"),
    "kite-medium": gettext_noop("Kite of 8 to 12 m², model not known"),
    "kite-large": gettext_noop("Kite over 12 m², model not known"),
}
"""As the library keeps them, in English; said in the reader's language. A test holds them to the areas."""


def _wing(
    size: str, low: float, high: float, span: float, centre: float, tip: float, struts: int
) -> Everyday:
    return Everyday(
        code=f"wing-{size}",
        kind=Kind.WING,
        size=size,
        area_low_m2=low,
        area_high_m2=high,
        name=_NAMES[f"wing-{size}"],
        span_m=span,
        diameter_centre_m=centre,
        diameter_tip_m=tip,
        rated_pressure_pa=55158.1,
        rated_pressure_typed="8 psi",
        struts=struts,
        windows=((0, 1),),
    )


def _kite(
    size: str, low: float, high: float, span: float, centre: float, tip: float, struts: int
) -> Everyday:
    return Everyday(
        code=f"kite-{size}",
        kind=Kind.KITE,
        size=size,
        area_low_m2=low,
        area_high_m2=high,
        name=_NAMES[f"kite-{size}"],
        span_m=span,
        diameter_centre_m=centre,
        diameter_tip_m=tip,
        rated_pressure_pa=50000.0,
        rated_pressure_typed="0.5 bar",
        struts=struts,
        canopy=LIGHT_CANOPY if size == WORST else CANOPY,
    )


WING_MOST_M2, KITE_MOST_M2 = 7.5, 17.0
EVERYDAY = (
    # A small kite may be pumped to 8 psi: its tube is drawn that much wider, since only the product pulls.
    _wing("small", 0.0, 3.5, 2.9, 0.22, 0.12, 1),
    _wing("medium", 3.5, 5.5, 3.64, 0.255, 0.13, 1),
    _wing("large", 5.5, WING_MOST_M2, 4.28, 0.28, 0.14, 3),
    _kite("small", 0.0, 8.0, 5.62, 0.2, 0.095, 3),
    _kite("medium", 8.0, 12.0, 6.83, 0.22, 0.1, 5),
    _kite("large", 12.0, KITE_MOST_M2, 8.15, 0.25, 0.102, 5),
)
_BY_CODE = {each.code: each for each in EVERYDAY}
_at_hand: ContextVar[dict[str, Pattern] | None] = ContextVar("everyday patterns at hand", default=None)


def code(kind: Kind, size: str) -> str:
    """Code of the everyday pattern for a kind and a size; the worst size where it is unsure.

    Raises ValueError for a size that is none.
    """
    if size not in (*SIZES, UNSURE):
        raise ValueError(f"{size!r} is no size of everyday gear.")
    return f"{Kind(kind).value}-{WORST if size == UNSURE else size}"


def figures(code: str) -> Everyday:
    """The figures that an everyday pattern began with. Raises ValueError for a code that is none."""
    if code not in _BY_CODE:
        raise ValueError(f"{code!r} is no everyday pattern.")
    return _BY_CODE[code]


def pattern(code: str) -> Pattern:
    """The everyday pattern as it stands in the library, made the first time that someone asks for it.

    Two who ask at once get the same one. Raises ValueError for a code that is none.
    """
    at_hand = _at_hand.get()
    if at_hand is None:
        return _pattern(code)
    if code not in at_hand:
        at_hand[code] = _pattern(code)
    return at_hand[code]


@contextmanager
def read_once() -> Iterator[None]:
    """Ask the database only once for each everyday pattern, however often it is wanted within."""
    token = _at_hand.set({})
    try:
        yield
    finally:
        _at_hand.reset(token)


def _pattern(code: str) -> Pattern:
    given = figures(code)
    if found := _found(code):
        return found
    try:
        with transaction.atomic():
            _make(given)
    except IntegrityError:
        # Another made it a moment before: theirs is taken.
        pass
    return Pattern.objects.select_related("casing", "canopy", "window").get(everyday=code)


def planform(code: str) -> Planform:
    """What geometry and drawing need of it."""
    return describe.planform(pattern(code))


def description(code: str) -> plain.Pattern:
    """What an assessment works on."""
    return describe.description(pattern(code))


def _found(code: str) -> Pattern | None:
    return Pattern.objects.filter(everyday=code).select_related("casing", "canopy", "window").first()


def _make(given: Everyday) -> Pattern:
    row = measured.row(
        kind=given.kind,
        support="handles" if given.kind is Kind.WING else "bridled",
        pumping="linked",
        span_m=given.span_m,
        centre_m=given.diameter_centre_m,
        tip_m=given.diameter_tip_m,
        struts=given.struts,
    )
    row["windows"] = [list(pane) for pane in given.windows]
    made = Pattern.objects.create(
        name=given.name,
        everyday=given.code,
        rated_pressure_pa=given.rated_pressure_pa,
        rated_pressure_typed=given.rated_pressure_typed,
        casing=library.cloth(CASING, Cloth.Use.CASING),
        canopy=library.cloth(given.canopy, Cloth.Use.CANOPY),
        window=library.cloth(WINDOW, Cloth.Use.WINDOW) if given.windows else None,
        assumed=list(ASSUMED),
        **_own(row),
    )
    library.write_parts(made, row)
    return made


def _own(row: dict[str, Any]) -> dict[str, Any]:
    return {field: value for field, value in row.items() if field not in library.PARTS}
