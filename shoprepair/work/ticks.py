"""Ticks: what people did to steps, on devices that may be without a line. They are only ever added."""

import datetime

from django.db import transaction
from django.db.models import F
from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing.quotes.steps import lock
from shoprepair.shop.languages import in_a_sentence
from shoprepair.shop.models import Staff
from shoprepair.work import measured, steps, stints
from shoprepair.work.models import Step, Tick
from shoprepair.work.recipe import SETTLED
from shoprepair.work.settling import Settled, state_of
from shoprepair.work.steps import quoted

__all__ = ["LATE", "TickRefused", "came_late", "remarks", "state_of", "take"]
LATE = datetime.timedelta(minutes=2)
"""A tick that arrives later than this after its tap waited on a device without a line."""
Verb = Tick.Verb


class TickRefused(ValueError):
    """The tick cannot be taken; the message says in a sentence why."""


@transaction.atomic
def take(step: Step, verb: str, *, key: str, who: Staff, at: datetime.datetime, reason: str = "") -> Step:
    """Keep what somebody did to a step, and return the step as it stands then.

    key: made on the device; the same key is counted once, however often it is sent. at: the device's
    time; later than now it is now, and never before the gear came. Raises TickRefused where what comes
    first is not done; a tick that comes late from a device without a line is kept all the same, for the
    work is done, and `remarks` says so.
    """
    job = lock(step.job)
    step = Step.objects.select_related("job").get(pk=step.pk)
    if (before := Tick.objects.filter(key=key).first()) is not None:
        if before.step_id != step.pk or before.verb != verb:
            raise TickRefused(
                gettext("This tick's key was used for another one already. Open the page again.")
            )
        return step
    now = timezone.now()
    at = min(max(at, job.received_at), now)
    reason = " ".join(reason.split())
    if refusal := _refusal(job, step, Verb(verb), reason, now, late=now - at > LATE):
        raise TickRefused(refusal)
    Tick.objects.create(step=step, key=key, verb=verb, reason=reason, who=who, at=at, received_at=now)
    _settle(step)
    _time(step, Verb(verb), who, at)
    if verb in (Verb.DONE, Verb.SKIP) and steps.all_done(job):
        measured.keep(job)
    return step


def came_late(tick: Tick) -> bool:
    """Whether it waited on a device without a line."""
    return tick.received_at - tick.at > LATE


def remarks(job: Job) -> dict[int, list[str]]:
    """By step id, what the page says of ticks that came late: a step done before what comes first."""
    every = list(job.steps.prefetch_related("ticks__who"))
    by_name = {step.made_from: step for step in every}
    said: dict[int, list[str]] = {}
    for step in every:
        late = [tick for tick in step.ticks.all() if tick.verb == Verb.DONE and came_late(tick)]
        if step.state != Step.State.DONE or not late:
            continue
        for name in step.after:
            before = by_name.get(name)
            if before is not None and not _was_done_by(before, step):
                said.setdefault(step.pk, []).append(
                    gettext("%(who)s did it before %(before)s was ticked, on a device without a line.")
                    % {"who": late[0].who, "before": quoted(before)}
                )
    return said


def _was_done_by(before: Step, step: Step) -> bool:
    if before.state not in SETTLED:
        return False
    return not (before.done_at and step.done_at and before.done_at > step.done_at)


def _refusal(
    job: Job, step: Step, verb: Tick.Verb, reason: str, now: datetime.datetime, *, late: bool
) -> str:
    """Why a tick cannot be taken; empty where it can."""
    if verb == Verb.SKIP and not reason:
        return gettext("Say why it is left out, in a few words.")
    if late:
        return ""
    if job.stage != Stage.BENCH:
        label = Stage(job.stage).label
        return gettext("The job is at “%(label)s”, not on the bench. Take it to the bench first.") % {
            "label": label
        }
    if verb == Verb.UNDO:
        return _not_taken_back(step)
    if verb == Verb.START and step.state in SETTLED:
        return gettext("It is %(lower)s already. Take that back to do it again.") % {
            "lower": in_a_sentence(step.get_state_display())
        }
    if verb in (Verb.START, Verb.DONE) and step.state not in SETTLED:
        return " ".join(steps.may_do(step, now=now))
    return ""


def _not_taken_back(step: Step) -> str:
    if step.state == Step.State.WAITING:
        return gettext("There is nothing to take back: the step is not begun.")
    if step.state != Step.State.DONE:
        return ""
    after = [each for each in step.job.steps.all() if step.made_from in each.after]
    done = next((each for each in after if each.state == Step.State.DONE), None)
    return (
        gettext("%(done)s was done after it. Take that back first.") % {"done": quoted(done)} if done else ""
    )


def _settle(step: Step) -> None:
    """Write what the ticks come to on the step."""
    settled = state_of(step.ticks.select_related("who"))
    Step.objects.filter(pk=step.pk).update(version=F("version") + 1, **_values(settled))
    step.refresh_from_db(fields=("version", "state", "reason", "done_by", "done_at"))


def _values(settled: Settled) -> dict[str, object]:
    over = settled.state in SETTLED
    return {
        "state": settled.state,
        "reason": settled.reason,
        "done_by": settled.who if over else None,
        "done_at": settled.at if over else None,
    }


def _time(step: Step, verb: Tick.Verb, who: Staff, at: datetime.datetime) -> None:
    """Let the time run, or stop it, as the tick says; a start that came late stops where it was over."""
    if verb != Verb.START:
        stints.stop_on(step, at)
        return
    every = list(step.ticks.select_related("who"))
    if state_of(tick for tick in every if tick.at <= at).state != Step.State.RUNNING:
        return
    stints.start(who, step.job, step, at)
    over = next((tick for tick in every if tick.verb != Verb.START and tick.at >= at), None)
    if over is not None:
        stints.stop_on(step, over.at)
