"""When each open job will likely be ready: reckoned when something changes, kept, and read from there.

No page of many jobs reckons anything: it reads what `refresh` kept. Jobs are planned in the order in which
they will be worked; the first `MOST` of them, which is more than a small shop has in hand.
"""

import datetime
from collections.abc import Iterable
from dataclasses import asdict, dataclass

from django.db import transaction
from django.db.models import F, Q, QuerySet
from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.jobs.reading import is_read
from shoprepair.mechanics.description import Quantity, Sentence
from shoprepair.shop.units import sentence
from shoprepair.shop.units.saying import in_words
from shoprepair.work import next_free, rules, to_do, waiting
from shoprepair.work.models import BenchHours, Forecast
from shoprepair.work.promise import Delays, Promised, Shop
from shoprepair.work.ranges import ranges
from shoprepair.work.saying import days, span
from shoprepair.work.tasks import JobToDo, key

MOST = 200
"""So many jobs are planned; any beyond them would wait for months."""
LATE = Q(forecast__late_on__gt=F("promised_on"))
"""Jobs that will perhaps be late, in a query of jobs."""
PLANNED = (*waiting.ASKED, *to_do.IN_WORK, Stage.HOLD_TEST)
"""Stages in which a job has work before it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ahead:
    """What is known of when a job is ready: two dates with their reason, or why there are none.

    The reason is kept in English with its figures, and said in the reader's language.
    """

    reason: Sentence
    likely_on: datetime.date | None = None
    late_on: datetime.date | None = None

    @property
    def known(self) -> bool:
        return self.likely_on is not None

    @property
    def dates(self) -> str:
        """'Thu 3 to Mon 7 December'; empty where they are not known."""
        return span(self.likely_on, self.late_on) if self.likely_on and self.late_on else ""

    @property
    def sentence(self) -> Sentence:
        """'Likely ready Thu 3 to Mon 7 December. Ahead of it: 6 jobs.'"""
        return self._after(gettext("Likely ready %(dates)s.")) if self.known else self.reason

    @property
    def if_it_stays(self) -> Sentence:
        """The same, said of gear that is not taken in yet."""
        said = gettext("If it stays for repair, it is likely ready %(dates)s.")
        return self._after(said) if self.known else self.reason

    def _after(self, said: str) -> Sentence:
        """The dates in a sentence, then the reason in its own."""
        dates = said % {"dates": self.dates}
        if not self.reason.text:
            return Sentence(dates)
        return Sentence(f"{dates} {in_words(self.reason.text)}", dict(self.reason.values))


@dataclass(frozen=True, slots=True)
class Late:
    """A job that will likely, or perhaps, be late."""

    job: Job
    days: int
    """After its promise."""
    days_left: int
    """Until the promised day; below zero once it is past."""
    likely: bool
    """Whether it is late even if nothing goes wrong."""

    @property
    def words(self) -> str:
        """'likely 3 days late'."""
        return lateness(self.job.promised_on, self.job.forecast)


def refresh(now: datetime.datetime | None = None) -> int:
    """Reckon the dates of all open jobs anew and keep them; answers how many are known.

    Deterministic, and bounded by `MOST`. Where nobody works, no date is known. Of two at one moment the one
    that looked last is kept.
    """
    now = timezone.localtime(now or timezone.now())
    found, usual_one = _reckon(now)
    with transaction.atomic():
        if Forecast.objects.filter(made_at__gt=now).exists():
            return len(found)
        next_free.keep(usual_one, now)
        keys = dict(Job.objects.filter(number__in=found).values_list("number", "pk"))
        rows = [_row(keys[number], each, now) for number, each in found.items() if number in keys]
        Forecast.objects.exclude(job_id__in=keys.values()).delete()
        Forecast.objects.bulk_create(
            rows,
            update_conflicts=True,
            unique_fields=["job"],
            update_fields=["likely_on", "late_on", "reason", "made_at"],
        )
    return len(found)


def of(job: Job) -> Ahead | None:
    """What is known of when a job is ready; None for one that has no work before it."""
    if not job.is_open or job.stage not in PLANNED:
        return None
    kept = _kept(job)
    if unknown := _unknown(job):
        return Ahead(reason=unknown)
    if kept is None:
        return Ahead(reason=Sentence(gettext("When it is ready was not reckoned yet.")))
    return Ahead(reason=sentence(kept.reason), likely_on=kept.likely_on, late_on=kept.late_on)


def agreed(job: Job) -> None:
    """Its work is no longer only asked about: its dates stay until the next plan, without their reason."""
    Forecast.objects.filter(job=job).update(reason=_plain(Sentence("")))


def _kept(job: Job) -> Forecast | None:
    """As the page has read it with the job, else read now."""
    if is_read(job, "forecast"):
        return getattr(job, "forecast", None)
    return Forecast.objects.filter(job=job).first()


def preview(job: Job, now: datetime.datetime | None = None) -> Ahead:
    """When a job would be ready if it stayed for repair; reckoned at once, for the page of one job."""
    now = timezone.localtime(now or timezone.now())
    if unknown := _unknown(job):
        return Ahead(reason=unknown)
    usual = waiting.Usual()
    this = waiting.of_job(job, now, usual)
    agreed, asked = _first(waiting.agreed(now, MOST, usual), waiting.asked(now, MOST, usual))
    others = [each for each in asked if each.number != job.number]
    try:
        found = ranges(agreed, [*others, this.job], _shop(now))
    except ValueError as refused:
        return Ahead(reason=Sentence(str(refused)))
    return _ahead(found[job.number], this.said)


def proposed(ahead: Ahead) -> datetime.date | None:
    """The day to promise a new job for by the plan; None until the owner has said who works when."""
    return ahead.late_on if BenchHours.objects.exists() else None


def late(on: datetime.date, most: int = 100) -> list[Late]:
    """Open jobs that will likely or perhaps be late, the longest first."""
    jobs = late_jobs().select_related("forecast", "customer", "inflatable__pattern")[:most]
    found = [
        Late(
            job=job,
            days=(job.forecast.late_on - job.promised_on).days,
            days_left=(job.promised_on - on).days,
            likely=job.forecast.likely_on > job.promised_on,
        )
        for job in jobs
    ]
    return sorted(found, key=lambda each: (not each.likely, -each.days, each.job.number))


def late_jobs() -> QuerySet[Job]:
    """Open jobs that will likely or perhaps be late."""
    return Job.objects.filter(LATE, is_open=True).order_by("promised_on", "id")


def lateness(promised_on: datetime.date, kept: "Forecast | Ahead | None") -> str:
    """'likely 3 days late', 'perhaps 1 day late'; empty where it is in time or not known."""
    return "" if kept is None else late_by(promised_on, kept.likely_on, kept.late_on)


def late_by(
    promised_on: datetime.date, likely_on: datetime.date | None, late_on: datetime.date | None
) -> str:
    """As `lateness`, of the two dates alone."""
    if likely_on is None or late_on is None or late_on <= promised_on:
        return ""
    if likely_on > promised_on:
        return gettext("likely %(days)s late") % {"days": days((likely_on - promised_on).days)}
    return gettext("perhaps %(days)s late") % {"days": days((late_on - promised_on).days)}


def _reckon(now: datetime.datetime) -> tuple[dict[int, Ahead], Promised | None]:
    """What is known of every job by its number, and of a usual one that would come in now."""
    usual = waiting.Usual()
    asked = waiting.asked(now, MOST, usual)
    said = {each.job.number: each.said for each in asked}
    sure, perhaps = _first(waiting.agreed(now, MOST, usual), asked)
    usual_one = next_free.usual_job([*sure, *perhaps], now, usual)
    try:
        found = ranges(sure, [*perhaps, usual_one], _shop(now))
    except ValueError:
        return {}, None
    known = found.pop(next_free.NUMBER, None)
    return {number: _ahead(each, said.get(number, Sentence(""))) for number, each in found.items()}, known


def _first(agreed: Iterable[JobToDo], asked: Iterable[waiting.Asked]) -> tuple[list[JobToDo], list[JobToDo]]:
    """The first of all jobs in the order in which they will be worked, agreed ones before the others."""
    sure = sorted(agreed, key=key)[:MOST]
    perhaps = sorted((each.job for each in asked), key=key)[: MOST - len(sure)]
    return sure, perhaps


def _shop(now: datetime.datetime) -> Shop:
    slack = rules.current().slack_percent
    return Shop(
        people=to_do.people(),
        now=now,
        holidays=to_do.closed_days(),
        delays=Delays(work_factor=1 + slack / 100),
    )


def _unknown(job: Job) -> Sentence | None:
    """Why nobody can say when a job is ready; None where it can be reckoned."""
    if job.hold == Hold.CUSTOMER:
        return Sentence(gettext("No date is known: it waits for the customer."))
    if job.hold == Hold.PARTS and not hasattr(job, "expected_parts"):
        return Sentence(gettext("No date is known: nobody has said when its parts come."))
    return None


def _ahead(found: Promised, said: Sentence) -> Ahead:
    reason = found.reason
    whole = Sentence(f"{reason.text} {said.text}".strip(), {**reason.values, **said.values})
    return Ahead(reason=whole, likely_on=found.likely_on, late_on=found.late_on)


def _row(job_id: int, each: Ahead, now: datetime.datetime) -> Forecast:
    assert each.likely_on
    assert each.late_on
    return Forecast(
        job_id=job_id,
        likely_on=each.likely_on,
        late_on=each.late_on,
        reason=_plain(each.reason),
        made_at=now,
    )


def _plain(reason: Sentence) -> dict[str, object]:
    values: dict[str, Quantity] = reason.values
    return {"text": reason.text, "values": {name: asdict(value) for name, value in values.items()}}
