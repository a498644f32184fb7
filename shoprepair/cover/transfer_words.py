"""The covers of a transfer as both sides and the counter read them: one wording for all three pages."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from django.utils import timezone
from django.utils.dateformat import format as formatted
from django.utils.safestring import SafeString

from shoprepair.cover import transfers
from shoprepair.cover.models import Cover, Transfer
from shoprepair.cover.reading import Record, Terms, read
from shoprepair.gear import diagram
from shoprepair.gear.describe import planform

PASSES_ON = "passes to a new owner"
FIRST_ONLY = "for the first owner only"
FOR_LIFE = "for the life of the gear"
DAY = "j M Y"


@dataclass(frozen=True, slots=True)
class Line:
    """One cover: what was done where and when, how long it lasts, and what was promised."""

    number: int
    what: str
    where: str
    given_on: date
    lasts: str
    passes: str
    terms: str


@dataclass(frozen=True, slots=True)
class Lines:
    """What goes along, and what does not."""

    along: tuple[Line, ...]
    ends: tuple[Line, ...]
    shown: str = ""
    """Says which covers these are; goes back with the consent."""


def proposed(goes: transfers.Passing) -> Lines:
    """What would go along today."""
    return Lines(lines(goes.along), lines(stays.cover for stays in goes.ends), goes.shown)


def of(transfer: Transfer) -> Lines:
    """What goes along; for a transfer that is done, what went."""
    if not transfer.done_at:
        return proposed(transfers.passing(transfer.inflatable))
    return Lines(lines(_numbered(transfer.passed)), lines(_numbered(transfer.not_passed)))


def drawing(transfer: Transfer) -> SafeString:
    """The gear that passes, as it is drawn today."""
    pattern = transfer.inflatable.pattern
    return diagram.draw(planform(pattern), title=pattern.name, unique="gear")


def lines(covers: Iterable[Cover]) -> tuple[Line, ...]:
    """Each cover in the words of its own record."""
    return tuple(_line(read(cover)) for cover in covers)


def said_passing(terms: Terms) -> str:
    """Whether a cover goes along, in a few words."""
    return PASSES_ON if terms.passes_on else FIRST_ONLY


def _line(record: Record) -> Line:
    places = dict.fromkeys(damage.where for damage in record.damages if damage.where)
    return Line(
        number=record.number,
        what=record.repair.name,
        where=", ".join(places),
        given_on=timezone.localdate(record.given_at),
        lasts=f"until {formatted(record.until, DAY)}" if record.until else FOR_LIFE,
        passes=said_passing(record.terms),
        terms=record.terms.words,
    )


def _numbered(numbers: Sequence[int]) -> list[Cover]:
    return list(Cover.objects.filter(number__in=numbers))
