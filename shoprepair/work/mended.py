"""Which damages of ready gear are mended, and how dangerous it still is."""

from collections import defaultdict
from collections.abc import Collection, Sequence, Set
from dataclasses import dataclass

from shoprepair.jobs import assessment
from shoprepair.jobs.models import Damage, Job, Stage
from shoprepair.pricing.models import Quote, QuoteLine
from shoprepair.work.models import Step

STAGES = (Stage.READY, Stage.HANDED_BACK)
"""Before these a repair may be sewn, and air has not yet shown that it holds."""


@dataclass(frozen=True, slots=True)
class Danger:
    """How dangerous a job's gear is now."""

    urgency: int
    band: str
    left: list[Damage]
    """What still counts: all that is not mended; of gear that is wholly repaired, what it came with."""
    repaired: bool
    """Whether nothing is left: urgency and band are then those it came with."""

    @property
    def judged(self) -> bool:
        """Whether anything that counts has figures; its urgency means nothing before."""
        return any(damage.model_version for damage in self.left)


def numbers(jobs: Collection[int]) -> dict[int, frozenset[int]]:
    """Numbers of the mended damages of each of these jobs by its key; the jobs are at one of `STAGES`.

    Mended is what a line that the customer took says of it, unless every step about it was left out at the
    bench. What was declined, never offered, or left out is as dangerous as it was.
    """
    if not jobs:
        return {}
    taken: dict[int, set[int]] = defaultdict(set)
    done: dict[int, set[int]] = defaultdict(set)
    left_out: dict[int, set[int]] = defaultdict(set)
    accepted = Quote.objects.filter(job__in=jobs, state=Quote.State.ACCEPTED)
    for job, agreed in accepted.values_list("job_id", "agreed"):
        for line in agreed.get("lines", []):
            if line["taken"] and line.get("kind") != QuoteLine.Kind.ACCESS:
                taken[job].update(line.get("damages", []))
    steps = Step.objects.filter(job__in=jobs, kind=Step.Kind.REPAIR)
    for job, state, about in steps.values_list("job_id", "state", "damages"):
        (left_out if state == Step.State.SKIPPED else done)[job].update(about)
    return {job: frozenset(taken[job] - (left_out[job] - done[job])) for job in jobs}


def of(job: Job) -> frozenset[int]:
    """Numbers of the mended damages of one job; none before it is ready."""
    return numbers([job.pk])[job.pk] if job.stage in STAGES else frozenset()


def danger(job: Job, damages: Sequence[Damage], mended: Set[int]) -> Danger:
    """How dangerous a job's gear with these live damages is once those numbered `mended` are."""
    left = [damage for damage in damages if damage.number not in mended]
    if len(left) == len(damages):
        return Danger(job.urgency, job.band, left, repaired=False)
    return Danger(*assessment.worst_of(left or damages), left or list(damages), repaired=not left)
