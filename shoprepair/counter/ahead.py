"""When a job will likely be ready, as the counter's pages say it."""

from typing import Any

from django.utils import timezone

from shoprepair.counter.forms.arrival import ArrivalForm
from shoprepair.counter.forms.expected_parts import ExpectedPartsForm
from shoprepair.jobs import promising
from shoprepair.jobs.expected import is_away
from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.mechanics.description import Sentence
from shoprepair.work import forecast


def arrival(job: Job, form: ArrivalForm) -> dict[str, Any]:
    """What the check-in's arrival form shows; a date that nobody chose yet is proposed by the plan."""
    shown = form.shown(job)
    if is_away(job) and not form.is_bound and _nobody_chose(job):
        shown["promised_on"] = promising.usual(timezone.localdate()).isoformat()
    if job.stage != Stage.ENQUIRY:
        return {"arrival": shown, **ahead(job)}
    found = forecast.preview(job)
    said: dict[str, Any] = {"arrival": shown, "ahead": found.if_it_stays, "by_plan": False}
    day = forecast.proposed(found)
    if day is not None and not form.is_bound and _nobody_chose(job):
        said |= {"arrival": shown | {"promised_on": day.isoformat()}, "by_plan": True}
    return said


def ahead(job: Job) -> dict[str, Any]:
    """What the plan says of a job in the shop, and by how much that is after its promise.

    Gear that is still on its way is promised for no day, unless somebody of the shop chose one.
    """
    found, unpromised = forecast.of(job), is_away(job) and _nobody_chose(job)
    if found is None:
        return {"ahead": None, "ahead_late": "", "unpromised": unpromised}
    sentence: Sentence = found.sentence
    return {
        "unpromised": unpromised,
        "ahead": sentence,
        "ahead_late": forecast.lateness(job.promised_on, found),
    }


def expected_parts(job: Job) -> dict[str, Any]:
    """The form that says when the parts come, for a job that waits for them."""
    if job.hold != Hold.PARTS:
        return {}
    kept = getattr(job, "expected_parts", None)
    return {"parts_form": ExpectedPartsForm(initial={"day": kept.day, "note": kept.note} if kept else None)}


def _nobody_chose(job: Job) -> bool:
    """Whether the job is still promised for the day that every visit begins with."""
    return job.promised_on == promising.usual(timezone.localdate(job.received_at))
