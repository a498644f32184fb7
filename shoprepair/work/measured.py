"""What the bench measured of each operation, handed to the catalogue when a job's last step is done."""

from collections import defaultdict
from decimal import Decimal

from django.db.models import QuerySet

from shoprepair.jobs.models import Job
from shoprepair.pricing import learning
from shoprepair.pricing.models import MeasuredMinutes, Operation
from shoprepair.work.models import Step, Stint

TENTH = Decimal("0.1")


def keep(job: Job) -> list[MeasuredMinutes]:
    """Measured beside estimated minutes, one for each operation of a job all whose steps are over.

    Once per job: done again after an undo, or with a timer put right, it replaces what was kept. Only
    timed work counts: a repair that no timer ran for is left out with its estimate, and so is a step
    that was skipped. Within a repair the time is not told apart by steps: people tick several at once.
    """
    _kept(job).delete()
    estimated, spent = _by_operation(job)
    operations = {each.code: each for each in Operation.objects.filter(code__in=list(spent))}
    return [
        learning.measured(job, operations[code], estimated[code], took)
        for code, took in sorted(spent.items())
        if code in operations and took > 0 and estimated[code] > 0
    ]


def again(job: Job) -> None:
    """After a timer was put right: measure anew what was measured already."""
    if _kept(job).exists():
        keep(job)


def _kept(job: Job) -> QuerySet[MeasuredMinutes]:
    return MeasuredMinutes.objects.filter(job=job)


def _by_operation(job: Job) -> tuple[dict[str, Decimal], dict[str, Decimal]]:
    """Estimated and spent minutes of each operation's done steps."""
    done = job.steps.filter(state=Step.State.DONE).exclude(operation_code="")
    works: dict[tuple[str, str], list[Step]] = defaultdict(list)
    for step in done:
        works[step.operation_code, step.made_from.rpartition(":")[0]].append(step)
    seconds: dict[int, int] = defaultdict(int)
    for stint in Stint.objects.filter(step__in=[step.pk for step in done]).exclude(ended_at=None):
        assert stint.ended_at is not None
        seconds[stint.step_id or 0] += int((stint.ended_at - stint.began_at).total_seconds())
    estimated: dict[str, Decimal] = defaultdict(Decimal)
    spent: dict[str, Decimal] = defaultdict(Decimal)
    for (code, _), steps in works.items():
        took = (Decimal(sum(seconds[step.pk] for step in steps)) / 60).quantize(TENTH)
        if took > 0:
            spent[code] += took
            estimated[code] += sum((step.minutes for step in steps), Decimal(0))
    return estimated, spent
