"""Finding while typing: a customer and their gear to check in, or anything else by a few letters."""

from collections.abc import Sequence
from typing import Any, NamedTuple

from django.db.models import Exists, OuterRef
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.safestring import SafeString
from django.views.decorators.http import require_safe
from django.views.decorators.vary import vary_on_headers

from shoprepair.counter import addresses
from shoprepair.counter.keys import new_key
from shoprepair.gear import diagram, serials
from shoprepair.gear.describe import planform
from shoprepair.gear.models import Inflatable
from shoprepair.jobs.expected import AWAY, is_away
from shoprepair.jobs.models import Customer, Job, Ownership, Stage
from shoprepair.jobs.search import Found, find

SHOWN = 12
LONGEST = 400
"""Letters that are read: an address takes more than any name."""
UNFINISHED = 6


class Gear(NamedTuple):
    """A piece of gear as a tap target: what it looks like, when it was here, whether it is here now."""

    inflatable: Inflatable
    glyph: SafeString
    last: Job | None
    open_job: Job | None
    key: str

    @property
    def away(self) -> bool:
        """Whether it was asked about from outside and is not here yet."""
        return self.open_job is not None and is_away(self.open_job)

    @property
    def begun(self) -> bool:
        """Whether a check-in of it was begun and not finished."""
        return self.open_job is not None and self.open_job.stage == Stage.ENQUIRY


@require_safe
@vary_on_headers("HX-Request")
def check_in(request: HttpRequest) -> HttpResponse:
    """Where every visit begins: who is it, and what do they bring?"""
    expected = [] if request.GET.get("q", "").strip() else _expected()
    return _answer(request, "check_in", {"unfinished": _unfinished(), "expected": expected})


@require_safe
@vary_on_headers("HX-Request")
def search(request: HttpRequest) -> HttpResponse:
    """The same search from the bar of any page, with every job that was found."""
    return _answer(request, "search", {})


def gear_of(customer: Customer, inflatables: Sequence[Inflatable]) -> list[Gear]:
    """A customer's gear as tap targets, what is in the shop already last, whoever brought it.

    What a former owner began and did not finish is not gone on with.
    """
    jobs = {
        one: [job for job in one.jobs.all() if job.customer_id == customer.pk or job.stage != Stage.ENQUIRY]
        for one in inflatables
    }
    gear = [_gear(one, jobs[one]) for one in inflatables]
    return sorted(gear, key=lambda item: item.open_job is not None and not item.begun)


def glyph(inflatable: Inflatable, unique: str) -> SafeString:
    """The small drawing of a piece of gear."""
    return diagram.draw(planform(inflatable.pattern), detail="glyph", unique=unique)


def _answer(request: HttpRequest, page: str, more: dict[str, Any]) -> HttpResponse:
    typed = request.GET.get("q", "").strip()[:LONGEST]
    address = addresses.read(typed)
    if address and address.leads_to:
        return _go(request, address.leads_to)
    text = typed[:100]
    found = find(text, limit=SHOWN + 1) if text and not address else []
    context = {
        "text": text,
        "trouble": address.trouble if address else "",
        "loose": [] if found or address else _loose(text),
        "found": [_tap_targets(one) for one in found[:SHOWN]],
        "is_more": len(found) > SHOWN,
        "prefill": _prefill(text),
        **more,
    }
    part = "#found" if request.htmx else ""
    return render(request, f"counter/check_in/{page}.html{part}", context)


def _go(request: HttpRequest, there: str) -> HttpResponse:
    """A code that was scanned leads straight to what it stands for."""
    if not request.htmx:
        return redirect(there)
    answer = HttpResponse(status=204)
    answer["HX-Redirect"] = there
    return answer


def _loose(text: str) -> list[Inflatable]:
    """Gear of this serial that is nobody's by the shop's books, so that no customer leads to it."""
    owned = Ownership.objects.filter(inflatable=OuterRef("pk"), until=None)
    found = serials.bearing(" ".join(text.split())).filter(~Exists(owned))
    return list(found.select_related("pattern")[:1]) if text else []


def _tap_targets(found: Found) -> dict[str, Any]:
    gear = gear_of(found.customer, found.inflatables)
    return {"customer": found.customer, "why": found.why, "gear": gear, "jobs": found.jobs[:6]}


def _gear(inflatable: Inflatable, jobs: list[Job]) -> Gear:
    here = next((job for job in jobs if job.is_open), None)
    last = max(jobs, key=lambda job: job.received_at, default=None)
    return Gear(inflatable, glyph(inflatable, f"g{inflatable.pk}"), last, here, new_key())


def _unfinished() -> list[Job]:
    """Check-ins that were begun and not finished, newest first."""
    begun = Job.objects.filter(is_open=True, stage=Stage.ENQUIRY).exclude(AWAY)
    return list(begun.select_related("customer", "inflatable__pattern").order_by("-id")[:UNFINISHED])


def _expected() -> list[Job]:
    """What was asked about from outside and may come over the counter any day, newest first."""
    asked = Job.objects.filter(AWAY, is_open=True).select_related("customer", "inflatable__pattern")
    return list(asked.order_by("-id")[:UNFINISHED])


def _prefill(text: str) -> dict[str, str]:
    """What was searched for in vain, as the field of a new customer that it most likely is."""
    if "@" in text:
        return {"email": text}
    digits = sum(letter.isdigit() for letter in text)
    return {"phone" if digits > len(text) / 2 else "name": text} if text else {}
