"""The covers of a transfer as both sides and the counter read them: one wording for all three pages."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext

from shoprepair.cover import standing, transfers
from shoprepair.cover.models import Cover, Ending, Transfer
from shoprepair.cover.reading import Record, Terms, read
from shoprepair.shop.languages import gettext_lazy

PASSES_ON = gettext_lazy("passes to a new owner")
FIRST_ONLY = gettext_lazy("for the first owner only")
FOR_LIFE = gettext_lazy("for the life of the gear")
DAY = "j M Y"


@dataclass(frozen=True, slots=True)
class Line:
    """One cover: what was done where and when, how long it lasts, and what was promised."""

    tag: int
    """Which repair of this gear it is, as its record on paper counts them."""
    number: int
    what: str
    where: str
    given_on: date
    lasts: str
    passes: str
    terms: str


@dataclass(frozen=True, slots=True)
class Promised:
    """Covers that promise the same, so that its words are read once."""

    terms: str
    passes: str
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Lines:
    """What goes along, and what does not."""

    along: tuple[Line, ...]
    ends: tuple[Line, ...]
    shown: str = ""
    """Says which covers these are; goes back with the consent."""

    @property
    def tags(self) -> frozenset[int]:
        """The tags of all of them."""
        return frozenset(line.tag for line in (*self.along, *self.ends))

    @property
    def promised_along(self) -> tuple[Promised, ...]:
        """What goes along, by what was promised."""
        return _by_promise(self.along)

    @property
    def promised_ends(self) -> tuple[Promised, ...]:
        """What does not, by what was promised."""
        return _by_promise(self.ends)


def proposed(goes: transfers.Passing) -> Lines:
    """What would go along today."""
    return _lines(goes.along, [stays.cover for stays in goes.ends], goes.shown)


def of(transfer: Transfer) -> Lines:
    """What goes along while it is open; what went once it is done; nothing after it came to nothing."""
    if transfer.ended_at:
        return _lines((), ())
    if transfer.done_at:
        return _lines(_numbered(transfer.passed), _numbered(transfer.not_passed))
    return proposed(transfers.passing(transfer.inflatable))


def said_passing(terms: Terms) -> str:
    """Whether a cover goes along, in a few words."""
    return PASSES_ON if terms.passes_on else FIRST_ONLY


def _lines(along: Sequence[Cover], ends: Sequence[Cover], shown: str = "") -> Lines:
    tags = _tags([*along, *ends])
    said_along, said_ends = (
        tuple(_line(tags[cover.pk], read(cover)) for cover in covers) for covers in (along, ends)
    )
    return Lines(said_along, said_ends, shown)


def _by_promise(lines: Sequence[Line]) -> tuple[Promised, ...]:
    kept: dict[tuple[str, str], list[Line]] = {}
    for line in lines:
        kept.setdefault((line.terms, line.passes), []).append(line)
    return tuple(Promised(terms, passes, tuple(same)) for (terms, passes), same in kept.items())


def _tags(covers: Sequence[Cover]) -> dict[int, int]:
    if not covers:
        return {}
    # What was taken back was never out, and is not counted.
    given = [cover for cover in standing.of(covers[0].inflatable) if not _taken_back(cover)]
    return {cover.pk: tag for tag, cover in enumerate(given, start=1)}


def _taken_back(cover: Cover) -> bool:
    ending = standing.ending_of(cover)
    return ending is not None and ending.reason == Ending.Reason.NOT_HANDED_BACK


def _line(tag: int, record: Record) -> Line:
    places = dict.fromkeys(damage.where for damage in record.damages if damage.where)
    return Line(
        tag=tag,
        number=record.number,
        what=record.repair.name,
        where=", ".join(places),
        given_on=timezone.localdate(record.given_at),
        lasts=gettext("until %(until)s") % {"until": date_format(record.until, DAY)}
        if record.until
        else FOR_LIFE,
        passes=said_passing(record.terms),
        terms=record.terms.words,
    )


def _numbered(numbers: Sequence[int]) -> list[Cover]:
    return list(Cover.objects.filter(number__in=numbers))
