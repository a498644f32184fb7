"""The steps of a job at the bench: in which order, which comes next, and what each comes after."""

import datetime
from collections.abc import Iterator, Mapping, Sequence

from django.db import transaction
from django.db.models import F
from django.utils import timezone

from shoprepair.jobs.models import Hold, Job
from shoprepair.pricing.quotes.steps import lock
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext
from shoprepair.work.making import make
from shoprepair.work.models import Step
from shoprepair.work.recipe import SETTLED
from shoprepair.work.saying import moment
from shoprepair.work.step_figures import figures

__all__ = [
    "NotMoved",
    "all_done",
    "dry_at",
    "figures",
    "make",
    "may_do",
    "move",
    "next_step",
    "of",
    "refusals",
]
State = Step.State


class NotMoved(ValueError):
    """The step cannot go there; the message says in a sentence why."""


def of(job: Job) -> list[Step]:
    """All steps in order, with what a page says of them, in one statement."""
    return list(
        job.steps.select_related(
            "job", "done_by", "repair__operation", "repair__damage__job__inflatable__pattern"
        )
    )


def all_done(job: Job) -> bool:
    """Whether there are steps and every one is done or skipped."""
    states = list(job.steps.values_list("state", flat=True))
    return bool(states) and all(state in SETTLED for state in states)


def may_do(
    step: Step, among: Sequence[Step] | None = None, now: datetime.datetime | None = None
) -> list[str]:
    """What stands in the way of doing a step now, a sentence each; empty where nothing does.

    `among`: the job's steps where they are known, which spares asking for them.
    """
    if step.state in SETTLED:
        return [gettext("It is done.") if step.state == State.DONE else gettext("It was left out.")]
    return list(_in_the_way(step, _by_name(among or of(step.job)), now or timezone.now()))


def refusals(steps: Sequence[Step], now: datetime.datetime | None = None) -> dict[int, list[str]]:
    """`may_do` of each of a job's steps by its id."""
    now = now or timezone.now()
    return {step.pk: may_do(step, steps, now) for step in steps}


def next_step(
    job: Job, who: Staff, among: Sequence[Step] | None = None, now: datetime.datetime | None = None
) -> Step | None:
    """What this person does next on a job: the step they are at, else the first that can be done now.

    A step that another person is at comes last. None where nothing can be done now.
    """
    steps = among if among is not None else of(job)
    now = now or timezone.now()
    at = set(who.stints.filter(job=job, ended_at=None).values_list("step_id", flat=True))
    can = [step for step in steps if step.state not in SETTLED and not may_do(step, steps, now)]
    own = [step for step in can if step.pk in at]
    waiting = [step for step in can if step.state == State.WAITING]
    return next(iter([*own, *waiting, *can]), None)


def dry_at(steps: Sequence[Step], now: datetime.datetime) -> datetime.datetime | None:
    """When the next thing can be done on a job all whose open steps wait for something to dry; else None."""
    by_name = _by_name(steps)
    ready = []
    for step in steps:
        if step.state in SETTLED:
            continue
        if any(before.state not in SETTLED for before in _counting(step, by_name)):
            continue
        ready.append(max((_dry(before) for before in _counting(step, by_name)), default=now))
    first = min(ready, default=now)
    return first if first > now else None


@transaction.atomic
def move(step: Step, before: Step | None, *, who: Staff) -> Step:
    """Put a step just before another, or at the end. Raises NotMoved with a sentence.

    It stays behind what it comes after, and before what comes after it.
    """
    lock(step.job)
    order = list(step.job.steps.all())
    step = next((each for each in order if each.pk == step.pk), step)
    if step.state in SETTLED:
        raise NotMoved(gettext("It is done already and stays where it is."))
    if before is not None and before.pk not in {each.pk for each in order}:
        raise NotMoved(gettext("That step is not one of this job (any more). Look at the steps again."))
    rest = [each for each in order if each.pk != step.pk]
    at = next((i for i, each in enumerate(rest) if before is not None and each.pk == before.pk), len(rest))
    if before is not None and before.pk == step.pk:
        return step
    _check_place(step, rest[:at], rest[at:])
    rest.insert(at, step)
    if [each.pk for each in rest] == [each.pk for each in order]:
        return step
    for place, each in enumerate(rest, 1):
        if each.position != place:
            Step.objects.filter(pk=each.pk).update(position=place, version=F("version") + 1)
    where = gettext("before %(before)s") % {"before": quoted(before)} if before else gettext("to the end")
    journal.record(
        step.job,
        "step.moved",
        gettext("Moved %(step)s %(where)s.") % {"step": quoted(step), "where": where},
        who=who,
    )
    step.refresh_from_db()
    return step


def quoted(step: Step) -> str:
    """“Cut the plies”, without the full stop."""
    return f"“{step.text.rstrip('.')}”"


def _check_place(step: Step, earlier: Sequence[Step], later: Sequence[Step]) -> None:
    for each in later:
        if each.made_from in step.after:
            raise NotMoved(
                gettext("It stays where it is: %(each)s must come first.") % {"each": quoted(each)}
            )
        if each.state in SETTLED:
            raise NotMoved(
                gettext("%(each)s is done already, so nothing new goes before it.") % {"each": quoted(each)}
            )
    for each in earlier:
        if step.made_from in each.after:
            raise NotMoved(
                gettext("It stays where it is: %(each)s can only come after it.") % {"each": quoted(each)}
            )


def _in_the_way(step: Step, by_name: Mapping[str, Step], now: datetime.datetime) -> Iterator[str]:
    if step.job.hold == Hold.DRYING:
        yield gettext("The job is on hold: drying. Lift the hold when it is bone dry.")
    for before in _counting(step, by_name):
        if before.state not in SETTLED:
            yield gettext("%(before)s comes first.") % {"before": quoted(before)}
        elif (dry := _dry(before)) > now:
            yield gettext("%(before)s dries until %(moment)s.") % {
                "before": quoted(before),
                "moment": moment(timezone.localtime(dry)),
            }


def _counting(step: Step, by_name: Mapping[str, Step]) -> Iterator[Step]:
    """What a step waits for: what it comes after, and where that was left out, what that came after."""
    seen: set[str] = set()
    names = list(step.after)
    while names:
        name = names.pop(0)
        before = by_name.get(name)
        if before is None or name in seen:
            continue
        seen.add(name)
        if before.state == State.SKIPPED:
            names += before.after
        else:
            yield before


def _dry(step: Step) -> datetime.datetime:
    """When what was done has dried."""
    hours = datetime.timedelta(hours=float(step.drying_hours))
    return (step.done_at or datetime.datetime.min.replace(tzinfo=datetime.UTC)) + hours


def _by_name(steps: Sequence[Step]) -> dict[str, Step]:
    return {step.made_from: step for step in steps}
