"""A new customer, and what they bring: one of their own pieces of gear, or one that is new to the shop."""

from typing import Any

from django.core.exceptions import ValidationError
from django.db.models import Prefetch
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from shoprepair.counter.forms.customers import MEASURED_HERE, CustomerForm, GearForm
from shoprepair.counter.forms.fields import refuse
from shoprepair.counter.keys import new_key
from shoprepair.counter.patterns import library
from shoprepair.counter.views.find import gear_of
from shoprepair.gear import serials
from shoprepair.gear.models import Inflatable
from shoprepair.jobs import checkin
from shoprepair.jobs.doubles import likely_doubles
from shoprepair.jobs.models import Customer, Job
from shoprepair.shop.submissions import done_before, once


@require_http_methods(["GET", "HEAD", "POST"])
def add(request: HttpRequest) -> HttpResponse:
    """Add a customer. Somebody much like them is asked about first."""
    if request.method != "POST":
        form = CustomerForm(initial={name: request.GET.get(name, "") for name in CustomerForm.base_fields})
        return _customer_page(request, form)
    form = CustomerForm(request.POST)
    if not form.is_valid():
        return _customer_page(request, form, status=422)
    said, key = form.cleaned_data, request.POST.get("key", "")
    doubles = [] if "sure" in request.POST else likely_doubles(said["name"], said["phone"], said["email"])
    # Sent again after its answer was lost, it would meet the very customer that it made.
    if doubles and not done_before(key, request.user):
        return _customer_page(request, form, doubles, status=422)
    try:
        return redirect(once(key, request.user, lambda: _added(form, request)))
    except ValidationError as error:
        refuse(form, error.message_dict)
        return _customer_page(request, form, status=422)


@require_http_methods(["GET", "HEAD", "POST"])
def gear(request: HttpRequest, customer_id: int) -> HttpResponse:
    """Which piece of gear: one that is theirs already, or a new one."""
    customer = get_object_or_404(Customer, pk=customer_id)
    if request.method != "POST":
        return _gear_page(request, customer, GearForm(units=request.units))
    form = GearForm(request.POST, units=request.units)
    if not form.is_valid():
        return _gear_page(request, customer, form, status=422)
    try:
        return redirect(
            once(request.POST.get("key", ""), request.user, lambda: _brought(form, customer, request))
        )
    except ValidationError as error:
        refuse(form, error.message_dict)
    except ValueError as error:
        form.add_error(None, str(error))
    return _gear_page(request, customer, form, status=422)


def _added(form: CustomerForm, request: HttpRequest) -> str:
    customer = checkin.add_customer(who=request.user, **form.cleaned_data)
    return reverse("check-in-gear", args=[customer.pk])


def _brought(form: GearForm, customer: Customer, request: HttpRequest) -> str:
    inflatable = checkin.add_inflatable(customer, form.make_pattern(), who=request.user, **form.facts())
    job = checkin.start(customer, inflatable, who=request.user)
    return reverse("job-check-in", args=[job.number])


def _customer_page(
    request: HttpRequest, form: CustomerForm, doubles: Any = (), status: int = 200
) -> HttpResponse:
    context = {"form": form, "doubles": doubles, "key": request.POST.get("key") or new_key()}
    return render(request, "counter/check_in/customer.html", context, status=status)


def _gear_page(request: HttpRequest, customer: Customer, form: GearForm, status: int = 200) -> HttpResponse:
    owned = Inflatable.objects.filter(ownerships__customer=customer, ownerships__until=None)
    jobs = Prefetch("jobs", queryset=Job.objects.select_related("enquiry").order_by("-is_open", "-id"))
    context = {
        "customer": customer,
        "gear": gear_of(
            customer, list(owned.select_related("pattern").prefetch_related(jobs).order_by("pk"))
        ),
        "patterns": library(),
        "measured_here": MEASURED_HERE,
        "form": form,
        "same_serial": _same_serial(form),
        "key": request.POST.get("key") or new_key(),
        "start_key": new_key(),
    }
    return render(request, "counter/check_in/gear.html", context, status=status)


def _same_serial(form: GearForm) -> Inflatable | None:
    """The piece of gear that bears the serial which was refused."""
    if "serial" not in form.errors:
        return None
    serial = " ".join(str(form.data.get("serial", "")).split())
    return serials.bearing(serial).select_related("pattern").first()
