"""Ticks come in: from a device that keeps and sends them by itself, or from a plain form."""

from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext
from django.views.decorators.http import require_POST

from shoprepair.bench.crossed_words import both
from shoprepair.bench.forms.ticks import DecideForm, TickForm
from shoprepair.bench.ticking import in_order, tick_and_go_on
from shoprepair.bench.views.job import show
from shoprepair.work import ticks
from shoprepair.work.crossed import bring_to, crossed
from shoprepair.work.models import Step, Tick


@require_POST
def tick(request: HttpRequest) -> HttpResponse:
    """One tick. Sent twice, it counts once."""
    form = TickForm(request.POST)
    device = "device" in request.POST
    valid = form.is_valid()
    if "step" not in form.cleaned_data:
        return _refused(form.sentence) if device else _no_step()
    step = Step.objects.select_related("job").filter(pk=form.cleaned_data["step"]).first()
    if step is None:
        return _refused(gettext("This step is not there any more.")) if device else _no_step()
    if not valid:
        return _refused(form.sentence) if device else _again(request, step, form.sentence)
    return _kept(request, step, form) if device else _plain(request, step, form)


def _kept(request: HttpRequest, step: Step, form: TickForm) -> HttpResponse:
    """The device's own tick: it knows itself what comes next."""
    said = form.cleaned_data
    at = in_order(form.tapped_at(timezone.now()), said["after"], request.user)
    try:
        ticks.take(step, said["verb"], key=said["key"], who=request.user, at=at, reason=said["reason"])
    except ticks.TickRefused as refused:
        return _refused(str(refused))
    met = crossed(Tick.objects.select_related("step", "who").get(key=said["key"]), said["seen"])
    return JsonResponse(both(met)) if met else HttpResponse(status=204)


@require_POST
def decide(request: HttpRequest) -> HttpResponse:
    """Of two people's ticks that met, this one counts. Sent twice, it is done once."""
    form = DecideForm(request.POST)
    said = form.cleaned_data if form.is_valid() else {}
    step = Step.objects.select_related("job").filter(pk=said.get("step")).first()
    if step is None:
        return _refused(gettext("This step is not there any more."))
    try:
        bring_to(step, said["state"], key=said["key"], who=request.user, reason=said["reason"])
    except ticks.TickRefused as refused:
        return _refused(str(refused))
    return HttpResponse(status=204)


def _plain(request: HttpRequest, step: Step, form: TickForm) -> HttpResponse:
    said, now = form.cleaned_data, timezone.now()
    try:
        shown = tick_and_go_on(
            step, said["verb"], key=said["key"], who=request.user, at=now, reason=said["reason"]
        )
    except ticks.TickRefused as refused:
        return _again(request, step, str(refused))
    return redirect(_page_after(step, shown, said["verb"]))


def _page_after(step: Step, shown: Step | None, verb: str) -> str:
    number = step.job.number
    where = reverse("bench-step", args=[number, shown.pk]) if shown else reverse("bench-job", args=[number])
    return f"{where}?done={step.pk}" if verb in ("done", "skip") else where


def _again(request: HttpRequest, step: Step, sentence: str) -> HttpResponse:
    typed = request.POST.get("reason", "")
    return show(request, step.job.number, step.pk, status=422, refused=sentence, typed_reason=typed)


def _refused(sentence: str) -> HttpResponse:
    return HttpResponse(sentence, status=422, content_type="text/plain; charset=utf-8")


def _no_step() -> HttpResponse:
    raise Http404(gettext("This step is not there any more."))
