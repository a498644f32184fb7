"""What the stages of a job ask of the work on it."""

from django.db.models import Exists, OuterRef, QuerySet
from django.utils.translation import gettext

from shoprepair.jobs import stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.work import checks, hold_needs
from shoprepair.work.models import HandBack, Step
from shoprepair.work.recipe import SETTLED

State = Step.State


def every_step_over(job: Job) -> str:
    """What is agreed is done, or left out with a reason, before the air goes in."""
    every = list(job.steps.values_list("text", "state"))
    numbered = enumerate(every, start=1)
    number, text = next(((n, text) for n, (text, state) in numbered if state not in SETTLED), (0, ""))
    if not number:
        return ""
    return gettext(
        "Step %(number)s of %(total)s comes next: “%(text)s”. Do every step, or leave it out with a reason."
    ) % {"number": number, "total": len(every), "text": text.rstrip(".")}


def hand_back_recorded(job: Job) -> str:
    """Gear leaves to somebody, and the shop knows to whom."""
    return "" if _handed_back(job) else gettext("Write down who takes it, and let them sign.")


def hand_back_taken_back(job: Job) -> str:
    """A hand-back that still stands says that the gear is out."""
    return gettext("Take the hand-back back on its page.") if _handed_back(job) else ""


def read_with(jobs: QuerySet[Job]) -> QuerySet[Job]:
    """Read with each job whether it was handed back, for pages: the guards then ask no more."""
    return jobs.annotate(is_out=Exists(HandBack.objects.filter(job=OuterRef("pk"), taken_back_at=None)))


def _handed_back(job: Job) -> bool:
    if "is_out" in vars(job):
        return bool(vars(job)["is_out"])
    return HandBack.objects.filter(job=job, taken_back_at=None).exists()


def every_tube_holds(job: Job) -> str:
    """Air decides whether a repair is one."""
    waiting = [each.label for each in hold_needs.standing(job) if not each.holds]
    return gettext("Not yet shown to hold: %(join)s.") % {"join": ", ".join(waiting)} if waiting else ""


def second_person_looked(job: Job) -> str:
    """Where the owner asks for it, another pair of eyes passes the job."""
    return gettext("Somebody who did not work on it has to look at it first.") if checks.needed(job) else ""


def keep_ways() -> None:
    """Put the guards on the ways between stages."""
    stages.add_guard(Stage.BENCH, Stage.HOLD_TEST, every_step_over)
    for start in (Stage.BENCH, Stage.HOLD_TEST, Stage.READY):
        stages.add_guard(start, Stage.HANDED_BACK, hand_back_recorded)
    stages.add_guard(Stage.HANDED_BACK, Stage.READY, hand_back_taken_back)
    stages.add_guard(Stage.HOLD_TEST, Stage.READY, every_step_over)
    stages.add_guard(Stage.HOLD_TEST, Stage.READY, every_tube_holds)
    stages.add_guard(Stage.HOLD_TEST, Stage.READY, second_person_looked)
