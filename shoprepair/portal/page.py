"""All that the page under a status link shows."""

from collections.abc import Iterator
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from shoprepair.jobs import conversation, enquiries, links
from shoprepair.jobs.models import Enquiry, Job, Message, Stage, StatusLink
from shoprepair.jobs.reading import read_once
from shoprepair.portal import advised, claims, findings
from shoprepair.portal.collecting import collecting
from shoprepair.portal.costs import costs
from shoprepair.portal.covered import cover_page
from shoprepair.portal.forms.answer import DECLINE, Answered
from shoprepair.portal.forms.question import QuestionForm
from shoprepair.portal.offer import Line, Offer
from shoprepair.portal.ready import ready
from shoprepair.portal.record import Record
from shoprepair.portal.safety import safety
from shoprepair.portal.standing import DONE, standing
from shoprepair.pricing import quotes
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Shop
from shoprepair.shop.units import Units, units_for

FOUND_INSIDE = gettext_lazy("Found inside, after you had agreed")
NOT_WANTED = gettext_lazy("Found inside; you declined to have it mended")


def page(
    request: HttpRequest,
    link: StatusLink,
    *,
    status: int = 200,
    sent: Answered | None = None,
    **shown: Any,
) -> HttpResponse:
    """The whole page; with an answer that was `sent`, as the customer chose and typed.

    `shown` takes the place of what the page would show by itself, such as a form sent back.
    """
    # The shop's units, whoever is logged in: the customer and the shop look at one page.
    units = units_for(None, request.shop)
    with read_once(link.job, "damages"), quotes.read_all_once(link.job):
        context = _context(link, request.shop, units, sent)
    return render(request, "portal/status.html", {**context, **shown}, status=status)


def _context(link: StatusLink, shop: Shop, units: Units, sent: Answered | None) -> dict[str, Any]:
    job, said = link.job, list(conversation.messages(link.job))
    asked = enquiries.waiting().filter(job=job).first() if job.stage == Stage.ENQUIRY else None
    priced, held = costs(job, sent), claims.said(job, units)
    return {
        "job": job,
        "token": links.token(link),
        "standing": standing(
            job,
            timezone.localdate(),
            more_found=_adds(priced["offer"]),
            ours=_is_ours(priced["record"]),
            asked=asked is not None,
        ),
        "asked": asked,
        "ready": ready(job),
        "collecting": collecting(job, shop),
        "cover_page": cover_page(job),
        "advised": advised.advised(asked) if asked else None,
        **_found(job, units, priced, asked),
        **priced,
        "claims": held,
        "answer_name": sent.name if sent else "",
        "declining": sent is not None and sent.act == DECLINE,
        "said": said,
        "question": QuestionForm(initial={"name": _known_name(said, priced["record"])}),
    }


def base_url(request: HttpRequest) -> str:
    """Where the customer reaches the shop: the address in its settings, else the one just used."""
    return request.shop.web_address or request.build_absolute_uri("/")


def _adds(offer: Offer | None) -> bool:
    return offer is not None and offer.quote.addition_to_id is not None


def _is_ours(agreed: Record | None) -> bool:
    return agreed is not None and agreed.ours


def _found(job: Job, units: Units, priced: dict[str, Any], told: Enquiry | None) -> dict[str, Any]:
    damages, photos = findings.live_damages(job), findings.shared_photos(job)
    inside, declined = quotes.found_inside(job), quotes.declined_damages(job)
    marks = dict.fromkeys(inside, FOUND_INSIDE) | dict.fromkeys(declined, NOT_WANTED)
    found = findings.findings(damages, photos, units, marks)
    if told:
        found = advised.beside(found, told)
    asked = {number for line in _lines(priced["offer"]) for number in line.damages}
    return {
        "safety": safety(job, damages, units, _not_mended(priced), _not_asked(job, inside)),
        "found_inside": [finding for finding in found if finding.number in inside & asked],
        "drawing": findings.drawing(job, damages, units, seen=told is None),
        "repaired": job.stage in DONE,
        "crowded": len(found) > findings.ROOMY,
        "found": found[: findings.SHOWN_AT_FIRST],
        "found_more": found[findings.SHOWN_AT_FIRST :],
        "photos": [photo for photo in photos if photo.damage_id is None],
    }


def _lines(offer: Offer | None) -> Iterator[Line]:
    if offer is not None:
        yield from (*offer.fixed, *(line for choice in offer.choices for line in choice.lines), *offer.extras)


def _not_mended(priced: dict[str, Any]) -> set[int]:
    """Damages that the customer left out, or declined when they were found, in whichever answer."""
    answers: list[Record] = [*([priced["record"]] if priced["record"] else []), *priced["added"]]
    left = {number for answer in answers for number in (answer.not_mended | answer.declined)}
    return left - {number for answer in answers for number in answer.mended}


def _not_asked(job: Job, inside: set[int]) -> set[int]:
    """Damages found in work that the customer gave no answer to before it was done."""
    return inside.intersection(quotes.not_quoted(job)) if inside and job.stage in DONE else set()


def _known_name(said: list[Message], answered: Record | None) -> str:
    """The name that the customer last asked under, or else answered a quote under."""
    asked = (message.name for message in reversed(said) if message.by_id is None)
    return next(asked, answered.name if answered and not answered.ours else "")
