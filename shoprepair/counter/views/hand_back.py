"""Gear that is fetched: the page, the hand-back itself, its taking back, its sheet."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_POST, require_safe

from shoprepair.counter.contact import base_url
from shoprepair.counter.forms.hand_back import GiveForm
from shoprepair.counter.hand_back import give_form, hand_back_page
from shoprepair.counter.sheet import find_job
from shoprepair.jobs.models import Job
from shoprepair.jobs.stages import StageRefused
from shoprepair.papers import hand_back as sheet
from shoprepair.papers.answer import pdf_response
from shoprepair.shop.models import Paper
from shoprepair.shop.submissions import once
from shoprepair.work import hand_back as giving
from shoprepair.work import signature
from shoprepair.work.invoices import InvoiceRefused


@require_safe
def hand_back(request: HttpRequest, number: int) -> HttpResponse:
    """What is owed, who takes it, what is still open; and how it was, once it is gone."""
    return page(request, find_job(number))


@require_POST
def give(request: HttpRequest, number: int) -> HttpResponse:
    """Hand the gear back. Sent twice, it is handed back once."""
    job = find_job(number)
    form = give_form(job, request.POST)
    if not form.is_valid():
        return page(request, job, status=422, give=form)
    here = reverse("hand-back", args=[job.number])

    def do() -> str:
        said = form.cleaned_data
        giving.give(
            job,
            said["taker_name"],
            form.known(),
            [] if said["on_paper"] or said["typed_name"] else signature.read(said["signature"]),
            who=request.user,
            override_reason=said["override_reason"],
            on_paper=said["on_paper"],
            typed=said["typed_name"],
        )
        messages.success(request, gettext("Handed back to %(said)s.") % {"said": said["taker_name"]})
        return here

    try:
        return redirect(once(request.POST.get("key", ""), request.user, do))
    except signature.SignatureRefused as refusal:
        form.add_error("signature", str(refusal))
        return page(request, job, status=422, give=form)
    except giving.HandBackRefused as refusal:
        return _refused(request, job, form, refusal)
    except (StageRefused, InvoiceRefused) as refusal:
        return page(request, find_job(number), status=422, give=form, refused=[str(refusal)])


def _refused(request: HttpRequest, job: Job, form: GiveForm, refusal: giving.HandBackRefused) -> HttpResponse:
    """The page again with everything that was typed, and the sentence where it belongs."""
    job = find_job(job.number)
    if refusal.field:
        form.add_error(refusal.field, refusal.reasons[-1])
        form.fields[refusal.field].widget.attrs["autofocus"] = True
        return page(request, job, status=422, give=form)
    return page(request, job, status=422, give=form, refused=refusal.reasons)


@require_POST
def undo(request: HttpRequest, number: int) -> HttpResponse:
    """It was not handed back: the owner says so, and why."""
    job, reason = find_job(number), request.POST.get("reason", "")
    try:
        giving.take_back(job, who=request.user, reason=reason)
    except giving.HandBackRefused as refusal:
        shown: dict[str, Any] = {"undo_error": " ".join(refusal.reasons), "undo_reason": reason}
        if refusal.field != "reason":
            shown = {"refused": refusal.reasons}
        return page(request, find_job(number), status=422, **shown)
    messages.success(request, gettext("The job is ready again: it was not handed back."))
    return redirect("hand-back", job.number)


@require_safe
@cache_control(private=True, no_store=True)
def hand_back_pdf(request: HttpRequest, number: int) -> HttpResponse:
    """The hand-back sheet as PDF, with lines to sign on until somebody has."""
    job, asked = find_job(number), request.GET.get("paper", "")
    size = asked if asked in Paper.values else request.shop.paper
    content = sheet.render(job, paper=size, base_url=base_url(request))
    return pdf_response(content, f"hand-back-{job}.pdf")


def page(request: HttpRequest, job: Job, *, status: int = 200, **more: Any) -> HttpResponse:
    """The page, or only its sheet where the page is there already."""
    whole = "counter/hand_back/page.html"
    template = f"{whole}#hand-back" if request.htmx else whole
    return render(request, template, hand_back_page(job, request, **more), status=status)
