"""From when to when each of many jobs is likely ready, with the reason, from a few plans for all of them.

To plan once more without each cause that may put a job off takes too long for all open jobs of a shop, so
the reason is read from the plan itself: what takes most of the days until it is ready.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import accumulate

from shoprepair.mechanics.description import Quantity, Sentence
from shoprepair.mechanics.words import gettext_noop
from shoprepair.work.dispatch import Plan, Planned, Planning
from shoprepair.work.promise import Promised, Shop, delayed, open_day, ready_on
from shoprepair.work.tasks import JobToDo, StepToDo

ANSWER_DAYS = 2
"""What the late date allows for a customer's answer to a quote [assumed]."""
EXPECTED = gettext_noop("Its parts are expected on {day}.")
NOT_DRY = gettext_noop("It is not dry before {moment}.")
AHEAD = gettext_noop("Ahead of it: {jobs}, {time} at the bench.")
"""Kept in English with their figures, and said in the language of whoever reads them."""


def ranges(agreed: Iterable[JobToDo], asked: Iterable[JobToDo], shop: Shop) -> dict[int, Promised]:
    """The dates of all jobs by number; a job of which nobody knows when it can go on is not among them.

    asked: jobs that no customer has agreed yet. They push back no agreed job's likely date, only its late
    one, for they may never be agreed; and their own late dates leave the customer some days to answer.
    Raises ValueError with one sentence where nobody works.
    """
    sure, perhaps = [_in_short(job) for job in agreed], [_in_short(job) for job in asked]
    perhaps = _after(sure, perhaps)
    made, whole = _made(sure, perhaps, shop)
    late = _made(delayed(sure, shop.delays), delayed(perhaps, shop.delays), shop)[1]
    theirs = _ranges(perhaps, whole, late, shop, among=[*sure, *perhaps], answer_days=ANSWER_DAYS)
    return dict(_ranges(sure, made, late, shop, among=sure)) | dict(theirs)


def _made(agreed: Sequence[JobToDo], asked: Sequence[JobToDo], shop: Shop) -> tuple[Plan, Plan]:
    """The plan of the agreed jobs, and the same with those put in that may be agreed."""
    planning = Planning(
        [*agreed, *asked],
        shop.people,
        now=shop.now,
        holidays=shop.holidays,
        precedence=shop.precedence,
        spare_lateness=False,
    )
    planning.put_in(agreed)
    made = planning.plan()
    planning.put_in(asked)
    return made, planning.plan() if asked else made


def _after(agreed: Sequence[JobToDo], asked: Sequence[JobToDo]) -> list[JobToDo]:
    """The asked ones as joining after all that are agreed: so none of these comes earlier by them."""
    if not agreed:
        return list(asked)
    last = max(job.joined_at for job in agreed)
    return [replace(job, joined_at=max(job.joined_at, last + timedelta(seconds=1))) for job in asked]


def _in_short(job: JobToDo) -> JobToDo:
    """The same job with steps that follow one another without drying taken as one: days ask for no more."""
    runs: list[StepToDo] = []
    minutes = 0
    for number, step in enumerate(job.steps, 1):
        minutes += step.minutes
        if step.wait_minutes or number == len(job.steps):
            after = (runs[-1].name,) if runs else ()
            runs.append(
                StepToDo(name=step.name, minutes=minutes, after=after, wait_minutes=step.wait_minutes)
            )
            minutes = 0
    steps = tuple(runs)
    return job if steps == job.steps else replace(job, steps=steps)


def _ranges(
    jobs: Sequence[JobToDo],
    made: Plan,
    late: Plan,
    shop: Shop,
    *,
    among: Sequence[JobToDo],
    answer_days: int = 0,
) -> Iterable[tuple[int, Promised]]:
    """The dates of some of the jobs that were planned, `among` all of them."""
    planned = {each.job: (place, each) for place, each in enumerate(made.planned)}
    after = {each.job: each for each in late.planned}
    minutes = {job.number: job.minutes for job in among}
    ahead = [0, *accumulate(minutes[each.job] for each in made.planned)]
    for job in jobs:
        if job.number not in planned:
            continue
        place, found = planned[job.number]
        likely = ready_on(found, shop)
        late_on = max(likely, ready_on(after[job.number], shop))
        if answer_days:
            late_on = open_day(late_on + timedelta(days=answer_days), shop)
        reason = _reason(job, found, place, ahead[place], shop)
        yield (
            job.number,
            Promised(
                job=job.number,
                likely_on=likely,
                late_on=late_on,
                reason=reason,
            ),
        )


def _reason(job: JobToDo, found: Planned, place: int, minutes: int, shop: Shop) -> Sentence:
    """What most of the time until it is ready goes by with; place, minutes: the jobs ahead of it."""
    free, why = _free(job, shop)
    parts = free - shop.now
    ahead = found.begins_at - free
    own = found.ready_at - found.begins_at
    if why and parts >= own and not (place and ahead > parts):
        return why
    return _ahead(place, minutes) if place and ahead >= own else _own_work(job)


def _free(job: JobToDo, shop: Shop) -> tuple[datetime, Sentence | None]:
    """From when anything can be done on it, and what is waited for until then."""
    free, why = shop.now, None
    if not job.parts_there and job.parts_on is not None and job.parts_on > shop.now.date():
        midnight = shop.now.replace(hour=0, minute=0, second=0, microsecond=0)
        free = midnight + timedelta(days=(job.parts_on - shop.now.date()).days)
        why = Sentence(EXPECTED, {"day": Quantity(job.parts_on.toordinal(), "day")})
    if job.dry_at is not None and job.dry_at > free:
        free = job.dry_at.astimezone(shop.now.tzinfo)
        why = Sentence(NOT_DRY, {"moment": Quantity(free.timestamp(), "moment")})
    return free, why


def _ahead(count: int, minutes: int) -> Sentence:
    return Sentence(AHEAD, {"jobs": Quantity(count, "job"), "time": _spent(_about(minutes))})


def _spent(minutes: float) -> Quantity:
    return Quantity(60.0 * minutes, "s at the bench")


def _about(minutes: int) -> int:
    """Of many jobs no minute is known: from ten hours on whole hours."""
    return minutes if minutes < 600 else 60 * round(minutes / 60)


def _own_work(job: JobToDo) -> Sentence:
    if not job.steps:
        return Sentence(gettext_noop("All that is agreed is done."))
    waits = sum(step.wait_minutes for step in job.steps)
    values = {"time": _spent(job.minutes)}
    if not waits:
        return Sentence(gettext_noop("It takes {time} at the bench."), values)
    values["waits"] = _spent(waits)
    return Sentence(
        gettext_noop("It takes {time} at the bench, and {waits} of drying, curing and testing."), values
    )
