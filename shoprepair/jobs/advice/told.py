"""A damage as its owner told it: eight short codes that fit in an address, and what they mean.

Nothing here is trusted: whatever an address holds that cannot be is dropped, and is asked again.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, fields, replace
from typing import Any

from django.utils.translation import gettext

from shoprepair.gear import everyday, named_places
from shoprepair.gear.geometry import OffTheDrawing, resolve
from shoprepair.gear.planform import Planform
from shoprepair.jobs.advice import looks
from shoprepair.jobs.advice.looks import Look
from shoprepair.jobs.advice.thresholds import FIELD_CUT_M, TOWARD_THE_TIP
from shoprepair.jobs.questions import element_for
from shoprepair.mechanics.description import Element, Finding, Fold, Kind, Place, Softens

SIZES = (*everyday.SIZES, everyday.UNSURE)
LENGTHS = {"nail": 0.010, "coin": 0.025, "palm": 0.090, "hand": 0.190, "longer": None, "unsure": None}
"""What a damage is held against, and its upper end in m; None: no end, the worst is taken."""
FOLDS = {"round": Fold.ROUND, "edge": Fold.EDGE, "untried": Fold.UNTRIED}
SOFTENS = {
    "day": Softens.DAY,
    "hour": Softens.HOUR,
    "minutes": Softens.MINUTES,
    "unsure": Softens.UNKNOWN,
}
FARS = ("home", "far", "unsure")
LONGEST_MM = 5000
BETWEEN = "_"
"""Between the parts of a code; no part holds one."""
_POINT = re.compile(r"(-?\d{1,2}(?:\.\d{1,4})?),(-?\d{1,2}(?:\.\d{1,4})?)")


@dataclass(frozen=True, kw_only=True, slots=True)
class Told:
    """Each field holds a code, or nothing while it was not said."""

    kind: str = ""
    size: str = ""
    at: str = ""
    """Code of a named place, or 'x,y' in metres."""
    look: str = ""
    length: str = ""
    """A code of `LENGTHS`, or whole millimetres."""
    fold: str = ""
    softens: str = ""
    far: str = ""

    def code(self) -> str:
        """All of it in one word that fits in an address; `read` takes it back."""
        return BETWEEN.join(getattr(self, name) for name in NAMES)

    @property
    def gear(self) -> str:
        """Code of the everyday pattern. Raises ValueError while kind or size was not said."""
        return everyday.code(Kind(self.kind), self.size)

    @property
    def length_m(self) -> float | None:
        """The upper end of what was told, in m; None where it has none or nobody said."""
        return int(self.length) / 1000 if self.length.isdecimal() else LENGTHS.get(self.length)

    def place(self, planform: Planform) -> tuple[Place, float, float]:
        """Where it lies, and where its pin stands. Raises OffTheDrawing where the gear has no such place.

        A name counts as the worst end of its zone. A cut told of a fitting is one of the tube beside it.
        """
        place, x, y = _pinned(self.at, planform)
        return self._moved(place), x, y

    def finding(self, element: Element | None = None) -> Finding:
        """What was told, as the shop's own assessment takes it. Raises ValueError while no look was told.

        The part is looked up on the everyday drawing unless it is given.
        """
        return looks.finding(
            Look(self.look),
            element or self._element(),
            length_m=self.length_m,
            fold=FOLDS.get(self.fold, Fold.UNTRIED),
            softens=SOFTENS.get(self.softens, Softens.UNKNOWN),
        )

    def asked(self, planform: Planform | None = None) -> tuple[str, ...]:
        """Every question that this damage needs, in order, as far as what was told says.

        The everyday planform is read anew unless it is given.
        """
        if not self.look:
            return FIRST
        place, *_pin = self.place(planform or everyday.planform(self.gear))
        follow = looks.follow_ups(Look(self.look), place.element)
        return (*FIRST, *(name for name in follow if name != "far" or self._distance_matters(place)))

    def missing(self) -> str:
        """The next question's name; empty when all is told that the answer needs."""
        return next((name for name in self.asked() if not getattr(self, name)), "")

    def told_words(self) -> str:
        """One sentence for the shop, in the language that is spoken."""
        from shoprepair.jobs.advice.told_words import told_words

        return told_words(self)

    def _distance_matters(self, place: Place) -> bool:
        """Only a short cut toward the tip may be fixed where no shop is near."""
        length = self.length_m
        return length is not None and length <= FIELD_CUT_M and place.station >= TOWARD_THE_TIP

    def _element(self) -> Element:
        """The part under the pin, without drawing it where a name says it already."""
        if self.at in named_places.CODES:
            return named_places.element(self.at)
        return _pinned(self.at, everyday.planform(self.gear))[0].element

    def _moved(self, place: Place) -> Place:
        if not self.look:
            return place
        kind = looks.kind(Look(self.look), place.element)
        element = element_for(place.element, kind, on_strut=place.strut is not None)
        return replace(place, element=element)


NAMES = tuple(field.name for field in fields(Told))
FIRST = ("kind", "size", "at", "look")


def from_query(asked: Mapping[str, Any]) -> Told:
    """What an address tells, as far as it makes sense; what does not, and what hangs on it, is dropped."""
    said = {name: str(asked.get(name) or "").strip() for name in NAMES}
    told = Told(
        kind=_known(said["kind"], [kind.value for kind in Kind]),
        size=_known(said["size"], SIZES),
    )
    if not told.kind or not told.size:
        return told
    planform = everyday.planform(told.gear)
    if not (at := _at(said["at"], planform)):
        return told
    place, *_pin = _pinned(at, planform)
    told = replace(told, at=at, look=_known(said["look"], looks.for_place(place.element)))
    for name, check in _CHECKS.items():
        if name in told.asked(planform):
            told = replace(told, **{name: check(said[name])})
    return told


def read(code: str) -> Told:
    """The damage that a code names, read as carefully as an address."""
    return from_query(dict(zip(NAMES, code.split(BETWEEN), strict=False)))


def _known(value: str, codes: Iterable[str]) -> str:
    return value if value in tuple(codes) else ""


def _at(value: str, planform: Planform) -> str:
    if value in named_places.CODES:
        return value if named_places.by_code(planform, value) else ""
    if not (match := _POINT.fullmatch(value)):
        return ""
    x, y = (round(float(part), 2) + 0.0 for part in match.groups())
    try:
        resolve(planform, x, y)
    except OffTheDrawing:
        return ""
    return f"{x:.2f},{y:.2f}"


def _length(value: str) -> str:
    if value.isascii() and value.isdecimal() and len(value) <= len(str(LONGEST_MM)):
        return str(int(value)) if 1 <= int(value) <= LONGEST_MM else ""
    return _known(value, LENGTHS)


_CHECKS: dict[str, Callable[[str], str]] = {
    "length": _length,
    "fold": lambda value: _known(value, FOLDS),
    "softens": lambda value: _known(value, SOFTENS),
    "far": lambda value: _known(value, FARS),
}


def _pinned(at: str, planform: Planform) -> tuple[Place, float, float]:
    """The place itself, whatever was seen there."""
    if match := _POINT.fullmatch(at):
        x, y = (float(part) for part in match.groups())
        spot = resolve(planform, x, y)
        return spot.place, spot.x_m, spot.y_m
    named = named_places.by_code(planform, at)
    if named is None:
        raise OffTheDrawing(
            gettext("A %(kind)s of this size has no such place.") % {"kind": gettext(planform.kind)}
        )
    return named.place, named.x_m, named.y_m
