"""Visits for the browser to look at, made as the counter makes them."""

from shoprepair.gear.models import Pattern
from shoprepair.jobs import checkin, damages, stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import quotes
from shoprepair.shop.models import Staff
from shoprepair.shop.units import Typed
from tests.factories import accepted, quoted

COURSE = [
    Stage.CHECKED_IN,
    Stage.ASSESSED,
    Stage.QUOTE_OUT,
    Stage.GO_AHEAD,
    Stage.BENCH,
    Stage.HOLD_TEST,
    Stage.READY,
]


def visit(
    who: Staff,
    name: str,
    *,
    pattern: str = "Holm 5.0 wing",
    cut_mm: int = 35,
    stage: Stage = Stage.CHECKED_IN,
) -> Job:
    """A job with one cut around the leading edge, taken as far as `stage`."""
    customer = checkin.add_customer(name, who=who, phone="+1 555 0134")
    gear = checkin.add_inflatable(customer, Pattern.objects.get(name=pattern), who=who)
    job = checkin.start(customer, gear, who=who)
    damage = damages.pin(job, 0.3, 0.02, who=who)
    damages.answer(
        damage, who=who, kind="cut", length=Typed(cut_mm / 1000, f"{cut_mm} mm"), direction="around"
    )
    checkin.note_arrival(job, who=who, came_with=["bag"])
    checkin.agree_terms(job, who=who)
    for step in COURSE[: COURSE.index(stage) + 1]:
        _take(job, step, who)
    return job


def _take(job: Job, step: Stage, who: Staff) -> None:
    """One step on; a quote is written and answered where the course asks for it."""
    if step == Stage.QUOTE_OUT:
        quoted(job, who)
    elif step == Stage.GO_AHEAD:
        accepted(quotes.current(job), job)
    else:
        if step == Stage.HOLD_TEST:
            job.steps.update(state="done")
        stages.move(job, step, who=who)
