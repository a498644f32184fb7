"""Saying when the parts of a job are expected."""

from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.translation import gettext
from django.views.decorators.http import require_POST
from django.views.decorators.vary import vary_on_headers

from shoprepair.counter.forms.expected_parts import ExpectedPartsForm
from shoprepair.counter.forms.fields import refuse
from shoprepair.counter.sheet import find_job
from shoprepair.counter.views.job import done, refused
from shoprepair.jobs.models import Job
from shoprepair.work import calendar
from shoprepair.work.saying import day


@require_POST
@vary_on_headers("HX-Request")
def expected_parts(request: HttpRequest, number: int) -> HttpResponse:
    """Keep the day on which the parts are expected, or that nobody knows it."""
    job, form = find_job(number), ExpectedPartsForm(request.POST)
    if not form.is_valid() or not _keep(request, job, form):
        reasons = [str(error) for errors in form.errors.values() for error in errors]
        return refused(request, job, reasons, parts_form=form)
    on = form.cleaned_data["day"]
    return done(
        request,
        find_job(number),
        gettext("Parts are expected on %(on)s.") % {"on": day(on)}
        if on
        else gettext("Nobody knows when they come."),
    )


def _keep(request: HttpRequest, job: Job, form: ExpectedPartsForm) -> bool:
    said = form.cleaned_data
    try:
        calendar.expect_parts(job, said["day"], said["note"], today=timezone.localdate(), who=request.user)
    except ValidationError as problems:
        refuse(form, problems.message_dict)
        return False
    return True
