"""Steps made from agreements, and kept as they change: each repair once, each tube opened for all of them.

As long as nobody has begun, a changed agreement is laid out anew. After that, what was done stays; new work
comes before what closes, and a tube that was closed already is opened again.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict

from django.db import transaction
from django.db.models import F

from shoprepair.jobs.models import Job
from shoprepair.pricing.quotes.steps import lock
from shoprepair.work import recipe
from shoprepair.work.laying_out import Making
from shoprepair.work.models import Step
from shoprepair.work.recipe import SETTLED, Made
from shoprepair.work.taken import Taken, taken

Kind = Step.Kind
_ENDS = (Kind.REFIT, Kind.CLOSE, Kind.CHECK)


@transaction.atomic
def make(job: Job) -> list[Step]:
    """The job's steps, from every agreement in force: the same agreements make them once."""
    lock(job)
    works = taken(job)
    there = list(job.steps.all())
    if {work.key for work in works} == _works_in(there) and bool(there) == bool(works):
        return there
    if there and not _touched(job):
        job.steps.all().delete()
        there = []
    there = _without_withdrawn(works, there)
    known = _works_in(there)
    new = [work for work in recipe.in_order(works) if work.key not in known]
    if new:
        _keep(job, there, *Making(job, works, there).steps(new))
    return list(job.steps.all())


def work_of(step: Step) -> str:
    """The key of the agreed work that a repair step belongs to."""
    return step.made_from.rpartition(":")[0]


def _works_in(steps: Iterable[Step]) -> set[str]:
    return {work_of(step) for step in steps if step.kind == Kind.REPAIR}


def _touched(job: Job) -> bool:
    """Whether anybody has done, timed, photographed or booked anything on a step."""
    return (
        job.steps.exclude(state=Step.State.WAITING).exists()
        or job.steps.filter(ticks__isnull=False).exists()
        or job.steps.filter(stints__isnull=False).exists()
        or job.steps.filter(photos__isnull=False).exists()
        or job.steps.filter(uses__isnull=False).exists()
    )


def _without_withdrawn(works: Sequence[Taken], there: Sequence[Step]) -> list[Step]:
    """Take out what is no longer agreed and was not begun, with the ways in that served nothing else."""
    agreed = {work.key for work in works}
    begun = {work_of(step) for step in there if step.state != Step.State.WAITING or step.ticks.exists()}
    gone = [s for s in there if s.kind == Kind.REPAIR and not {work_of(s)} & (agreed | begun)]
    if not gone:
        return list(there)
    left = [step for step in there if step not in gone]
    needed = {name for step in left if step.kind == Kind.REPAIR for name in step.after}
    for step in list(left):
        if (
            step.kind in (Kind.OPEN, Kind.DRAW)
            and step.made_from not in needed
            and work_of(step) not in begun
        ):
            gone += [each for each in left if work_of(each) == work_of(step)]
            left = [each for each in left if work_of(each) != work_of(step)]
    names = {step.made_from for step in gone}
    Step.objects.filter(pk__in=[step.pk for step in gone]).delete()
    for step in left:
        if names & set(step.after):
            step.after = [name for name in step.after if name not in names]
            Step.objects.filter(pk=step.pk).update(after=step.after, version=F("version") + 1)
    return left


def _keep(job: Job, there: Sequence[Step], made: Sequence[Made], more: Mapping[str, list[str]]) -> None:
    """Put new steps before what closes, every step behind those it comes after."""
    after = {
        step.made_from: list(dict.fromkeys([*step.after, *more.get(step.made_from, ())])) for step in there
    }
    after |= {step.made_from: step.after for step in made}
    names = [step.made_from for step in there]
    ends = (step.made_from for step in there if step.kind in _ENDS and step.state not in SETTLED)
    at = names.index(first) if (first := next(ends, None)) else len(names)
    names[at:at] = [step.made_from for step in made]
    position = {name: place for place, name in enumerate(workable(names, after), 1)}
    for step in there:
        values = {"position": position[step.made_from], "after": after[step.made_from]}
        if values != {"position": step.position, "after": step.after}:
            Step.objects.filter(pk=step.pk).update(**values, version=F("version") + 1)
    Step.objects.bulk_create(
        Step(job=job, position=position[step.made_from], **asdict(step)) for step in made
    )


def workable(names: Sequence[str], after: Mapping[str, Sequence[str]]) -> list[str]:
    """The names in their order, each moved back behind those it comes after."""
    order: dict[str, None] = {}
    known, left = set(names), list(names)
    while left:
        free = next((n for n in left if all(p in order for p in after.get(n, ()) if p in known)), left[0])
        order[free] = None
        left.remove(free)
    return list(order)
