"""The leaflet for the counter: on one page what to ride, to mend, to bring home and to bring in.

All that it advises is read from the rules that the self-check answers by.
"""

from typing import Any, NamedTuple

from django.urls import reverse
from django.utils import translation
from django.utils.translation import gettext

from shoprepair.gear import everyday
from shoprepair.jobs.advice.common_words import AIR, SHORE
from shoprepair.jobs.advice.rules import RULES, Fix
from shoprepair.jobs.advice.thresholds import TOWARD_THE_TIP
from shoprepair.jobs.advice.verdicts import Verdict
from shoprepair.papers import leaflet_lines, marks, zones
from shoprepair.papers.context import from_elsewhere, is_for_everybody, letterhead
from shoprepair.papers.pictures import several
from shoprepair.papers.render import printed, svg
from shoprepair.shop.models import Paper
from shoprepair.shop.settings import current

LETTER_SHARES = {"wing-medium": 0.033, "kite-medium": 0.031}
"""What is drawn, and the radius of its letters over its width: the kite is shown smaller."""
PICTURES = ("fold-round", "fold-edge")
LAYOUTS = {"snug": 1, "dense": 1, "dense tight": 1}
"""From the first that is tried to what a longer language needs on the shorter paper."""


class Heap(NamedTuple):
    """A verdict with all that it is given for."""

    code: str
    title: str
    lines: tuple[str, ...]


def render(*, paper: str, base_url: str, language: str) -> bytes:
    """The leaflet as PDF, on "A4" or "Letter", in a language ("en", "de").

    `base_url` is where the shop is reached: the code leads from there to the self-check.
    """
    if paper not in Paper:
        raise ValueError(
            gettext("A leaflet is printed on A4 or on Letter, not on “%(paper)s”.") % {"paper": paper}
        )
    with translation.override(language):
        context = {**_context(base_url), "paper": paper, "language": language}
        return printed(
            "papers/leaflet.html",
            context,
            style_sheets=("leaflet",),
            pictures=_pictures(context["address"]),
            layouts=LAYOUTS,
        )


def _context(base_url: str) -> dict[str, Any]:
    shop, cloth, far = current(), RULES["tear-tape"].fix, RULES["cut-far-from-a-shop"].fix
    *milder, last = heaps()
    address = base_url.rstrip("/") + reverse("self-check")
    return {
        "shop": letterhead(shop),
        "address": address,
        "address_said": address.partition("://")[2].rstrip("/"),
        "from_elsewhere": "" if is_for_everybody(address) else from_elsewhere(shop),
        "heaps": milder,
        "last": last,
        "cloth": _shown(cloth),
        "never_on_a_tube": str(far.never[0]) if far else "",
        "cautions": [str(words) for words in (AIR, SHORE)],
    }


def heaps() -> list[Heap]:
    """Every verdict with its lines, the mildest first, in the language that is active."""
    found = leaflet_lines.of_verdict()
    return [
        Heap(verdict.code, str(verdict.title), tuple(str(words) for words in found[verdict]))
        for verdict in Verdict
    ]


def _shown(fix: Fix | None) -> dict[str, Any]:
    if fix is None:
        return {}
    return {"steps": fix.steps, "use": fix.use, "never": fix.never}


def _pictures(address: str) -> dict[str, Any]:
    drawings = {
        code: svg(zones.draw(everyday.planform(code), TOWARD_THE_TIP, unique=code, letter_share=share))
        for code, share in LETTER_SHARES.items()
    }
    verdicts = (verdict.code for verdict in Verdict)
    return {"qr": svg(marks.qr(address)), **drawings, **several(*verdicts, *PICTURES)}
