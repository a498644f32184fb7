"""The bench's ticks: of a whole job at once, or one by one with the time and the materials they took."""

from datetime import datetime, timedelta

from django.utils import timezone

from shoprepair.jobs.models import Job
from shoprepair.office.demo import clock
from shoprepair.office.demo.people import Crew
from shoprepair.work import steps, stock, ticks
from shoprepair.work.models import Step, Tick

Verb = Tick.Verb
LONGEST = timedelta(minutes=40)
"""No step of the demo's bench day lasts longer, so that the day holds all of them."""


def work_through(job: Job, crew: Crew) -> None:
    """Every step that is still open is done, the last of them now, each for as long as it was reckoned.

    Written at once; the time that people spent is not kept.
    """
    still = list(job.steps.exclude(state__in=(Step.State.DONE, Step.State.SKIPPED)))
    for step in {step.repair_id: step for step in still if step.repair_id}.values():
        take_materials(step, crew)
    at, made = timezone.now(), []
    for step in reversed(still):
        step.state, step.done_by, step.done_at = Step.State.DONE, crew.bench, at
        done = {"verb": Verb.DONE, "who": crew.bench, "at": at, "received_at": at}
        made.append(Tick(step=step, key=f"demo-{step.pk}", **done))
        at -= timedelta(minutes=float(step.minutes))
    Tick.objects.bulk_create(made)
    Step.objects.bulk_update(still, ["state", "done_by", "done_at"])


def work_on(job: Job, count: int, crew: Crew, at: datetime) -> datetime:
    """Do the next steps one after the other from then on; answers when the last was done."""
    for _ in range(count):
        with clock.at(at):
            if (step := steps.next_step(job, crew.bench)) is None:
                break
            _tick(step, Verb.START, crew, at)
        at += min(timedelta(minutes=float(step.minutes)), LONGEST)
        with clock.at(at):
            take_materials(step, crew)
            _tick(step, Verb.DONE, crew, at)
    return at


def start_next(job: Job, crew: Crew, at: datetime) -> None:
    """Somebody is at the next step since then."""
    with clock.at(at):
        if step := steps.next_step(job, crew.bench):
            _tick(step, Verb.START, crew, at)


def take_materials(step: Step, crew: Crew) -> None:
    """What the step's repair takes, from the lots that the shelf proposes."""
    for each in stock.proposals(step):
        if each.lot and each.offered:
            stock.use(each.lot, each.offered, job=step.job, step=step, who=crew.bench)


def _tick(step: Step, verb: Verb, crew: Crew, at: datetime) -> None:
    ticks.take(step, verb, key=f"demo-{step.pk}-{verb}", who=crew.bench, at=at)
