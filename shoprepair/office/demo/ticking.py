"""The bench's ticks: of a whole job at once, or one by one with the time and the materials they took."""

from collections import defaultdict
from datetime import UTC, datetime, timedelta
from random import Random

from django.utils import timezone

from shoprepair.jobs.models import Job
from shoprepair.office.demo import clock
from shoprepair.office.demo.people import Crew
from shoprepair.shop.models import Staff
from shoprepair.work import steps, stints, stock, ticks
from shoprepair.work.models import Step, Stint, Tick

Verb = Tick.Verb
OWNER_SEWS = 3
"""Of so many jobs the owner does one."""
SINCE, PAUSE = timedelta(minutes=6), timedelta(minutes=4)
"""How long somebody is at the step that is under way; what lies between one step and the next."""
TAKES = (0.75, 1.5)
"""What a step takes, of what it was reckoned at."""
LONGEST = timedelta(minutes=40)
"""No step of the demo's bench day lasts longer, so that the day holds all of them."""


def sews(job: Job, crew: Crew) -> Staff:
    """Who does a job that nobody is named for: the owner does some."""
    return crew.owner if job.number % OWNER_SEWS == 0 else crew.bench


def work_through(job: Job, crew: Crew, since: datetime) -> None:
    """Every step that is still open is done, the last of them now, the first not before `since`.

    Each took as long as it was reckoned, or its share of the time that there was. Written at once; the time
    that people spent is kept by `keep_time`.
    """
    who = sews(job, crew)
    still = list(job.steps.exclude(state__in=(Step.State.DONE, Step.State.SKIPPED)))
    for step in {step.repair_id: step for step in still if step.repair_id}.values():
        take_materials(step, crew)
    now, made = timezone.now(), []
    planned = timedelta(minutes=float(sum(step.minutes for step in still)))
    share = min(1.0, clock.worked(since, now) / planned) if planned else 0.0
    at = now
    for step in reversed(still):
        step.state, step.done_by, step.done_at = Step.State.DONE, who, at
        done = {"verb": Verb.DONE, "who": who, "at": at, "received_at": at}
        made.append(Tick(step=step, key=f"demo-{step.pk}-{at:%m%d%H%M}", **done))
        at = clock.earlier(at, timedelta(minutes=float(step.minutes)) * share)
    Tick.objects.bulk_create(made)
    Step.objects.bulk_update(still, ["state", "done_by", "done_at"])


def work_on(job: Job, count: int, crew: Crew, at: datetime) -> datetime:
    """Do the next steps one after the other from then on; answers when the last was done."""
    for _ in range(count):
        with clock.at(at):
            if (step := steps.next_step(job, crew.bench)) is None:
                break
            _tick(step, Verb.START, crew, at)
        at += _took(step)
        with clock.at(at):
            take_materials(step, crew)
            _tick(step, Verb.DONE, crew, at)
        at += PAUSE
    return at


def be_at_next(job: Job, crew: Crew, now: datetime) -> None:
    """Somebody is at the next step since a while; where the shop is closed now, since before it closed.

    Whoever goes home stops the time.
    """
    end = clock.open_at(now)
    at = max(end - SINCE, clock.opening(timezone.localdate(end)))
    with clock.at(at):
        if step := steps.next_step(job, crew.bench):
            _tick(step, Verb.START, crew, at)
    if end < now:
        with clock.at(end):
            stints.stop(crew.bench, end)


def do_again(job: Job, crew: Crew, at: datetime) -> None:
    """All from the last repair on is taken back, as it did not hold, and done again by then."""
    done = list(job.steps.filter(state=Step.State.DONE).order_by("position"))
    last = max((place for place, step in enumerate(done) if step.kind == Step.Kind.REPAIR), default=0)
    since = timezone.now()
    for step in reversed(done[last:]):
        ticks.take(step, Verb.UNDO, key=f"demo-{step.pk}-again", who=crew.bench, at=since)
    with clock.at(at):
        work_through(job, crew, since)


def keep_time() -> None:
    """Write down what people spent on what they did: nobody at two things at once, so some of it is lost."""
    busy: dict[int, list[tuple[datetime, datetime]]] = defaultdict(list)
    for stint in Stint.objects.all():
        busy[stint.who_id].append((stint.began_at, stint.ended_at or datetime.max.replace(tzinfo=UTC)))
    done = Step.objects.filter(job__is_open=True, state=Step.State.DONE, stints=None)
    kept = []
    for step in done.select_related("job", "done_by").order_by("done_at", "position"):
        who, ended = step.done_by, step.done_at
        if who is None or ended is None:
            continue
        began = ended - _took(step)
        if all(ended <= start or end <= began for start, end in busy[who.pk]):
            kept.append(Stint(who=who, job=step.job, step=step, began_at=began, ended_at=ended))
            busy[who.pk].append((began, ended))
    Stint.objects.bulk_create(kept)


def _took(step: Step) -> timedelta:
    """What the bench took for a step: seldom just what was reckoned, and within what the day has room for."""
    rng = Random(f"{step.job.number}.{step.position}")  # noqa: S311 - the demo is the same each time
    return min(timedelta(minutes=round(float(step.minutes) * rng.uniform(*TAKES)) or 1), LONGEST)


def take_materials(step: Step, crew: Crew) -> None:
    """What the step's repair takes, from the lots that the shelf proposes."""
    for each in stock.proposals(step):
        if each.lot and each.offered:
            stock.use(each.lot, each.offered, job=step.job, step=step, who=crew.bench)


def _tick(step: Step, verb: Verb, crew: Crew, at: datetime) -> None:
    ticks.take(step, verb, key=f"demo-{step.pk}-{verb}", who=crew.bench, at=at)
