"""The bench's ticks of a whole job, as the tablet would have sent them one by one."""

from datetime import timedelta

from django.utils import timezone

from shoprepair.jobs.models import Job
from shoprepair.office.demo.people import Crew
from shoprepair.work.models import Step, Tick


def work_through(job: Job, crew: Crew) -> None:
    """Every step that is still open is done, the last of them now, each for as long as it was reckoned."""
    still = list(job.steps.exclude(state__in=(Step.State.DONE, Step.State.SKIPPED)))
    at, ticks = timezone.now(), []
    for step in reversed(still):
        step.state, step.done_by, step.done_at = Step.State.DONE, crew.bench, at
        done = {"verb": Tick.Verb.DONE, "who": crew.bench, "at": at, "received_at": at}
        ticks.append(Tick(step=step, key=f"demo-{step.pk}", **done))
        at -= timedelta(minutes=float(step.minutes))
    Tick.objects.bulk_create(ticks)
    Step.objects.bulk_update(still, ["state", "done_by", "done_at"])
