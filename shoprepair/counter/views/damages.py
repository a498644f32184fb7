"""Pinning, answering, moving and removing damages at the counter; each answer comes back with its verdict."""

from typing import Any

from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from shoprepair.counter.desk import desk, finishing, render_desk_with
from shoprepair.counter.fetch import fetch_damage, fetch_job, next_page
from shoprepair.counter.forms.damages import FIELD_OF, DamageForm, PinForm
from shoprepair.counter.forms.fields import refuse
from shoprepair.counter.questions import shown_value
from shoprepair.jobs import damages
from shoprepair.jobs.models import Damage, Job
from shoprepair.shop.submissions import once


@require_POST
def pin(request: HttpRequest, number: int) -> HttpResponse:
    """A tap on the drawing pins a damage; the same tap sent twice pins one."""
    job = fetch_job(number)
    form = PinForm(request.POST)
    if not form.is_valid():
        return _off(request, job, " ".join(form.non_field_errors()))
    try:
        where = once(request.POST.get("key", ""), request.user, lambda: _pinned(request, job, form))
    except ValidationError as error:
        return _off(request, job, " ".join(error.messages))
    except ValueError as off:
        return _off(request, job, str(off))
    return _show(request, job, opened=int(where.rpartition("=")[2]), fresh=True)


@require_http_methods(["GET", "HEAD", "POST"])
def damage(request: HttpRequest, number: int, damage_number: int) -> HttpResponse:
    """The panel of one damage; POST answers its questions."""
    job = fetch_job(number)
    if request.method != "POST":
        return _show(request, job, opened=fetch_damage(job, damage_number).number)
    found = fetch_damage(job, damage_number)
    form = DamageForm(request.POST, units=request.units)
    asked = damages.questions_for(found)
    if not form.is_valid():
        return _wrong(request, job, found, form)
    try:
        found = _answer(request, found, form)
    except ValidationError as error:
        refuse(form, error.message_dict, lambda name: FIELD_OF.get(name, name))
        return _wrong(request, job, found, form)
    except damages.Stale as stale:
        return _clash(request, job, stale.damage, form)
    return _answered(request, job, found, changed=damages.questions_for(found) != asked)


@require_POST
def move(request: HttpRequest, number: int, damage_number: int) -> HttpResponse:
    """Put the pin where the drawing was tapped."""
    job = fetch_job(number)
    found = fetch_damage(job, damage_number)
    form = PinForm(request.POST)
    if not form.is_valid():
        return _off(request, job, " ".join(form.non_field_errors()), opened=damage_number, moving=True)
    try:
        damages.move_pin(found, form.cleaned_data["x"], form.cleaned_data["y"], who=request.user)
    except damages.Stale as stale:
        return _off(request, job, str(stale), opened=damage_number)
    except ValueError as off:
        return _off(request, job, str(off), opened=damage_number, moving=True)
    return _show(request, job, opened=damage_number, fresh=True)


@require_POST
def remove(request: HttpRequest, number: int, damage_number: int) -> HttpResponse:
    """Take a damage off the job; the page offers to bring it back."""
    job = fetch_job(number)
    damages.remove(fetch_damage(job, damage_number, removed=True), request.user)
    return _show(request, job, removed=damage_number)


@require_POST
def restore(request: HttpRequest, number: int, damage_number: int) -> HttpResponse:
    """Bring a removed damage back."""
    job = fetch_job(number)
    damages.restore(fetch_damage(job, damage_number, removed=True), request.user)
    return _show(request, job, opened=damage_number)


def _answer(request: HttpRequest, found: Damage, form: DamageForm) -> Damage:
    """The damage with what was newly said of it; what is only sent again is not written again."""
    if not (changes := form.changes(found)):
        return found
    version = form.cleaned_data["version"]
    return damages.answer(found, who=request.user, version=version, units=request.units, **changes)


def _pinned(request: HttpRequest, job: Job, form: PinForm) -> str:
    pinned = damages.pin(job, form.cleaned_data["x"], form.cleaned_data["y"], who=request.user)
    if form.cleaned_data["kind"]:
        damages.answer(pinned, who=request.user, kind=form.cleaned_data["kind"])
    return _address(job, pinned.number)


def _address(job: Job, opened: int | None, removed: int | None = None) -> str:
    page = reverse("job-check-in", args=[job.number])
    if opened:
        return f"{page}?damage={opened}"
    return f"{page}?removed={removed}" if removed else page


def _show(
    request: HttpRequest,
    job: Job,
    *,
    opened: int | None = None,
    removed: int | None = None,
    fresh: bool = False,
) -> HttpResponse:
    """The desk with one damage open, as far as the page does not show it yet; or by going to its page."""
    address = _address(job, opened, removed)
    if not request.htmx:
        return redirect(next_page(request, f"{address}#panel" if opened else address))
    context = desk(request, job, opened=opened, removed=removed, fresh=fresh)
    answer = _fragment(request, job, "desk_swapped", context)
    answer["HX-Replace-Url"] = address
    whole = "drawing" in context
    answer["HX-Retarget"], answer["HX-Reswap"] = ("#desk", "innerHTML") if whole else ("#panel", "outerHTML")
    return answer


def _answered(request: HttpRequest, job: Job, found: Damage, *, changed: bool) -> HttpResponse:
    """The verdict alone, so that nobody's typing is touched; the whole desk where other questions follow."""
    if changed or not request.htmx:
        return _show(request, job, opened=found.number)
    return _fragment(request, job, "answered", desk(request, job, opened=found.number))


def _wrong(request: HttpRequest, job: Job, found: Damage, form: DamageForm) -> HttpResponse:
    """What cannot be, beside its field; everything typed stays."""
    context = desk(request, job, opened=found.number, form=form)
    if request.htmx:
        return _fragment(request, job, "answered", context, status=422)
    return render_desk_with(request, job, context, status=422)


def _clash(request: HttpRequest, job: Job, now: Damage, form: DamageForm) -> HttpResponse:
    """Somebody else answered meanwhile: shows what they wrote beside what was typed here."""
    theirs = [
        {"word": damages.ANSWERS[name], "theirs": shown, "mine": form.data[field]}
        for name, field in _clashing(form)
        if (shown := shown_value(now, field)) != form.data[field]
    ]
    clash = {"theirs": theirs, "version": now.version, "number": now.number}
    context = desk(request, job, opened=now.number, form=form, clash=clash)
    if request.htmx:
        return _fragment(request, job, "answered", context, status=422)
    return render_desk_with(request, job, context, status=422)


def _clashing(form: DamageForm) -> list[tuple[str, str]]:
    """The answers that were sent, each by its name among the answers and in the form."""
    fields = [(name, FIELD_OF.get(name.replace("_typed", "_m"), name)) for name in damages.ANSWERS]
    return [(name, field) for name, field in fields if field in form.data]


def _off(request: HttpRequest, job: Job, sentence: str, **more: Any) -> HttpResponse:
    """A tap beside the drawing: says so, and keeps everything as it is."""
    if not request.htmx:
        return render_desk_with(request, job, desk(request, job, said=sentence, **more), status=422)
    answer = render(request, "counter/check_in/said.html", {"said": sentence}, status=422)
    answer["HX-Retarget"], answer["HX-Reswap"] = "#said", "outerHTML"
    return answer


def _fragment(
    request: HttpRequest, job: Job, name: str, context: dict[str, Any], status: int = 200
) -> HttpResponse:
    context["missing_for_check_in"] = finishing(job)
    return render(request, f"counter/check_in/{name}.html", context, status=status)
