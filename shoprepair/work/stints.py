"""Whose time runs on what. Nobody minds it: starting one step stops the other, doing it stops it too."""

import datetime
from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from shoprepair.jobs.models import Job, Stage
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext
from shoprepair.work import measured
from shoprepair.work.models import Step, Stint, WorkRules

TENTH = Decimal("0.1")
MINUTE = datetime.timedelta(minutes=1)


class NotMended(ValueError):
    """A stint cannot be put right like that; the message says in a sentence why."""


@transaction.atomic
def start(who: Staff, job: Job, step: Step | None, at: datetime.datetime) -> Stint:
    """Let a person's time run on a step from `at`; what they were at stops then.

    A start that comes late is put where it belongs: it ends what ran then, and lasts until what that
    person began next. So nobody is ever at two things at once.
    """
    Staff.objects.select_for_update().get(pk=who.pk)
    at = min(at, timezone.now())
    before = who.stints.filter(began_at__lte=at).filter(Q(ended_at=None) | Q(ended_at__gt=at)).last()
    if before is not None:
        if before.step_id == (step.pk if step else None) and before.job_id == job.pk:
            return before
        _end(before, at)
    after = who.stints.filter(began_at__gt=at).first()
    return Stint.objects.create(
        who=who, job=job, step=step, began_at=at, ended_at=after.began_at if after else None
    )


@transaction.atomic
def stop(who: Staff, at: datetime.datetime) -> Stint | None:
    """Stop what a person is at; None where they are at nothing."""
    stint = running(who)
    if stint is not None:
        _end(stint, min(at, timezone.now()))
    return stint


def stop_on(step: Step, at: datetime.datetime) -> None:
    """Nobody is at this step after `at`: it is done, left out or taken back."""
    longer = step.stints.filter(began_at__lte=at, mended="").filter(Q(ended_at=None) | Q(ended_at__gt=at))
    for stint in longer:
        _end(stint, at)


def stop_off_the_bench(job: Job, at: datetime.datetime) -> None:
    """Nobody is at a job that has left the bench."""
    for stint in job.stints.filter(ended_at=None):
        _end(stint, at)


def on_moved(job: Job, start: str, **_: Any) -> None:
    """Receives every move of a job to another stage."""
    if start == Stage.BENCH:
        stop_off_the_bench(job, timezone.now())


def running(who: Staff) -> Stint | None:
    """What a person is at now."""
    return who.stints.filter(ended_at=None).select_related("job", "step").first()


def forgotten(now: datetime.datetime) -> list[Stint]:
    """Running stints that somebody forgot to stop: too long by the work rules, or begun before today."""
    rules = WorkRules.objects.first() or WorkRules()
    longest = now - rules.forgotten_after_minutes * MINUTE
    midnight = timezone.localtime(now).replace(hour=0, minute=0, second=0, microsecond=0)
    late = Stint.objects.filter(ended_at=None, began_at__lt=max(longest, midnight))
    return list(late.select_related("who", "job", "step"))


@transaction.atomic
def mend(stint: Stint, ended_at: datetime.datetime, *, who: Staff, why: str) -> Stint:
    """Put the end of a stint right, and say why in the journal. Raises NotMended with a sentence.

    It ends after it began, not in the future, and before that person's next one begins.
    """
    Staff.objects.select_for_update().get(pk=stint.who_id)
    stint = Stint.objects.select_related("who", "job").get(pk=stint.pk)
    why = " ".join(why.split())
    if refusal := _not_mended(stint, ended_at, why):
        raise NotMended(refusal)
    before, stint.ended_at, stint.mended = stint.ended_at, ended_at, f"{why} ({who})"[:200]
    stint.save(update_fields=["ended_at", "mended"])
    journal.record(
        stint.job,
        "time.mended",
        gettext("Put right how long %(who)s was at it: %(minutes_of)s min. %(why)s")
        % {"who": stint.who, "minutes_of": minutes_of([stint]), "why": why},
        who=who,
        changes={"ended_at": [before, ended_at]},
    )
    measured.again(stint.job)
    return stint


def minutes(what: Job | Step, now: datetime.datetime | None = None) -> Decimal:
    """Minutes spent on a job or a step so far, to a tenth; what runs counts up to now."""
    return minutes_of(what.stints.all(), now)


def minutes_of(stints: Iterable[Stint], now: datetime.datetime | None = None) -> Decimal:
    """The same of stints at hand."""
    now = now or timezone.now()
    spent = sum((max((s.ended_at or now) - s.began_at, 0 * MINUTE) for s in stints), 0 * MINUTE)
    return (Decimal(int(spent.total_seconds())) / 60).quantize(TENTH)


def minutes_by_step(steps: Sequence[Step], now: datetime.datetime | None = None) -> dict[int, Decimal]:
    """The same of many steps by id, in one statement."""
    now = now or timezone.now()
    by_step: dict[int, list[Stint]] = {step.pk: [] for step in steps}
    for stint in Stint.objects.filter(step__in=by_step):
        by_step[stint.step_id or 0].append(stint)
    return {pk: minutes_of(each, now) for pk, each in by_step.items()}


def _end(stint: Stint, at: datetime.datetime) -> None:
    stint.ended_at = max(at, stint.began_at)
    stint.save(update_fields=["ended_at"])


def _not_mended(stint: Stint, ended_at: datetime.datetime, why: str) -> str:
    if not why:
        return gettext("Say why, in a few words.")
    if ended_at < stint.began_at:
        began = timezone.localtime(stint.began_at)
        return gettext("It cannot end before it began, at %(began)s.") % {"began": f"{began:%H:%M}"}
    if ended_at > timezone.now():
        return gettext("It cannot end in the future.")
    after = stint.who.stints.filter(began_at__gte=stint.began_at).exclude(pk=stint.pk).first()
    if after is not None and ended_at > after.began_at:
        began = timezone.localtime(after.began_at)
        return gettext("%(who)s began the next thing at %(began)s: it ended by then.") % {
            "who": stint.who,
            "began": f"{began:%H:%M}",
        }
    return ""
