"""Putting a step before another, within reason."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_POST

from shoprepair.bench.fetch import fetch_step
from shoprepair.bench.forms.ticks import MoveForm
from shoprepair.work import steps
from shoprepair.work.models import Step


@require_POST
def move(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Before the step that the form names, or to the end; else the sentence that says why not."""
    step = fetch_step(number, pk)
    form = MoveForm(request.POST)
    try:
        steps.move(step, _before(step, form), who=request.user)
    except steps.NotMoved as refused:
        messages.error(request, str(refused))
    return redirect(f"{reverse('bench-job', args=[number])}#row-{step.pk}")


def _before(step: Step, form: MoveForm) -> Step | None:
    if not form.is_valid():
        raise steps.NotMoved(gettext("That step is not one of this job (any more). Look at the steps again."))
    before = form.cleaned_data["before"]
    if before is None:
        return None
    found = Step.objects.filter(pk=before, job=step.job_id).first()
    if found is None:
        raise steps.NotMoved(gettext("That step is not one of this job (any more). Look at the steps again."))
    return found
