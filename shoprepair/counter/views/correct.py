"""Correcting what was written earlier: the new value on the sheet, the old one in the journal."""

from typing import Any, NamedTuple

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from shoprepair.counter.forms.correct import CustomerFactsForm, GearFactsForm, VisitForm
from shoprepair.counter.forms.fields import refuse
from shoprepair.counter.sheet import find_job
from shoprepair.jobs import corrections
from shoprepair.jobs.models import Job

Form = VisitForm | CustomerFactsForm | GearFactsForm


class Correctable(NamedTuple):
    """One record of a job that can be corrected."""

    what: str
    title: str
    record: corrections.Record
    form: type[Form]

    def bound(self, posted: Any = None) -> Form:
        form = self.form(posted, initial=self.form.written(self.record))  # type: ignore[arg-type]
        form.label_suffix = ""
        return form


@require_http_methods(["GET", "HEAD", "POST"])
def correct(request: HttpRequest, number: int) -> HttpResponse:
    """The page that corrects the visit, its customer or its gear, by ?what=."""
    job = find_job(number)
    told = _correctable(job, request.GET.get("what", "job"))
    if request.method != "POST":
        return _page(request, job, told, told.bound())
    form, seen = told.bound(request.POST), request.POST.get("version", "")
    if not form.is_valid():
        return _page(request, job, told, form, version=seen)
    version = int(seen) if seen.isdecimal() and len(seen) < 10 else None
    try:
        corrections.correct(told.record, who=request.user, version=version, **form.facts())
    except ValidationError as problems:
        refuse(form, problems.message_dict)
        return _page(request, job, told, form, version=seen)
    except corrections.StaleRecord:
        fresh = find_job(number)
        return _page(request, fresh, _correctable(fresh, told.what), form, stale=True)
    messages.success(
        request,
        gettext("%(title)s: corrected. What stood there before is in the journal.") % {"title": told.title},
    )
    return redirect(f"{job.get_absolute_url()}#facts")


def _correctable(job: Job, what: str) -> Correctable:
    match what:
        case "job":
            return Correctable(what, gettext("This visit"), job, VisitForm)
        case "customer":
            return Correctable(what, gettext("Customer"), job.customer, CustomerFactsForm)
        case "inflatable":
            return Correctable(what, gettext("Gear"), job.inflatable, GearFactsForm)
    raise Http404(gettext("There is nothing called %(what)s to correct.") % {"what": what})


def _page(
    request: HttpRequest,
    job: Job,
    told: Correctable,
    form: Form,
    *,
    stale: bool = False,
    version: str = "",
) -> HttpResponse:
    shown = {
        "job": job,
        "told": told,
        "form": form,
        "version": version or told.record.version,
        "others": _others(told, form) if stale else [],
        "stale": stale,
    }
    wrong = stale or bool(form.errors)
    return render(request, "counter/job/correct.html", shown, status=422 if wrong else 200)


def _others(told: Correctable, form: Form) -> list[tuple[str, str]]:
    """Label and present value of each field that stands otherwise than it was typed."""
    now = told.bound()
    return [
        (str(field.label), _shown(now[field.name]))
        for field in form
        if _shown(field) != _shown(now[field.name])
    ]


def _shown(field: forms.BoundField) -> str:
    """A field's value as its input shows it, an empty one by a word."""
    value = field.value()
    choices = dict(getattr(field.field, "choices", ()))
    said = choices.get(value, "") if choices else field.field.widget.format_value(value)
    return str(said or gettext("nothing"))
