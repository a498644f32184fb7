"""A second person's look at the work, where the shop asks for it."""

from django.db import transaction
from django.utils import timezone

from shoprepair.jobs import stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing.quotes.steps import lock
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext
from shoprepair.work import rules
from shoprepair.work.hold_needs import last_step_done
from shoprepair.work.models import Check, Step

LONGEST_NOTE = 300


class CheckRefused(ValueError):
    """This person cannot check this job now; the message says why."""


def needed(job: Job) -> bool:
    """Whether somebody else must still look at the job: the shop asks for it, and nobody has passed it."""
    return rules.current().second_person and not passed(job)


def passed(job: Job) -> bool:
    """Whether the last look since the last step was done found it good."""
    last = latest(job)
    return last is not None and last.passed


def latest(job: Job) -> Check | None:
    """The last look at the job; None where work was done after it."""
    check = job.checks.select_related("who").last()
    since = last_step_done(job)
    return check if check and (since is None or check.at >= since) else None


def workers(job: Job) -> list[Staff]:
    """Who did the steps of a job, or spent time on them."""
    done = set(job.steps.filter(state=Step.State.DONE).values_list("done_by", flat=True))
    timed = set(job.stints.exclude(step=None).values_list("who", flat=True))
    return list(Staff.objects.filter(pk__in=done | timed).order_by("pk"))


def refusal(job: Job, who: Staff) -> str:
    """Why this person cannot check the job now, in a sentence; empty where they can."""
    if job.stage != Stage.HOLD_TEST:
        return gettext("The job is at “%(label)s”; it is looked at before it is ready.") % {
            "label": Stage(job.stage).label
        }
    if who in workers(job):
        return gettext("You worked on it yourself. Somebody else has to look at it.")
    return ""


@transaction.atomic
def check(job: Job, passed: bool, note: str = "", *, who: Staff) -> Check:
    """Write down a second person's look. One that finds a fault takes the job back to the bench.

    Raises CheckRefused for whoever did the steps, and for a fault without words.
    """
    lock(job)
    job.refresh_from_db(fields=("stage",))
    note = " ".join(note.split())[:LONGEST_NOTE]
    if why := refusal(job, who):
        raise CheckRefused(why)
    if not (passed or note):
        raise CheckRefused(gettext("Say what has to be done again, in a few words."))
    made = Check.objects.create(job=job, who=who, at=timezone.now(), passed=passed, note=note)
    said = gettext("looked at it and found it good") if passed else gettext("looked at it and found a fault")
    journal.record(job, "check.made", f"{who} {said}{f': {note}' if note else '.'}", who=who)
    if not passed:
        stages.move(job, Stage.BENCH, who=who, reason=note)
    return made
