"""What the covers of an inflatable say, in words: the same on paper, behind its code, and in the shop.

All of it comes from the records as they were written. Nothing here names a customer, and nothing of
today's catalogue, pattern or staff takes part.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import groupby
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo

from django.utils.formats import date_format
from django.utils.translation import gettext, ngettext

from shoprepair.cover import reading, standing
from shoprepair.cover.models import Cover, Ending, Transfer
from shoprepair.cover.reading import Mended, Record, UnreadableRecord
from shoprepair.gear.models import Inflatable
from shoprepair.gear.words import place_sentence
from shoprepair.papers.context import listed
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.units import Units, say

DAY = "j M Y"
FOR_LIFE = gettext_lazy("for the life of the gear")
PASSES_ON = gettext_lazy("It passes on to a new owner of the gear.")
STAYS = gettext_lazy("It is for the owner of that day and does not pass on.")
_ENDED = {
    Ending.Reason.RETIRED: gettext_lazy("the gear is no longer used"),
    Ending.Reason.REPLACED: gettext_lazy("a later repair took its place"),
    Ending.Reason.PASSED_ON: gettext_lazy("the gear passed on, and it was given to its first owner only"),
    Ending.Reason.VOID: gettext_lazy("the shop ended it"),
    Ending.Reason.NOT_HANDED_BACK: gettext_lazy("the hand-back was taken back"),
}
_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


class Covered(NamedTuple):
    """One cover in words."""

    tag: int
    """Its number on the drawing: which repair of this gear it is."""
    number: str
    """Its number in the shop's chain of covers."""
    code: str
    """The beginning of its digest: whoever compares it sees whether the paper is the shop's."""
    record: Record | None
    name: str = ""
    mended: tuple[str, ...] = ()
    made: str = ""
    techs: tuple[str, ...] = ()
    checked_by: str = ""
    lots: tuple[str, ...] = ()
    tests: tuple[tuple[str, str], ...] = ()
    until: str = ""
    promise: str = ""
    """Letter of its terms; empty where it no longer stands and nobody else is promised the same."""
    ended: str = ""
    """When and why it no longer stands; empty while it does."""
    trouble: str = ""
    """Why it cannot be read."""


class Visit(NamedTuple):
    """The covers that were given on one day for one job."""

    job: str
    day: str
    shop: str
    """Name of the shop that day."""
    covers: tuple[Covered, ...]
    tests: tuple[tuple[str, str], ...]
    """What every cover of the visit says of its hold tests, said once."""


class Promise(NamedTuple):
    """Terms that one or more covers stand under."""

    letter: str
    words: str
    passes_on: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """All covers of an inflatable in words, the oldest first."""

    name: str
    colour: str
    serial: str
    """As it was read on the gear when its newest cover was given."""
    visits: tuple[Visit, ...]
    promises: tuple[Promise, ...]
    """Those that still hold for something."""
    passed: tuple[str, ...]
    """The days on which the gear and its covers passed to a new owner."""
    newest: Record | None

    @property
    def passes_on(self) -> str:
        """Whether the covers pass on, where the same is true of several promises; else empty."""
        said = {promise.passes_on for promise in self.promises}
        return said.pop() if len(said) == 1 and len(self.promises) > 1 else ""

    @property
    def covers(self) -> tuple[Covered, ...]:
        return tuple(cover for visit in self.visits for cover in visit.covers)

    @property
    def count(self) -> int:
        """How many stand."""
        return sum(not cover.ended and not cover.trouble for cover in self.covers)

    @property
    def summary(self) -> str:
        """'2 repairs are covered, 1 no longer is.'"""
        gone = len(self.covers) - self.count
        stands = (
            ngettext("%(count)s repair is covered", "%(count)s repairs are covered", self.count)
            if self.count
            else gettext("No repair is covered")
        ) % {"count": self.count}
        if not gone:
            return f"{stands}."
        ended = ngettext(", %(gone)s no longer is", ", %(gone)s no longer are", gone) % {"gone": gone}
        return f"{stands}{ended}."


def told(inflatable: Inflatable, units: Units, zone: ZoneInfo, today: date) -> Told:
    """The covers of an inflatable that were given for good, those that have ended among them."""
    return tell(given(standing.of(inflatable)), passed(inflatable, zone), units, zone, today)


def given(covers: Iterable[Cover]) -> list[Cover]:
    """Without those whose hand-back was taken back: they were never out."""
    return [cover for cover in covers if not _taken_back(cover)]


def tell(
    covers: Sequence[Cover],
    passed: Sequence[str],
    units: Units,
    zone: ZoneInfo,
    today: date,
    *,
    first: int = 1,
) -> Told:
    """These covers in words, tagged from `first` on."""
    records = {cover.pk: record for cover in covers if (record := _read(cover)[0])}
    promises = _promises(
        records[one.pk] for one in covers if one.pk in records and standing.stands(one, today)
    )
    said = [
        (cover, _covered(cover, tag, records.get(cover.pk), promises, units, zone, today))
        for tag, cover in enumerate(covers, first)
    ]
    newest = next(reversed(records.values()), None)
    gear = newest.gear if newest else None
    return Told(
        name=gear.pattern if gear else "",
        colour=gear.colour if gear else "",
        serial=gear.serial if gear else "",
        visits=tuple(_visits(said, zone)),
        promises=tuple(
            Promise(letter=letter, words=words, passes_on=PASSES_ON if passes_on else STAYS)
            for (words, passes_on), letter in promises.items()
        ),
        passed=tuple(passed),
        newest=newest,
    )


def place_words(mended: Mended, record: Record, units: Units) -> str:
    """Where a damage was, measured on the drawing of that day."""
    return say(place_sentence(record.planform, mended.place, mended.x_m, mended.y_m), units)


def day(moment: datetime, zone: ZoneInfo) -> str:
    return date_format(moment.astimezone(zone), DAY)


def _read(cover: Cover) -> tuple[Record | None, str]:
    """The record, or why it cannot be read."""
    try:
        return reading.read(cover), ""
    except UnreadableRecord as trouble:
        return None, str(trouble)


def _promises(records: Iterable[Record]) -> dict[tuple[str, bool], str]:
    """Each different promise with its letter, in the order in which they were first made."""
    kept = dict.fromkeys((record.terms.words, record.terms.passes_on) for record in records)
    return {promise: _letter(place) for place, promise in enumerate(kept)}


def _letter(place: int) -> str:
    """A … Z, then A2, B2 …"""
    turn, letter = divmod(place, len(_LETTERS))
    return _LETTERS[letter] + (str(turn + 1) if turn else "")


def _covered(
    cover: Cover,
    tag: int,
    record: Record | None,
    promises: dict[tuple[str, bool], str],
    units: Units,
    zone: ZoneInfo,
    today: date,
) -> Covered:
    known: dict[str, Any] = {
        "tag": tag,
        "number": str(cover),
        "code": " ".join(cover.digest[at : at + 4] for at in range(0, 16, 4)),
        "ended": _ended(cover, zone, today),
    }
    if record is None:
        return Covered(**known, record=None, trouble=_read(cover)[1])
    return Covered(
        **known,
        record=record,
        name=record.repair.name,
        mended=tuple(f"{say(one.what, units)}, {place_words(one, record, units)}" for one in record.damages),
        made=say(record.made, units) if record.made else "",
        techs=record.techs,
        checked_by=record.checked_by,
        lots=tuple(f"{lot.material} {lot.code}" for lot in record.lots),
        tests=tuple((_capital(gettext(test.tube)), say(test.said, units)) for test in record.hold_tests),
        until=gettext("until %(until)s") % {"until": date_format(record.until, DAY)}
        if record.until
        else FOR_LIFE,
        promise=promises.get((record.terms.words, record.terms.passes_on), ""),
    )


def _visits(said: Sequence[tuple[Cover, Covered]], zone: ZoneInfo) -> Iterator[Visit]:
    for _, together in groupby(said, key=lambda pair: pair[0].hand_back_id):
        pairs = list(together)
        first, covers = pairs[0][0], tuple(covered for _, covered in pairs)
        records = [covered.record for covered in covers if covered.record]
        yield Visit(
            job=f"{records[0].job:04d}" if records else str(first.job),
            day=day(first.given_at, zone),
            shop=records[0].shop.name if records else "",
            covers=covers,
            tests=tuple(_together(test for covered in covers for test in covered.tests)),
        )


def _together(tests: Iterable[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    """Each sentence once, with the tubes of which it is said."""
    alike: dict[str, list[str]] = {}
    for tube, said in dict.fromkeys(tests):
        alike.setdefault(said, []).append(tube)
    for said, (first, *others) in alike.items():
        yield listed([first, *(_small(tube) for tube in others)]), said


def _ended(cover: Cover, zone: ZoneInfo, today: date) -> str:
    if ending := standing.ending_of(cover):
        why = _ENDED[Ending.Reason(ending.reason)]
        return gettext("Ended on %(at)s: %(why)s.") % {"at": day(ending.at, zone), "why": why}
    if cover.until and standing.ran_out(cover, today):
        return gettext("Ran out on %(until)s.") % {"until": date_format(cover.until, DAY)}
    return ""


def _taken_back(cover: Cover) -> bool:
    ending = standing.ending_of(cover)
    return ending is not None and ending.reason == Ending.Reason.NOT_HANDED_BACK


def passed(inflatable: Inflatable, zone: ZoneInfo) -> list[str]:
    """The days on which it passed to a new owner, the earliest first."""
    done = Transfer.objects.filter(inflatable=inflatable).exclude(done_at=None).order_by("done_at")
    return [day(transfer.done_at, zone) for transfer in done if transfer.done_at]


def _small(words: str) -> str:
    return words[:1].lower() + words[1:]


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
