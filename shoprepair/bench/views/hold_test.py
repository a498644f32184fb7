"""The hold test of a job: begun, read, decided."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_POST, require_safe
from django.views.decorators.vary import vary_on_headers

from shoprepair.bench import hold_page
from shoprepair.bench.fetch import fetch_job
from shoprepair.bench.forms.hold import BeginForm, DecideForm, ReadingForm
from shoprepair.jobs import stages
from shoprepair.jobs.models import Job
from shoprepair.pricing.stale import Stale
from shoprepair.shop.submissions import once
from shoprepair.work import hold_tests, hold_tubes
from shoprepair.work.gauges import read_gauge
from shoprepair.work.models import HoldReading, HoldTest


@require_safe
@vary_on_headers("HX-Request")
def hold_test(request: HttpRequest, number: int) -> HttpResponse:
    """The page; with `pressure` from a form that is being filled in, what that pressure asks of the tube."""
    job = fetch_job(number)
    if request.htmx and "pressure" in request.GET:
        return _asked(request, job)
    return render(request, "bench/hold/page.html", hold_page.page(request, job))


@require_POST
def begin(request: HttpRequest, number: int) -> HttpResponse:
    """Begin the test of a tube. Sent twice, it is begun once."""
    job = fetch_job(number)
    form = BeginForm(request.units, request.POST)

    def carry_out() -> str:
        said = form.cleaned_data
        hold_tests.begin(job, said["tube"], said["typed"], who=request.user, owner_ok=said["owner_ok"])
        return _address(job, said["tube"])

    if form.is_valid():
        try:
            return redirect(once(request.POST.get("key", ""), request.user, carry_out))
        except ValueError as refused:
            form.add_error("pressure", str(refused))
    typed = form.cleaned_data.get("typed")
    key = form.cleaned_data.get("tube", "")
    again = hold_page.asked(job, key, typed.value_si) if typed and key in _keys(job) else {}
    return _refused(request, job, begin_form=form, key=key, **again)


@require_POST
def reading(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Keep a look at the gauge. Sent twice, it is kept once."""
    test = _test(number, pk)
    form = ReadingForm(request.units, request.POST)

    def carry_out() -> str:
        said = form.cleaned_data
        hold_tests.read(
            test,
            said["pressure_typed"],
            said["temperature_typed"],
            said["moment"],
            said["height_m"],
            who=request.user,
        )
        return f"{_address(test.job, test.tube_key)}#verdict"

    if form.is_valid():
        try:
            return redirect(once(request.POST.get("key", ""), request.user, carry_out))
        except hold_tests.HoldRefused as refused:
            form.add_error(None, str(refused))
        except ValueError as refused:
            form.add_error(_field(str(refused)), str(refused))
    return _refused(request, test.job, reading_form=form, key=test.tube_key)


@require_POST
def remove(request: HttpRequest, number: int, pk: int, reading: int) -> HttpResponse:
    """Take a reading out; the list offers it back."""
    return _change(request, number, pk, reading, hold_tests.remove_reading)


@require_POST
def restore(request: HttpRequest, number: int, pk: int, reading: int) -> HttpResponse:
    """Put a reading back that was taken out."""
    return _change(request, number, pk, reading, hold_tests.restore_reading)


@require_POST
def decide(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Say that the tube holds, or take the job back to the bench. Sent twice, it is decided once."""
    test = _test(number, pk)
    form = DecideForm(request.POST)
    if not form.is_valid():
        return _refused(request, test.job, decide_refused=_sentence(form), key=test.tube_key)
    said = form.cleaned_data
    holds = said["holds"] == "yes"
    if test.verdict == (HoldTest.Verdict.HOLDS if holds else HoldTest.Verdict.FAILS):
        return redirect(_address(test.job, test.tube_key))
    try:
        hold_tests.decide(test, holds, who=request.user, reason=said["reason"], version=said["version"])
    except (hold_tests.HoldRefused, Stale, stages.StageRefused) as refused:
        return _refused(
            request, test.job, decide_refused=str(refused), reason=said["reason"], key=test.tube_key
        )
    if not holds:
        messages.success(request, gettext("It does not hold. The job is back on the bench."))
    return redirect(reverse("hold-test", args=[test.job.number]))


@require_POST
def stop(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Give the test up, to begin anew."""
    test = _test(number, pk)
    try:
        hold_tests.stop(test, who=request.user)
    except hold_tests.HoldRefused as refused:
        return _refused(request, test.job, decide_refused=str(refused), key=test.tube_key)
    messages.success(request, gettext("The test is given up. Begin anew."))
    return redirect(_address(test.job, test.tube_key))


def _change(request: HttpRequest, number: int, pk: int, reading: int, act: Any) -> HttpResponse:
    test = _test(number, pk)
    kept = get_object_or_404(HoldReading.objects.select_related("test__job"), pk=reading, test=test)
    try:
        act(kept, who=request.user)
    except hold_tests.HoldRefused as refused:
        return _refused(request, test.job, decide_refused=str(refused), key=test.tube_key)
    return redirect(f"{_address(test.job, test.tube_key)}#readings")


def _asked(request: HttpRequest, job: Job) -> HttpResponse:
    """What the pressure in the field asks of the tube, as it is typed."""
    key, text = request.GET.get("tube", ""), request.GET["pressure"]
    if key not in _keys(job):
        return HttpResponse(status=204)
    try:
        shown = hold_page.asked(job, key, read_gauge(text, request.units).value_si)
    except ValueError as refused:
        shown = {"asked": None, "asked_refused": str(refused)}
    return render(request, "bench/hold/asked.html", {**shown, "units": request.units, "job": job})


def _keys(job: Job) -> tuple[str, ...]:
    return hold_tubes.tubes(job.inflatable.pattern)


def _test(number: int, pk: int) -> HoldTest:
    tests = HoldTest.objects.select_related("job__customer", "job__inflatable__pattern__casing")
    return get_object_or_404(tests, pk=pk, job__number=number)


def _field(sentence: str) -> str | None:
    """Beside which field a sentence about a whole reading stands."""
    for word, field in (("temperature", "temperature"), ("height", "height"), ("reading", "at")):
        if word in sentence:
            return field
    return "at" if "time" in sentence else None


def _sentence(form: DecideForm) -> str:
    return " ".join(str(error) for errors in form.errors.values() for error in errors)


def _address(job: Job, key: str) -> str:
    return f"{reverse('hold-test', args=[job.number])}?tube={key}"


def _refused(request: HttpRequest, job: Job, **sent: Any) -> HttpResponse:
    job.refresh_from_db(fields=("stage",))
    return render(request, "bench/hold/page.html", hold_page.page(request, job, **sent), status=422)
