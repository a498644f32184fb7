"""One visit from the tap on the gear to the printed tag."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shoprepair.counter.desk import finishing, missing, render_desk
from shoprepair.counter.fetch import fetch_job
from shoprepair.counter.forms.arrival import ArrivalForm, Clash, read, written
from shoprepair.counter.forms.damages import PinForm
from shoprepair.counter.forms.fields import refuse
from shoprepair.gear.describe import planform
from shoprepair.gear.geometry import OffTheDrawing, Spot, resolve
from shoprepair.gear.models import Inflatable
from shoprepair.jobs import checkin
from shoprepair.jobs.arrival import Meanwhile, keep
from shoprepair.jobs.corrections import StaleRecord
from shoprepair.jobs.models import Customer, Job, Stage
from shoprepair.jobs.stages import StageRefused
from shoprepair.shop.submissions import once


@require_POST
def start(request: HttpRequest) -> HttpResponse:
    """The tapped piece of gear becomes a job; tapping it again leads to the same one.

    A page from before it came in leads to the job it is here for.
    """
    customer = get_object_or_404(Customer, pk=_whole(request.POST.get("customer")))
    inflatable = get_object_or_404(Inflatable, pk=_whole(request.POST.get("inflatable")))

    def begin() -> str:
        if here := checkin.under_way(inflatable):
            return here.get_absolute_url()
        brings = "brings" in request.POST
        job = checkin.start(customer, inflatable, who=request.user, not_theirs=brings)
        return reverse("job-check-in", args=[job.number])

    try:
        return redirect(once(request.POST.get("key", ""), request.user, begin))
    except checkin.NotTheirs as refused:
        messages.error(request, str(refused))
        return redirect("gear", inflatable.pk)


@require_http_methods(["GET", "HEAD", "POST"])
def desk(request: HttpRequest, number: int) -> HttpResponse:
    """The check-in of one job; POST finishes it."""
    job = fetch_job(number)
    if request.method == "POST":
        return _finish(request, job)
    return render_desk(request, job, **_asked(request, job))


@require_POST
def arrival(request: HttpRequest, number: int) -> HttpResponse:
    """Keep what came along while the rest is still being said."""
    job = fetch_job(number)
    form = ArrivalForm(request.POST)
    kept = _keep(request, job, form)
    if request.htmx:
        # From now on the page shows what it has just sent.
        seen = written(form.facts()) if kept else ""
        context = {"job": job, "arrival_form": form, "missing_for_check_in": finishing(job), "seen": seen}
        return render(request, "counter/check_in/arrival_kept.html", context, status=200 if kept else 422)
    if not kept:
        return render_desk(request, job, form=form, status=422)
    return redirect(f"{reverse('job-check-in', args=[job.number])}#came-with")


@require_safe
def done(request: HttpRequest, number: int) -> HttpResponse:
    """The job is checked in: its number, and what there is to print."""
    job = fetch_job(number)
    if job.stage == Stage.ENQUIRY:
        return redirect("job-check-in", number=job.number)
    return render(request, "counter/check_in/done.html", {"job": job})


def _finish(request: HttpRequest, job: Job) -> HttpResponse:
    """Keep what was said last, then check in; what is missing is listed and nothing is lost."""
    leads_to = reverse("job-checked-in", args=[job.number])
    if job.stage != Stage.ENQUIRY:
        return _leave(request, leads_to)
    form = ArrivalForm(request.POST)
    if not _keep(request, job, form):
        return _not_yet(request, job, form, [])
    if form.cleaned_data["terms"]:
        checkin.agree_terms(job, who=request.user)
    try:
        once(request.POST.get("key", ""), request.user, lambda: _checked_in(request, job, leads_to))
    except StageRefused as refused:
        job.refresh_from_db()
        if job.stage == Stage.ENQUIRY:
            return _not_yet(request, job, form, refused.reasons)
    return _leave(request, leads_to)


def _checked_in(request: HttpRequest, job: Job, leads_to: str) -> str:
    checkin.finish(job, who=request.user)
    return leads_to


def _leave(request: HttpRequest, leads_to: str) -> HttpResponse:
    if request.htmx:
        answer = HttpResponse(status=204)
        answer["HX-Redirect"] = leads_to
        return answer
    return redirect(leads_to)


def _not_yet(request: HttpRequest, job: Job, form: ArrivalForm, reasons: list[str]) -> HttpResponse:
    if request.htmx:
        context = {
            "job": job,
            "arrival_form": form,
            "missing_for_check_in": missing(job, reasons),
            "refused": True,
        }
        return render(request, "counter/check_in/arrival_kept.html", context, status=422)
    return render_desk(request, job, form=form, reasons=reasons, status=422)


def _keep(request: HttpRequest, job: Job, form: ArrivalForm) -> bool:
    """Keep what the arrival form says; False with sentences in the form where something cannot be."""
    if not form.is_valid():
        return False
    said, typed = form.cleaned_data, form.facts()
    try:
        keep(job, who=request.user, typed=typed, seen=read(said["seen"]), instead_of=read(said["instead_of"]))
    except Meanwhile as clash:
        form.clash = Clash.of(clash.theirs, typed)
        return False
    except ValidationError as error:
        refuse(form, error.message_dict)
        return False
    except StaleRecord as stale:
        form.add_error(None, str(stale))
        return False
    return True


def _asked(request: HttpRequest, job: Job) -> dict[str, Any]:
    """What the address asks the desk to show: a damage, a place tapped without a script, a pin to move."""
    spot, said = _tapped(request, job)
    return {
        "opened": _whole(request.GET.get("damage")),
        "removed": _whole(request.GET.get("removed")),
        "spot": spot,
        "said": said,
        "moving": "move" in request.GET,
        "placing": job.photos.filter(key=request.GET.get("photo", ""), removed_at=None).first(),
    }


def _tapped(request: HttpRequest, job: Job) -> tuple[Spot | None, str]:
    """The place tapped without a script, and what is wrong with it."""
    if "x" not in request.GET:
        return None, ""
    form = PinForm(request.GET)
    if not form.is_valid():
        return None, " ".join(form.non_field_errors())
    drawing = planform(job.inflatable.pattern)
    try:
        return resolve(drawing, form.cleaned_data["x"], form.cleaned_data["y"]), ""
    except OffTheDrawing as off:
        return None, str(off)


def _whole(text: str | None) -> int | None:
    return int(text) if text and text.isascii() and text.isdecimal() and len(text) < 10 else None
