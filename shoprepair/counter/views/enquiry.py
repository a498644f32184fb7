"""What only the shop can say of an enquiry: who it is, which piece of gear, which model."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_POST

from shoprepair.counter.enquiry_told import told
from shoprepair.counter.fetch import fetch_job
from shoprepair.counter.forms.customers import MEASURED_HERE, GearForm
from shoprepair.counter.forms.fields import refuse
from shoprepair.counter.keys import new_key
from shoprepair.counter.patterns import library
from shoprepair.gear.models import Inflatable
from shoprepair.jobs import joining, repin
from shoprepair.jobs.corrections import StaleRecord, correct
from shoprepair.jobs.damages import Stale
from shoprepair.jobs.joining import JoinRefused
from shoprepair.jobs.models import Customer, Job
from shoprepair.jobs.repin import RepinRefused
from shoprepair.shop.submissions import once


@require_POST
def join(request: HttpRequest, number: int) -> HttpResponse:
    """It is this known customer and, where that is tapped too, this gear of theirs."""
    job = fetch_job(number)
    customer = get_object_or_404(Customer, pk=_whole(request.POST.get("customer")))
    chosen = request.POST.get("inflatable")
    inflatable = get_object_or_404(Inflatable, pk=_whole(chosen)) if chosen else None
    try:
        joining.join(job, customer, inflatable, who=request.user)
    except (JoinRefused, RepinRefused, Stale, StaleRecord) as refused:
        messages.error(request, str(refused))
    else:
        gear = gettext(", and it is their %(inflatable)s") % {"inflatable": inflatable} if inflatable else ""
        messages.success(
            request, gettext("The enquiry is of %(customer)s%(gear)s.") % {"customer": customer, "gear": gear}
        )
    return redirect(f"{reverse('job-check-in', args=[number])}#asked")


@require_http_methods(["GET", "HEAD", "POST"])
def model(request: HttpRequest, number: int) -> HttpResponse:
    """Which model it is, now that it lies on the counter; what is pinned keeps its place."""
    job = fetch_job(number)
    if request.method != "POST":
        return _page(request, job, GearForm(units=request.units, initial=_known(job)))
    form = GearForm(request.POST, units=request.units)
    if not form.is_valid():
        return _page(request, job, form, status=422)
    try:
        return redirect(once(request.POST.get("key", ""), request.user, lambda: _put(request, job, form)))
    except ValidationError as error:
        refuse(form, error.message_dict)
    except ValueError as error:
        form.add_error(None, str(error))
    return _page(request, job, form, status=422)


@transaction.atomic
def _put(request: HttpRequest, job: Job, form: GearForm) -> str:
    pattern = form.make_pattern()
    gear = repin.put_pattern(job.inflatable, pattern, who=request.user)
    correct(gear, who=request.user, **form.facts())
    messages.success(
        request,
        gettext("It is a %(pattern)s. Every pin kept its place and is judged anew.") % {"pattern": pattern},
    )
    return reverse("job-check-in", args=[job.number])


def _known(job: Job) -> dict[str, Any]:
    gear = job.inflatable
    facts = {name: getattr(gear, name) for name in ("serial", "colour", "bought_year", "condition")}
    return facts | {"kind": gear.pattern.kind}


def _page(request: HttpRequest, job: Job, form: GearForm, status: int = 200) -> HttpResponse:
    context = {
        "job": job,
        "told": told(job),
        "form": form,
        "patterns": library(first=job.inflatable.pattern.kind),
        "measured_here": MEASURED_HERE,
        "refused": repin.refusals(job.inflatable),
        "key": request.POST.get("key") or new_key(),
    }
    return render(request, "counter/check_in/model.html", context, status=status)


def _whole(text: str | None) -> int | None:
    return int(text) if text and text.isascii() and text.isdecimal() and len(text) < 10 else None
