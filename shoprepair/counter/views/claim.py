"""Holding a new damage against the covers of its gear, and the owner's decision."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_POST, require_safe
from django.views.decorators.vary import vary_on_headers

from shoprepair.counter.claim_page import SAYS, claim_page, fetch_claimed
from shoprepair.counter.contact import base_url
from shoprepair.counter.fetch import fetch_job
from shoprepair.counter.quote import version_of
from shoprepair.cover import claims, ours
from shoprepair.cover.models import Claim, Cover
from shoprepair.cover.refusals import ClaimRefused
from shoprepair.jobs.models import Damage, Job
from shoprepair.mechanics.description import Answer
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.submissions import once

_DONE = {"ours": gettext_lazy("Decided: ours to mend."), "new": gettext_lazy("Decided: a new damage.")}


@require_safe
@vary_on_headers("HX-Request")
def claim(request: HttpRequest, number: int, damage_number: int) -> HttpResponse:
    """The damage drawn over the footprints, what speaks for and against, and what is proposed."""
    job = fetch_job(number)
    return page(request, job, fetch_claimed(job, damage_number))


@require_POST
def hold(request: HttpRequest, number: int, damage_number: int) -> HttpResponse:
    """Hold the damage against a cover. Sent twice, it is held once."""
    job = fetch_job(number)
    damage = fetch_claimed(job, damage_number)
    cover, asked, pumped = _cover(request), request.POST.get("cover", ""), request.POST.get("pumped", "")
    if asked and cover is None:
        unknown = ClaimRefused(gettext("There is no such cover. Choose one of those shown."), "cover")
        return page(request, job, damage, refused=unknown, status=422)
    said = pumped if pumped in SAYS else Answer.UNKNOWN.value

    def do() -> str:
        claims.hold_against(damage, cover, over_pressure=said, who=request.user)
        return address(job, damage)

    try:
        return redirect(once(request.POST.get("key", ""), request.user, do))
    except ClaimRefused as refusal:
        return page(request, job, damage, refused=refusal, status=422)


@require_POST
@vary_on_headers("HX-Request")
def pumped(request: HttpRequest, number: int) -> HttpResponse:
    """Say whether it was pumped above its rating; what speaks for and against is weighed anew."""
    found = fetch_claim(number)
    answer = request.POST.get("pumped", "")
    typed = {"typed_words": request.POST.get("words", ""), "typed_decision": request.POST.get("decision", "")}
    try:
        if answer in SAYS:
            claims.pumped(found, answer, who=request.user, version=version_of(request.POST))
    except (ClaimRefused, claims.Stale) as refusal:
        return _refused(request, found, refusal, **typed)
    if request.htmx:
        return page(request, found.job, found.damage, **typed)
    return redirect(address(found.job, found.damage))


@require_POST
def decide(request: HttpRequest, number: int) -> HttpResponse:
    """The owner's decision in words. Sent twice, it is decided once."""
    found, said = fetch_claim(number), request.POST
    decision, words = said.get("decision", ""), said.get("words", "")

    def do() -> str:
        version = version_of(said)
        claims.decide(found, decision, words, who=request.user, version=version, base_url=base_url(request))
        messages.success(request, _DONE[decision])
        return address(found.job, found.damage)

    return _once(request, found, do, typed_decision=decision, typed_words=words)


@require_POST
def reopen(request: HttpRequest, number: int) -> HttpResponse:
    """Take the decision back, so that it is decided anew."""
    found, reason = fetch_claim(number), request.POST.get("reason", "")

    def do() -> str:
        claims.reopen(found, reason, who=request.user)
        messages.success(request, gettext("The claim is open again."))
        return address(found.job, found.damage)

    return _once(request, found, do, typed_reason=reason)


@require_POST
def drop(request: HttpRequest, number: int) -> HttpResponse:
    """Take an open claim back. Sent twice, it was taken back once."""
    found = Claim.objects.select_related("job", "damage").filter(number=number).first()
    if found is None:
        return redirect("rack")

    def do() -> str:
        claims.drop(found, who=request.user)
        messages.success(request, gettext("Claim %(found)s was taken back.") % {"found": found})
        return address(found.job, found.damage)

    return _once(request, found, do)


@require_POST
def take_up(request: HttpRequest, number: int) -> HttpResponse:
    """Make the job at nought now, though other claims of the visit are still open."""
    found = fetch_claim(number)

    def do() -> str:
        return ours.take_up(found, request.user).get_absolute_url()

    return _once(request, found, do)


def fetch_claim(number: int) -> Claim:
    """The claim of this number with its visit; 404 where there is none."""
    wanted = Claim.objects.select_related(
        "damage", "cover", "job__customer", "job__inflatable__pattern", "remedy"
    )
    return get_object_or_404(wanted, number=number)


def address(job: Job, damage: Damage) -> str:
    """Where the comparison of a damage is seen."""
    return reverse("claim", args=[job.number, damage.number])


def page(request: HttpRequest, job: Job, damage: Damage, *, status: int = 200, **more: Any) -> HttpResponse:
    """The whole page, or only its sheets where the page is there already."""
    whole = "counter/claim/page.html"
    template = f"{whole}#claim" if request.htmx else whole
    return render(request, template, claim_page(job, damage, request, **more), status=status)


def _once(request: HttpRequest, found: Claim, do: Callable[[], str], **typed: str) -> HttpResponse:
    try:
        return redirect(once(request.POST.get("key", ""), request.user, do))
    except (ClaimRefused, claims.Stale) as refusal:
        return _refused(request, found, refusal, **typed)


def _refused(request: HttpRequest, found: Claim, refusal: ValueError, **typed: str) -> HttpResponse:
    """The page as it stands now, with the sentence and what was typed."""
    if not Claim.objects.filter(pk=found.pk).exists():
        messages.error(request, str(refusal))
        return redirect(address(found.job, found.damage))
    said = refusal if isinstance(refusal, ClaimRefused) else ClaimRefused(str(refusal))
    job = fetch_job(found.job.number)
    damage = fetch_claimed(job, found.damage.number)
    return page(request, job, damage, refused=said, status=422, **typed)


def _cover(request: HttpRequest) -> Cover | None:
    number = request.POST.get("cover", "")
    if not (number.isascii() and number.isdecimal() and len(number) < 10):
        return None
    return Cover.objects.filter(number=number).first()
