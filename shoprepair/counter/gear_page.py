"""What the page of a piece of gear shows: whose it is, what is covered on it, visits, claims and papers."""

from collections import defaultdict
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo

from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.safestring import SafeString

from shoprepair.counter.contact import base_url
from shoprepair.counter.journal import journal_about
from shoprepair.counter.keys import new_key
from shoprepair.cover import endings, links, standing, transfers
from shoprepair.cover.models import Claim, Cover, Ending
from shoprepair.gear import diagram
from shoprepair.gear.describe import planform
from shoprepair.gear.models import Inflatable
from shoprepair.jobs import ownership
from shoprepair.jobs.models import Job, Stage
from shoprepair.jobs.words import finding_words
from shoprepair.papers import cover_words
from shoprepair.papers.cover_drawing import drawing
from shoprepair.papers.cover_words import Covered, Told
from shoprepair.papers.marks import qr
from shoprepair.shop.units import Units

TAG = "#cover-"


class Line(NamedTuple):
    """A cover as the page lists it."""

    cover: Cover
    said: Covered
    claims: int


class Held(NamedTuple):
    """A claim as the page lists it."""

    claim: Claim
    what: str


def fetch_gear(pk: int) -> Inflatable:
    """The inflatable with its pattern's figures; 404 where there is none."""
    pattern = ("pattern", "pattern__casing", "pattern__canopy", "pattern__window")
    return get_object_or_404(Inflatable.objects.select_related(*pattern), pk=pk)


def gear_page(gear: Inflatable, request: HttpRequest, **more: Any) -> dict[str, Any]:
    """All that the page names, in as many statements however many covers and visits there are."""
    covers = standing.of(gear)
    jobs = list(Job.objects.filter(inflatable=gear).select_related("customer").order_by("-id"))
    claims = _claims(gear, request.units)
    told = told_of(gear, covers, request)
    lines = _lines(cover_words.given(covers), told, claims)
    return {
        "gear": gear,
        "owner": ownership.owner(gear),
        "told": told,
        "standing": [line for line in lines if not line.said.ended],
        "over": [line for line in lines if line.said.ended],
        "drawing": _drawing(gear, told),
        "jobs": jobs,
        "here": next((job for job in jobs if job.is_open), None),
        "begun": Stage.ENQUIRY,
        "claims": claims,
        "transfers": transfers.history(gear),
        "retired": _retired(covers),
        "key": new_key(),
        **journal_about(request.units, gear),
        **_link(gear, request),
        **more,
    }


def told_of(gear: Inflatable, covers: list[Cover], request: HttpRequest) -> Told:
    """These covers in the reader's words."""
    zone = ZoneInfo(request.shop.time_zone)
    passed = cover_words.passed(gear, zone)
    return cover_words.tell(cover_words.given(covers), passed, request.units, zone, timezone.localdate())


def _lines(covers: list[Cover], told: Told, claims: list[Held]) -> list[Line]:
    held: dict[int, int] = defaultdict(int)
    for one in claims:
        held[one.claim.cover_id] += 1
    return [Line(cover, said, held[cover.pk]) for cover, said in zip(covers, told.covers, strict=True)]


def _claims(gear: Inflatable, units: Units) -> list[Held]:
    found = Claim.objects.filter(cover__inflatable=gear).select_related("cover", "damage", "job", "remedy")
    return [Held(claim, finding_words(claim.damage, units)) for claim in found.order_by("-number")]


def _drawing(gear: Inflatable, told: Told) -> SafeString:
    if told.newest:
        return drawing(told, link=TAG)
    return diagram.draw(planform(gear.pattern), title=str(gear.pattern), unique="covered")


def _retired(covers: list[Cover]) -> Ending | None:
    """The ending that says that the gear is no longer used."""
    found = (standing.ending_of(cover) for cover in covers)
    return next((one for one in found if one and one.reason == endings.Reason.RETIRED), None)


def _link(gear: Inflatable, request: HttpRequest) -> dict[str, Any]:
    """The address of the cover record's page with its code; nothing before there is one."""
    link = links.current(gear)
    if link is None:
        return {"link": None}
    address = links.url(link, base_url(request))
    return {"link": link, "link_url": address, "link_qr": qr(address)}
