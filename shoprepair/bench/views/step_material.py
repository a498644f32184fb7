"""Taking a step's materials from their lots, and putting them back."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_POST, require_safe
from django.views.decorators.vary import vary_on_headers

from shoprepair.bench.forms.stock import TakeForm
from shoprepair.bench.step_materials import ANY, step_materials
from shoprepair.shop.submissions import once
from shoprepair.work import stock
from shoprepair.work.models import Step, Use


@require_safe
def page(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """The step's materials on a page of their own."""
    return _shown(request, _step(number, pk))


@require_POST
@vary_on_headers("HX-Request")
def take(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Take what the form says from the lot that it names. Sent twice, it is taken once."""
    step = _step(number, pk)
    form = _form(request, step)

    def carry_out() -> str:
        if not form.is_valid():
            raise stock.StockRefused("")
        said = form.cleaned_data
        stock.use(
            form.chosen,
            said["quantity"],
            job=step.job,
            step=step,
            who=request.user,
            reason=said.get("reason", ""),
        )
        return _address(step)

    try:
        once(request.POST.get("key", ""), request.user, carry_out)
    except stock.StockRefused as refused:
        return _shown(request, step, status=422, sent=request.POST, refused=str(refused))
    return _done(request, step, gettext("Taken."))


@require_POST
@vary_on_headers("HX-Request")
def back(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Put back what was taken. Sent twice, it is put back once."""
    step = _step(number, pk)
    use = Use.objects.filter(job=step.job_id, pk=_whole(request.POST.get("use", ""))).first()
    if use is None:
        return _shown(
            request, step, status=422, refused=gettext("That is not among what was taken for this job.")
        )
    try:
        stock.put_back(use, who=request.user)
    except stock.StockRefused as refused:
        return _shown(request, step, status=422, refused=str(refused))
    return _done(request, step, gettext("Put back."))


def _step(number: int, pk: int) -> Step:
    steps = Step.objects.select_related("job__customer", "job__inflatable__pattern", "repair__damage")
    return get_object_or_404(steps, pk=pk, job__number=number)


def _form(request: HttpRequest, step: Step) -> TakeForm:
    name = request.POST.get("form", "")
    if name == ANY:
        return TakeForm(stock.on_shelf(), request.user, request.POST, named=True, prefix=ANY)
    for proposal in stock.proposals(step):
        if name == f"m{proposal.material.pk}":
            return TakeForm(proposal.lots, request.user, request.POST, named=False, prefix=name)
    raise Http404


def _whole(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 18 else 0


def _address(step: Step) -> str:
    return reverse("step-materials", args=[step.job.number, step.pk])


def _done(request: HttpRequest, step: Step, told: str) -> HttpResponse:
    return _shown(request, step, told=told) if request.htmx else redirect(_address(step))


def _shown(request: HttpRequest, step: Step, *, status: int = 200, **said: Any) -> HttpResponse:
    part = "bench/stock/step_materials.html" if request.htmx else "bench/stock/step_page.html"
    page = {"materials": step_materials(step, request.user, **said)}
    return render(request, part, page, status=status)
