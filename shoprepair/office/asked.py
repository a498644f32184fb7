"""What the self-check was asked, and which enquiries never came in: counts and rows for the owner."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal, InvalidOperation
from typing import Any, NamedTuple

from django.db.models import Count, Q, QuerySet, Sum
from django.db.models.functions import TruncWeek
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext

from shoprepair.jobs.models import Enquiry, SelfCheckTally, Stage
from shoprepair.office.asked_words import look_words, part_words, verdict_words, worst
from shoprepair.pricing.rough import Charge
from shoprepair.shop.charts import Bar, Chart, Table, bars, table
from shoprepair.shop.counted import counted

DAYS = 90
"""So far back the questions are counted."""


@dataclass(frozen=True, slots=True)
class Line:
    """One of the things that were asked about: how often, and how long its bar is out of a hundred."""

    name: str
    count: int
    length: float


class Ranking(NamedTuple):
    """All of them, the most asked first."""

    title: str
    lines: tuple[Line, ...]


class Standing(NamedTuple):
    """How many enquiries there ever were, and what became of them."""

    sent: int
    came: int
    waiting: int
    lost: int


class Row(NamedTuple):
    """One enquiry that is not here: what was asked, what was advised, what became of it."""

    enquiry: Enquiry
    sent_on: date
    gear: str
    damages: tuple[str, ...]
    verdict: str
    charge: str
    standing: str
    is_waiting: bool


def questions(today: date) -> dict[str, Any]:
    """What was asked in the last days: how often, by week, and ranked by part, look and verdict."""
    since = today - timedelta(days=DAYS - 1)
    counted = SelfCheckTally.objects.filter(day__gte=since)
    rankings = (
        _ranking(gettext("Where it is"), counted, "part", part_words),
        _ranking(gettext("What it looks like"), counted, "look", look_words),
        _ranking(gettext("What was advised"), counted, "verdict", verdict_words),
    )
    return {
        "asked": sum(line.count for line in rankings[0].lines),
        "days": DAYS,
        "rankings": rankings,
        "weeks": _weeks(counted, since, today),
    }


def _ranking(title: str, counted: QuerySet[SelfCheckTally], field: str, words: Any) -> Ranking:
    found = counted.values_list(field).annotate(asked=Sum("count")).order_by("-asked", field)
    rows = [(words(code), asked) for code, asked in found]
    most = max((asked for _, asked in rows), default=1)
    return Ranking(title, tuple(Line(name, asked, round(100 * asked / most, 1)) for name, asked in rows))


def _weeks(counted: QuerySet[SelfCheckTally], since: date, today: date) -> Chart:
    found = counted.annotate(week=TruncWeek("day")).values_list("week").annotate(asked=Sum("count"))
    asked = dict(found.order_by("week"))
    first = since - timedelta(days=since.weekday())
    weeks = [first + timedelta(weeks=n) for n in range((today - first).days // 7 + 1)]
    rows = [Bar(date_format(week, "j M"), [asked.get(week, 0)]) for week in weeks]
    return bars(
        rows,
        [gettext("answers")],
        title=gettext("Answers given, by week"),
        unique="asked",
        of=gettext("week from"),
    )


def standing() -> Standing:
    """Of all enquiries that were ever sent."""
    waits = Q(came_at=None, forgotten_at=None, job__is_open=True)
    found = Enquiry.objects.aggregate(
        sent=Count("id"), came=Count("id", Q(came_at__isnull=False)), waiting=Count("id", waits)
    )
    return Standing(**found, lost=found["sent"] - found["came"] - found["waiting"])


def not_here() -> QuerySet[Enquiry]:
    """Enquiries whose gear has not come in, the newest first."""
    found = Enquiry.objects.filter(came_at=None).order_by("-sent_at", "-id")
    return found.select_related("job__inflatable__pattern").prefetch_related("job__damages")


def rows(enquiries: Iterable[Enquiry], today: date) -> Iterator[Row]:
    """Each in words; nothing of who asked."""
    for enquiry in enquiries:
        yield Row(
            enquiry=enquiry,
            sent_on=timezone.localdate(enquiry.sent_at),
            gear=str(enquiry.job.inflatable.pattern),
            damages=tuple(str(d.told.get("words", "")) for d in enquiry.job.damages.all() if d.told),
            verdict=verdict_words(worst(_verdicts(enquiry))),
            charge=_charge(enquiry),
            standing=_standing(enquiry, today),
            is_waiting=_is_waiting(enquiry),
        )


def _verdicts(enquiry: Enquiry) -> list[str]:
    return [str(each.get("verdict", "")) for each in enquiry.advice if isinstance(each, dict)]


def _is_waiting(enquiry: Enquiry) -> bool:
    return bool(enquiry.forgotten_at is None and enquiry.job.stage == Stage.ENQUIRY)


def _standing(enquiry: Enquiry, today: date) -> str:
    if enquiry.forgotten_at:
        return gettext("was forgotten on %(localdate)s") % {
            "localdate": date_format(timezone.localdate(enquiry.forgotten_at), "j M Y")
        }
    if not _is_waiting(enquiry):
        return gettext("withdrawn")
    days = (today - timezone.localdate(enquiry.sent_at)).days
    return gettext("waits %(age)s") % {"age": counted(days, "day")} if days else gettext("waits since today")


def _charge(enquiry: Enquiry) -> str:
    """The range that was named, as money; empty where none was."""
    try:
        low, high = (Decimal(str(enquiry.charge[end])) for end in ("low", "high"))
        currency = str(enquiry.charge["currency"])
    except (KeyError, InvalidOperation, TypeError):
        return ""
    return Charge(low=low, high=high, currency=currency, what=()).said


def as_table(found: Iterable[Row]) -> Table:
    """The rows to keep as CSV."""
    head = (
        "enquiry",
        gettext("asked on"),
        "gear",
        "damages",
        "advised",
        gettext("charge named"),
        "how",
        "standing",
    )
    return table(
        head,
        (
            (
                str(row.enquiry.job),
                row.sent_on.isoformat(),
                row.gear,
                " / ".join(row.damages),
                row.verdict,
                row.charge,
                row.enquiry.get_comes_display(),
                row.standing,
            )
            for row in found
        ),
    )
