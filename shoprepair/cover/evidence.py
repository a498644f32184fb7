"""What speaks for and against a later damage being the repair's own."""

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Literal

from shoprepair.cover.damage_view import DamageView
from shoprepair.cover.footprints import Footprint
from shoprepair.cover.meeting import Meeting
from shoprepair.mechanics.description import Answer, Sentence

if TYPE_CHECKING:
    from shoprepair.cover.reading import Record

Speaks = Literal["for", "against", "neither"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Later:
    """The new damage and what was said of it."""

    damage: DamageView
    on: date
    over_pressure: Answer = Answer.UNKNOWN
    """Whether it was pumped beyond its rated pressure, or left in the heat."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Repaired:
    """What a cover says of the repair that a damage is held against, in plain values."""

    number: int
    kind: str
    """What was mended."""
    on: date
    until: date | None
    ended: str
    """Why the cover no longer stands; empty while it does."""
    footprint: Footprint
    strength_n_per_m: float | None = None
    required_n_per_m: float | None = None
    """What the lay-up carries, and what the place asked of it that day."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Evidence:
    key: str
    speaks: Speaks
    sentence: Sentence


def repaired(record: "Record", footprint: Footprint, ended: str = "") -> Repaired:
    """The facts of a record that weigh; `ended` is the reason of its ending, if it has one."""
    layup = record.layup
    kinds = [damage.kind for damage in record.damages if damage.number == footprint.damage]
    return Repaired(
        number=record.number,
        kind=kinds[0] if kinds else "",
        on=record.given_at.date(),
        until=record.until,
        ended=ended,
        footprint=footprint,
        strength_n_per_m=layup.get("strength_n_per_m"),
        required_n_per_m=layup.get("required_n_per_m"),
    )


def weigh(repair: Repaired, meeting: Meeting, later: Later) -> tuple[Evidence, ...]:
    """All that speaks for and against, and what only has to be known, the weightiest first."""
    raise NotImplementedError
