"""Taps as they come in: each after the one before it, and what a tap brings with it where no script runs."""

import datetime

from django.db import transaction

from shoprepair.bench.keys import following
from shoprepair.jobs.models import Job
from shoprepair.shop.models import Staff
from shoprepair.work import steps, stints, ticks
from shoprepair.work.models import Step, Tick

Verb = Tick.Verb
MOMENT = datetime.timedelta(microseconds=1)


def in_order(at: datetime.datetime, after: str, who: Staff) -> datetime.datetime:
    """A tap's time, never before that of the tap its device kept before it.

    A slow answer shifts each tap by its own delay; two taps of one instant would else change places.
    """
    before = Tick.objects.filter(key=after, who=who).first() if after else None
    return max(at, before.at + MOMENT) if before else at


@transaction.atomic
def tick_and_go_on(
    step: Step, verb: str, *, key: str, who: Staff, at: datetime.datetime, reason: str = ""
) -> Step | None:
    """Take a tick, let the time run on what comes next, and return the step to show. Raises TickRefused.

    Done or left out: the next step that can be done begins; None where none can. Undone: the one that began
    by itself is given back, and this one runs again.
    """
    step = ticks.take(step, verb, key=key, who=who, at=at, reason=reason)
    if verb == Verb.START:
        return step
    if verb == Verb.UNDO:
        _run_again(step, key, who, at)
        return step
    return _begin_next(step.job, key, who, at)


def _begin_next(job: Job, key: str, who: Staff, at: datetime.datetime) -> Step | None:
    following_step = steps.next_step(job, who)
    if following_step is None or stints.running(who) is not None:
        return following_step
    ticks.take(following_step, Verb.START, key=following(key, "next"), who=who, at=at)
    return following_step


def _run_again(step: Step, key: str, who: Staff, at: datetime.datetime) -> None:
    running = stints.running(who)
    if step.state != Step.State.WAITING:
        return
    if running and running.job_id == step.job_id and running.step and running.step_id != step.pk:
        ticks.take(running.step, Verb.UNDO, key=following(key, "back"), who=who, at=at)
    if not steps.may_do(step):
        ticks.take(step, Verb.START, key=following(key, "again"), who=who, at=at + MOMENT)
