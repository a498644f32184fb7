"""Which job to take next at the bench, each with its reasons in words."""

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import islice

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.jobs import stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.mechanics.description import Sentence
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Staff
from shoprepair.work import steps, to_do
from shoprepair.work.dispatch import Plan, plan
from shoprepair.work.next_job import Next, next_job, not_ready
from shoprepair.work.tasks import JobToDo, key

MOST = 20
"""So many of the most pressing jobs are planned against one another: more than anybody takes in a day."""

ALL_DONE = Sentence(gettext_lazy("All its steps are done: the hold test comes next."))


@dataclass(frozen=True, slots=True, kw_only=True)
class Suggestion:
    """A job to take, or one that cannot be worked now and why."""

    job: Job
    reasons: tuple[Sentence, ...]
    """Why it comes where it does, first; then danger, promise, parts, dryness, a set-up shared."""
    shares_set_up_with: tuple[tuple[int, str], ...] = ()
    """Numbers of other jobs that can be worked now with the same set-up, and which."""
    waits: Sentence | None = None
    """Why this person cannot work on it now; None where they can."""
    begun: bool = False
    """By this person."""
    minutes: int = 0
    """Left at the bench."""


def suggest(who: Staff, now: datetime.datetime | None = None) -> list[Suggestion]:
    """The jobs to take, the next one first; then those that cannot be worked now, each with its reason."""
    now = timezone.localtime(now or timezone.now())
    jobs = {job.number: job for job in to_do.in_work()}
    every = sorted(to_do.jobs_to_do(jobs.values(), now), key=key)
    made = (
        plan(every[:MOST], to_do.people(), now=now, holidays=to_do.closed_days())
        if every
        else Plan(planned=())
    )
    person = to_do.name_of(who)
    table = on_the_table(who, now)
    there = frozenset(number for number, job in jobs.items() if job.stage == Stage.BENCH)
    ready = list(_in_turn(person, every[:MOST], made, now, table, there))
    taken = {each.job for each in ready}
    left = [each for each in every if each.number not in taken]
    by_number = {each.number: each for each in every}
    return [
        *(_suggestion(each, by_number[each.job], jobs, person) for each in ready),
        *(_waiting(each, jobs[each.number], person, now) for each in left),
    ]


def on_the_table(who: Staff, now: datetime.datetime) -> frozenset[str]:
    """What stands ready because this person worked with it last, today."""
    last = who.stints.exclude(step=None).select_related("step__repair").last()
    if last is None or last.step is None or to_do.today(last.began_at) != to_do.today(now):
        return frozenset()
    return frozenset(filter(None, [to_do.set_up_of(last.step)]))


@transaction.atomic
def take(job: Job, who: Staff) -> Job:
    """Take a job to the bench, with the steps that its agreements make.

    Raises stages.StageRefused with what is missing. One that is on the bench already stays there.
    """
    steps.make(job)
    job.refresh_from_db(fields=("stage", "version", "hold"))
    return job if job.stage == Stage.BENCH else stages.move(job, Stage.BENCH, who=who)


def _in_turn(
    person: str,
    jobs: Sequence[JobToDo],
    made: Plan,
    now: datetime.datetime,
    table: frozenset[str],
    there: frozenset[int],
) -> list[Next]:
    """One after the other: what comes next once those before it are taken."""
    left = {job.number: job for job in jobs}
    found: list[Next] = []

    def following() -> Next | None:
        return next_job(
            person,
            left.values(),
            made,
            now=now,
            on_the_table=table,
            others_before=bool(found),
            on_the_bench=there,
        )

    for each in islice(iter(following, None), len(jobs)):
        del left[each.job]
        found.append(each)
    return found


def _suggestion(found: Next, job: JobToDo, jobs: Mapping[int, Job], person: str) -> Suggestion:
    kept = jobs[found.job]
    over = (ALL_DONE,) if not job.steps and kept.stage == Stage.BENCH else ()
    return Suggestion(
        job=kept,
        reasons=(*over, found.reason, *found.reasons, *_shared_words(found.shares)),
        shares_set_up_with=found.shares,
        begun=job.taken_by == person,
        minutes=job.minutes,
    )


def _shared_words(shares: Sequence[tuple[int, str]]) -> list[Sentence]:
    by_set_up: dict[str, list[int]] = {}
    for number, set_up in shares:
        by_set_up.setdefault(set_up, []).append(number)
    return [
        Sentence(
            gettext("Shares %(set_up)s with %(join)s.")
            % {
                "set_up": to_do.set_up_words(set_up),
                "join": ", ".join(
                    gettext("job %(number)s") % {"number": f"{number:04d}"} for number in numbers[:3]
                ),
            }
        )
        for set_up, numbers in by_set_up.items()
    ]


def _waiting(job: JobToDo, kept: Job, person: str, now: datetime.datetime) -> Suggestion:
    waits = not_ready(job, person, now) or Sentence(gettext("Others are more pressing."))
    return Suggestion(job=kept, reasons=(waits,), waits=waits, minutes=job.minutes)
