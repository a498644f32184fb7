"""What the form of an enquiry shows of all that was told, and where it leads."""

from typing import NamedTuple
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import get_language, gettext

from shoprepair.jobs import links
from shoprepair.jobs.advice import advise_told
from shoprepair.jobs.models import Enquiry
from shoprepair.portal.self_check import steps
from shoprepair.portal.self_check.address import Address
from shoprepair.portal.self_check.answer import together
from shoprepair.portal.self_check.language import PARAMETER
from shoprepair.pricing import rough
from shoprepair.shop.units import Units

TOO_OFTEN = "too often"


class Piece(NamedTuple):
    """One damage, as a line above the form."""

    number: int
    what: str
    where: str
    verdict: Promise


def pieces(at: Address, units: Units) -> list[Piece]:
    """Every damage that goes with the enquiry, and what was advised about it."""
    return [
        Piece(
            number, steps.said("look", told, units), steps.place_said(told), advise_told(told).verdict.title
        )
        for number, told in enumerate(at.all_told, 1)
    ]


def charge(at: Address) -> dict[str, str]:
    """The range that was named for all of it, as an enquiry keeps it; empty where none was."""
    charges = [found for told in at.all_told if (found := rough.charge(told))]
    found = together(charges)
    return found.kept if found else {}


def after(made: Enquiry, *, photos_left_out: bool = False) -> str:
    """The address of the page that follows, in their language; its key is the status link's."""
    link = links.current(made.job)
    if link is None:
        return reverse("enquiry-thanks")
    query = {PARAMETER: get_language() or ""} | ({"without": "photos"} if photos_left_out else {})
    return f"{reverse('enquiry-sent', args=[links.token(link)])}?{urlencode(query)}"


def too_old() -> str:
    """Why nothing was taken from a form that was not shown to this same browser."""
    return gettext(
        "Nothing was sent yet. The page was open for too long, or your browser keeps no cookies: "
        "this form needs one. Allow it, look at the form once more, and send it again."
    )


def too_large() -> str:
    """Why nothing was read."""
    return gettext(
        "Your photos are too large together. Choose fewer or smaller ones, and fill in the form again."
    )
