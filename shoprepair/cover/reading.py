"""A cover's record as it was written that day: all that a claim needs, from its contents alone."""

import json
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from functools import lru_cache
from typing import Any

from django.utils.translation import gettext

from shoprepair.cover import footprints
from shoprepair.cover.footprints import Footprint
from shoprepair.cover.models import Cover
from shoprepair.cover.revive import revive
from shoprepair.gear.planform import Planform
from shoprepair.mechanics.description import Pattern, Place, Sentence

FORMAT = 1
MOST_KEPT = 1000


class UnreadableRecord(ValueError):
    """The record was written by a newer program, or was changed outside of it; the message says so."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Gear:
    """The inflatable, as it was called that day."""

    inflatable: int
    """Its key in the shop."""
    pattern: str
    kind: str
    serial: str
    colour: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Mended:
    """One damage that the repair mended. Lengths in m, line load in N/m."""

    number: int
    kind: str
    what: Sentence
    """What was found and how long it was."""
    where: str
    """The place in two or three words."""
    place: Place
    cell: int | None
    x_m: float
    y_m: float
    offset_m: float
    """Across the tube: toward the trailing edge on a leading edge, to the right on a strut; else 0."""
    length_m: float | None
    direction: str
    angle_deg: float | None
    through_bladder: str
    load_ratio: float | None
    """λ as it was judged: infinite where nothing was left; None where it was not judged."""
    demand_n_per_m: float | None
    band: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Repair:
    """The operation, and what it was sold for and cost the shop. Amounts are of `currency`."""

    operation: str
    """Its code."""
    name: str
    area: str
    text: str
    """As the customer read it on the quote."""
    amount: str
    currency: str
    cost: str
    under_claim: int | None
    """Number of the claim that it made good."""

    @property
    def cost_amount(self) -> Decimal:
        return Decimal(self.cost)


@dataclass(frozen=True, kw_only=True, slots=True)
class Lot:
    """A lot that something was taken from."""

    material: str
    code: str
    cloth: str
    """Name of the cloth, where the material is one."""

    def __str__(self) -> str:
        return f"{self.material} · {self.code}"


@dataclass(frozen=True, kw_only=True, slots=True)
class HoldTest:
    tube: str
    verdict: str
    said: Sentence
    on: str
    """ISO date."""

    @property
    def day(self) -> date:
        return date.fromisoformat(self.on)


@dataclass(frozen=True, kw_only=True, slots=True)
class Photo:
    key: str
    sha256: str
    """Of the large file; empty where it could not be read."""
    moment: str
    """before, inside or after at the bench; empty: at check-in."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Terms:
    """What was promised."""

    words: str
    months: int | None
    """From the hand-back; None: for the life of the gear."""
    passes_on: bool
    """To a new owner of the gear."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Shop:
    """Who gave the cover, as the papers of that day said."""

    name: str
    lines: tuple[str, ...]
    """Address line by line, phone."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Record:
    """The whole of a cover, in SI."""

    number: int
    given_at: datetime
    until: date | None
    """Last day; None: for the life of the gear."""
    shop: Shop
    gear: Gear
    planform: Planform
    description: Pattern
    job: int
    damages: tuple[Mended, ...]
    repair: Repair
    layup: dict[str, Any]
    """Plies, outline, overlap, rows and what was asked of them; empty where nothing was laid up."""
    made: Sentence | None
    """The lay-up in words."""
    techs: tuple[str, ...]
    checked_by: str
    lots: tuple[Lot, ...]
    hold_tests: tuple[HoldTest, ...]
    photos: tuple[Photo, ...]
    footprints: tuple[Footprint, ...]
    """One for each of `damages`, in their order."""
    terms: Terms

    @property
    def cloth(self) -> str:
        """Name of the cloth that was sewn on; empty where none was."""
        return next((lot.cloth for lot in self.lots if lot.cloth), "")


def read(cover: Cover) -> Record:
    """The record of a cover; those read last are kept. Raises UnreadableRecord."""
    return _kept(cover.contents)


@lru_cache(maxsize=MOST_KEPT)
def _kept(contents: str) -> Record:
    return read_text(contents)


def forget() -> None:
    """Drop what is kept."""
    _kept.cache_clear()


def read_text(contents: str) -> Record:
    """A record from its canonical text. Raises UnreadableRecord."""
    try:
        kept = json.loads(contents)
        if kept["format"] > FORMAT:
            raise UnreadableRecord(
                gettext("This cover was written by a newer program. Bring this one up to date.")
            )
        return _record(kept)
    except (KeyError, TypeError, AttributeError, ValueError) as error:
        if isinstance(error, UnreadableRecord):
            raise
        raise UnreadableRecord(
            gettext("This cover's record cannot be read: it was changed outside the program.")
        ) from error


def _record(kept: dict[str, Any]) -> Record:
    gear = kept["gear"]
    return Record(
        number=int(kept["number"]),
        given_at=datetime.fromisoformat(kept["given_at"]),
        until=date.fromisoformat(kept["until"]) if kept["until"] else None,
        shop=revive(Shop, kept["shop"]),
        gear=revive(Gear, gear),
        planform=revive(Planform, gear["planform"]),
        description=revive(Pattern, gear["description"]),
        job=int(kept["job"]),
        damages=tuple(revive(Mended, each) for each in kept["damages"]),
        repair=revive(Repair, kept["repair"]),
        layup=kept["layup"],
        made=revive(Sentence, kept["made"]) if kept["made"] else None,
        techs=tuple(kept["techs"]),
        checked_by=kept["checked_by"],
        lots=tuple(revive(Lot, each) for each in kept["lots"]),
        hold_tests=tuple(revive(HoldTest, each) for each in kept["hold_tests"]),
        photos=tuple(revive(Photo, each) for each in kept["photos"]),
        footprints=tuple(footprints.read(each) for each in kept["footprints"]),
        terms=revive(Terms, kept["terms"]),
    )
