"""Every question and the answer: which of them is shown, the address alone decides."""

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from shoprepair.gear import everyday
from shoprepair.portal.self_check import address, answer, halves, steps
from shoprepair.portal.self_check.address import Address
from shoprepair.portal.self_check.page import open_page, shown
from shoprepair.shop.units import units_for


@open_page
@require_safe
def walk(request: HttpRequest) -> HttpResponse:
    """The next question that is open, or what is advised."""
    with everyday.read_once():
        at = address.read(request)
        return _question(request, at) if at.question else _answer(request, at)


def _question(request: HttpRequest, at: Address) -> HttpResponse:
    units = units_for(None, request.shop)  # type: ignore[attr-defined]
    context = {
        "address": at,
        "step": steps.step(at.question, at, units),
        "tags": steps.tags(at, units),
        "sewn": steps.sewn(at),
        **_more(request, at),
    }
    return shown(request, f"portal/self_check/{PAGES.get(at.question, 'step')}.html", context)


PAGES = {"kind": "start", "at": "place", "length": "length"}
"""Questions with more on their page than rows."""


def _more(request: HttpRequest, at: Address) -> dict[str, object]:
    if at.question == "at":
        return {"halves": _halves(at)}
    if at.question == "length":
        return {"hidden": at.hidden("length"), **_misread(request, at)}
    return {}


def _halves(at: Address) -> list[dict[str, object]]:
    """The left and the right half as they lie on the page."""
    drawn = steps.planform(at.told)
    return [
        {"side": side, "name": name, "svg": halves.half(drawn, side, lambda to: at.answered("at", to), name)}
        for side, name in (("left", _("Left half")), ("right", _("Right half")))
    ]


def _misread(request: HttpRequest, at: Address) -> dict[str, str]:
    """What was typed off a ruler and makes no sense, or is nothing, stays, with a sentence beside it."""
    if "length" not in request.GET or at.told.length:
        return {}
    typed = request.GET["length"].strip()[:20]
    return {"typed": typed, "error": _("Write whole millimetres from 1 to 5000, such as 37.")}


def _answer(request: HttpRequest, at: Address) -> HttpResponse:
    units = units_for(None, request.shop)  # type: ignore[attr-defined]
    context = {
        "address": at,
        "answer": answer.answer(at, units),
        "tags": steps.tags(at, units),
        "enquiry": at.to("enquiry"),
        "another": at.another() if at.may_add else "",
    }
    return shown(request, "portal/self_check/answer.html", context)
