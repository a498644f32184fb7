"""Gear that was taken in on this device without a line: shown from the device, sent once, asked about."""

from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from shoprepair.counter.forms.fields import refuse
from shoprepair.counter.forms.taken_down import SIZES, SaidForm, TakenDownForm
from shoprepair.jobs import taken_down
from shoprepair.jobs.models.words import choices
from shoprepair.jobs.taken_down import Asks
from shoprepair.mechanics.description import FindingKind
from shoprepair.shop.submissions import done_before, once

CONFLICT = 409


def form_words() -> dict[str, object]:
    """What the form on the device offers to choose from."""
    return {"sizes": list(SIZES.items()), "damage_kinds": choices(FindingKind)}


@require_safe
def waiting(request: HttpRequest) -> HttpResponse:
    """What waits on this device. The list stands on the device alone, and its script writes it here."""
    return render(request, "counter/taken_down/page.html", form_words())


@require_POST
def send(request: HttpRequest) -> HttpResponse:
    """One of them. Sent twice, it is taken in once.

    The answer names the job, or asks what only a person can say, or says which field is wrong and why.
    """
    form, chosen = TakenDownForm(request.POST), SaidForm(request.POST)
    if not (form.is_valid() and chosen.is_valid()):
        return _refused(form)
    key = request.POST.get("key", "")
    if done := done_before(key, request.user):
        return JsonResponse({"leads_to": done})
    down, said = form.taken_down(), chosen.said()

    def take() -> str:
        job = taken_down.take(down, said, who=request.user)
        return reverse("job-check-in", args=[job.number])

    try:
        return JsonResponse({"leads_to": once(key, request.user, take)})
    except Asks as asks:
        context = {"asks": asks, "down": down, "chosen": chosen.cleaned_data}
        return render(request, "counter/taken_down/asks.html", context, status=CONFLICT)
    except ValidationError as error:
        refuse(form, error.message_dict)
        return _refused(form)


def _refused(form: TakenDownForm) -> HttpResponse:
    return JsonResponse(
        {"wrong": {name: " ".join(map(str, said)) for name, said in form.errors.items()}}, status=422
    )
