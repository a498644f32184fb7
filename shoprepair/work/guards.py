"""What the stages of a job ask of the work on it."""

from shoprepair.jobs import stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.work.models import Step
from shoprepair.work.recipe import SETTLED

State = Step.State


def every_step_over(job: Job) -> str:
    """What is agreed is done, or left out with a reason, before the air goes in."""
    open_steps = list(job.steps.exclude(state__in=SETTLED).values_list("text", flat=True)[:4])
    if not open_steps:
        return ""
    named = ", ".join(f"“{text.rstrip('.')}”" for text in open_steps[:3])
    more = " and more" if len(open_steps) > 3 else ""
    return f"Do these steps first, or leave them out with a reason: {named}{more}."


def keep_ways() -> None:
    """Put the guards on the ways between stages."""
    stages.add_guard(Stage.BENCH, Stage.HOLD_TEST, every_step_over)
