"""The job sheet, and the changes made on it: stage and hold."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views.decorators.http import require_POST, require_safe
from django.views.decorators.vary import vary_on_headers

from shoprepair.counter.sheet import find_job, sheet
from shoprepair.jobs import stages
from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.shop.languages import in_a_sentence

LONGEST_NOTE = 200


@require_safe
def job(request: HttpRequest, number: int) -> HttpResponse:
    """Everything about one visit."""
    whole = request.GET.get("journal") == "whole"
    shown = sheet(number, request, whole_journal=whole)
    return render(request, "counter/job/page.html", {**shown, "just_removed": request.GET.get("removed", "")})


@require_POST
@vary_on_headers("HX-Request")
def job_stage(request: HttpRequest, number: int) -> HttpResponse:
    """Take the job to another stage. Sent twice, it has been taken there once."""
    job, to = find_job(number), request.POST.get("to", "")
    reason = request.POST.get("reason", "").replace("\0", "")
    if to not in Stage.values:
        return refused(request, job, [gettext("There is no such stage. Choose one of those shown.")])
    if job.stage == to:
        return done(request, job, gettext("The job is at “%(label)s”.") % {"label": Stage(to).label})
    if reasons := _unlike_seen(job, request.POST.get("seen", "")) or _too_long(reason):
        return refused(request, job, reasons, asked=to, reason=reason)
    try:
        stages.move(job, to, who=request.user, reason=reason)
    except stages.StageRefused as refusal:
        return refused(request, job, refusal.reasons, asked=to, reason=reason)
    return done(request, job, gettext("The job is at “%(label)s”.") % {"label": Stage(to).label})


@require_POST
@vary_on_headers("HX-Request")
def job_hold(request: HttpRequest, number: int) -> HttpResponse:
    """Say why the job waits, or that it waits no longer."""
    job, hold = find_job(number), request.POST.get("hold", "")
    note = " ".join(request.POST.get("note", "").replace("\0", "").split())
    if hold not in Hold.values:
        return refused(request, job, [gettext("There is no such hold. Choose one of those shown.")])
    if reasons := _too_long(note):
        return refused(request, job, reasons)
    try:
        stages.set_hold(job, hold, note, who=request.user)
    except ValueError as refusal:
        return refused(request, job, [str(refusal)])
    return done(
        request,
        job,
        gettext("On hold: %(lower)s.") % {"lower": in_a_sentence(Hold(hold).label)}
        if hold
        else gettext("Nothing holds this job."),
    )


def _unlike_seen(job: Job, seen: str) -> list[str]:
    """A page that shows an older stage does not decide about the present one."""
    if not seen or seen == job.stage:
        return []
    return [
        gettext("Somebody has moved this job to “%(get_stage_display)s” meanwhile. Look at it again.")
        % {"get_stage_display": job.get_stage_display()}
    ]


def _too_long(words: str) -> list[str]:
    if len(words) <= LONGEST_NOTE:
        return []
    return [
        gettext("Say it in %(LONGEST_NOTE)s letters or fewer; these are %(words)s.")
        % {"LONGEST_NOTE": LONGEST_NOTE, "words": len(words)}
    ]


def refused(request: HttpRequest, job: Job, reasons: list[str], **typed: Any) -> HttpResponse:
    """The sheet again with what is missing, and with what was typed."""
    shown = {**sheet(job.number, request), "refused": reasons, **typed}
    return render(request, _template(request), shown, status=422)


def done(request: HttpRequest, job: Job, words: str) -> HttpResponse:
    """The sheet again, with what was done; without a script the way to it."""
    if not request.htmx:
        messages.success(request, words)
        return redirect(job)
    return render(request, _template(request), {**sheet(job.number, request), "done": words})


def _template(request: HttpRequest) -> str:
    return "counter/job/page.html#job" if request.htmx else "counter/job/page.html"
