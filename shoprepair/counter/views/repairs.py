"""What is to be done about each damage: looked at, chosen, changed, added, left out."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shoprepair.counter.fetch import next_page
from shoprepair.counter.forms.repairs import LayupForm
from shoprepair.counter.quote import version_of
from shoprepair.counter.repairs import option_of, repairs_page
from shoprepair.counter.sheet import find_job, finding_of
from shoprepair.jobs.models import Job
from shoprepair.jobs.questions import TUBES
from shoprepair.pricing import proposals, rules
from shoprepair.pricing.models import Operation, Repair
from shoprepair.shop.settings import current
from shoprepair.shop.submissions import once
from shoprepair.shop.units import say


@require_safe
def repairs(request: HttpRequest, number: int) -> HttpResponse:
    """All damages with what mends them, and where the tubes are opened for it."""
    job = find_job(number)
    return render(request, "counter/repairs/page.html", repairs_page(job, request.units))


@require_http_methods(["GET", "HEAD", "POST"])
def repair(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """One repair, large, with its arithmetic and the form that changes its lay-up."""
    job = find_job(number)
    found = _fetch(job, pk)
    layup = proposals.layup_of(found)
    on_a_tube = found.damage.element in TUBES
    if request.method != "POST" or layup is None:
        form = LayupForm(layup=layup, on_a_tube=on_a_tube, units=request.units) if layup else None
        return _page(request, job, found, form)
    back, version = request.POST.get("as") == "proposed", version_of(request.POST)
    form = LayupForm(None if back else request.POST, layup=layup, on_a_tube=on_a_tube, units=request.units)
    if not (back or form.is_valid()):
        return _page(request, job, found, form, status=422)
    try:
        if back:
            proposals.back_to_proposed(found, who=request.user, version=version)
        else:
            reason = form.cleaned_data["reason"]
            proposals.change_layup(found, who=request.user, version=version, reason=reason, **form.figures())
    except proposals.TooWeak as weak:
        return _page(request, job, found, form, status=422, too_weak=say(weak.sentence, request.units))
    except proposals.Stale as stale:
        return _page(request, job, _fetch(job, pk), form, status=422, stale=str(stale))
    except ValueError as refusal:
        form.add_error(None, str(refusal))
        return _page(request, job, found, form, status=422)
    messages.success(
        request,
        gettext("“%(operation)s” for damage %(number)s is kept.")
        % {"operation": found.operation, "number": found.damage.number},
    )
    return redirect(_at(job, found))


@require_POST
def choose(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Advise this repair among the alternatives of its damage."""
    job = find_job(number)
    found = _fetch(job, pk)
    proposals.choose(found, who=request.user)
    return redirect(_at(job, found))


@require_POST
def add(request: HttpRequest, number: int) -> HttpResponse:
    """Add an operation of the catalogue to a damage; also what brings back one that was left out."""
    job = find_job(number)
    page = reverse("repairs", args=[job.number])
    asked = request.POST.get("damage", "")
    damage = (
        job.damages.filter(number=asked, removed_at=None).first()
        if asked.isascii() and asked.isdecimal() and len(asked) < 6
        else None
    )
    operation = Operation.objects.filter(code=request.POST.get("operation", "").replace("\0", "")).first()
    if damage is None or operation is None:
        shown = repairs_page(job, request.units)
        shown["add_error"] = gettext("Choose the damage, and what is to be done about it.")
        return render(request, "counter/repairs/page.html", shown | {"asked": request.POST}, status=422)

    def do() -> str:
        proposals.change_operation(damage, operation, who=request.user)
        messages.success(
            request,
            gettext("“%(operation)s” stands with damage %(number)s.")
            % {"operation": operation, "number": damage.number},
        )
        return f"{page}#damage-{damage.number}"

    return redirect(once(request.POST.get("key", ""), request.user, do))


@require_POST
def drop(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Leave a repair out; the page offers it back."""
    job = find_job(number)
    found = _fetch(job, pk)
    proposals.drop(found, who=request.user)
    return redirect(next_page(request, _at(job, found)))


def _fetch(job: Job, pk: int) -> Repair:
    if pk > 2**62:
        raise Http404
    wanted = Repair.objects.select_related("operation", "damage", "let_stand_by")
    found: Repair = get_object_or_404(wanted, pk=pk, damage__job=job, damage__removed_at=None)
    found.damage.job = job
    return found


def _at(job: Job, found: Repair) -> str:
    return f"{reverse('repairs', args=[job.number])}#damage-{found.damage.number}"


def _page(
    request: HttpRequest, job: Job, found: Repair, form: Any, *, status: int = 200, **more: Any
) -> HttpResponse:
    shown = {
        "job": job,
        "finding": finding_of(job, found.damage, [], request.units),
        "option": option_of(found, rules.current(), request.units),
        "figures": proposals.figures(found),
        "form": form,
        "currency": current().currency,
        "changed": found.layup != found.proposed,
        **more,
    }
    return render(request, "counter/repairs/repair.html", shown, status=status)
