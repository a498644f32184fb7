"""The quote on paper: what was found, what it costs line by line, and how the customer answers."""

from collections.abc import Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo

from django.utils import timezone, translation
from django.utils.formats import date_format
from django.utils.translation import gettext

from shoprepair.jobs import links
from shoprepair.jobs.damages import live
from shoprepair.jobs.meanwhile import meanwhile
from shoprepair.jobs.models import Damage, Job, Stage
from shoprepair.jobs.words import finding_words, place_words
from shoprepair.papers import cautions, marks
from shoprepair.papers.context import DAY, from_elsewhere, is_for_everybody, letterhead
from shoprepair.papers.drawing import drawing
from shoprepair.papers.quote_price import price
from shoprepair.papers.quote_standing import standing
from shoprepair.papers.render import printed, svg
from shoprepair.pricing import money, quotes, totals
from shoprepair.pricing.models import Quote
from shoprepair.shop.languages import SpeakAs
from shoprepair.shop.models import Paper, Shop
from shoprepair.shop.settings import current
from shoprepair.shop.units import Units, units_for

LAYOUTS = {"compact": 1, "compact slim": 1, "roomy": 2, "dense": 9}
"""From the first that is tried to the last, each with the pages it may fill.

Before the answer goes to a second page the drawing shrinks; there it says again what is signed.
"""
MOST_COMPACT, MOST_ROOMY = 12, 24
"""Lines that might fit a page and two; laying out more in vain takes as long."""
TAG_SHARE = 0.06
"""The drawing is small here, so its pins are larger."""
DRAWN_MM, SLIM_MM = (78.0, 41.0), (60.0, 29.0)
"""The least room that it is given, and where it shrinks to let all stand on one page."""
CROWD, CROWD_MM = 12, (150.0, 72.0)
"""Of more damages the drawing goes over the whole width, where its tags hide nothing: at least so large."""
REPAIRED = (Stage.READY, Stage.HANDED_BACK)
CAUTIONS = (cautions.SCREENING, cautions.DROWNING, cautions.PRESSURE)


class Finding(NamedTuple):
    """One damage in the customer's words: what, and where."""

    number: int
    what: str
    place: str
    inside: bool = False
    """Found in the work, after the customer had agreed."""


class Day(NamedTuple):
    """A date of the quote with its name."""

    label: str
    value: str
    strong: bool = False


def number(quote: Quote) -> str:
    """The quote's number as it stands on its paper: the job's, and which version."""
    return f"{quote.job}-{quote.number}"


@SpeakAs()
def render(quote: Quote, *, paper: str, base_url: str) -> bytes:
    """The quote as PDF, on "A4" or "Letter", its QR code leading to the status link under `base_url`.

    One page where it fits. A draft says across the page that it was not sent; an accepted one shows
    what was agreed, exactly as it was shown then.
    """
    if paper not in Paper:
        raise ValueError(
            gettext("A quote is printed on A4 or on Letter, not on “%(paper)s”.") % {"paper": paper}
        )
    job, shop = quote.job, current()
    translation.activate(shop.language)
    found = live(job)
    stands = standing(quote, ZoneInfo(shop.time_zone), timezone.now())
    link = links.current(job) if stands.public else None
    address = links.url(link, base_url) if link else ""
    context: dict[str, Any] = {
        **_context(quote, job, shop, found),
        **_priced(quote),
        **_added(quote),
        "paper": paper,
        "standing": stands,
        "signs": stands.answerable,
        "link": address,
        "from_elsewhere": "" if is_for_everybody(address) else from_elsewhere(shop),
    }
    pictures = {
        "drawing": svg(drawn(job, found)),
        "slim-drawing": svg(drawing(job, found, SLIM_MM, TAG_SHARE)),
    }
    if address:
        pictures["qr"] = svg(marks.qr(address))
    return printed(
        "papers/quote.html",
        context,
        style_sheets=("sheet", "quote"),
        pictures=pictures,
        layouts=_layouts(sum(len(group.rows) for group in context["groups"])),
    )


def drawn(job: Job, found: Sequence[Damage]) -> str:
    """The gear with a tag at each damage, in the size that their number needs."""
    return drawing(job, found, CROWD_MM) if len(found) > CROWD else drawing(job, found, DRAWN_MM, TAG_SHARE)


def _layouts(count: int) -> dict[str, int]:
    """On one page where that is readable, else on two with room, else as close as it reads."""
    wanted = (
        ["compact", "compact slim"] * (count <= MOST_COMPACT) + ["roomy"] * (count <= MOST_ROOMY) + ["dense"]
    )
    return {layout: LAYOUTS[layout] for layout in wanted}


def _context(quote: Quote, job: Job, shop: Shop, found: Sequence[Damage]) -> dict[str, object]:
    units, pattern = units_for(None, shop), job.inflatable.pattern
    inside = quotes.found_inside(job) if quote.addition_to_id else set()
    return {
        "shop": letterhead(shop),
        "number": number(quote),
        "job_number": str(job),
        "customer": job.customer.name,
        "name": str(pattern),
        "gear": [fact for fact in (job.inflatable.colour, job.inflatable.serial) if fact],
        "days": _days(quote, shop),
        "crowd": len(found) > CROWD,
        "found": [_finding(damage, units, inside) for damage in found],
        "meanwhile": None if job.stage in REPAIRED else meanwhile(found),
        "note": _lines(quote.agreed.get("note", quote.note)),
        "terms": _lines(quote.agreed.get("terms", quote.terms)),
        "cautions": CAUTIONS,
    }


def _priced(quote: Quote) -> dict[str, object]:
    shown = price(quote)
    return {
        "lines_heading": shown.heading,
        "groups": shown.groups,
        "boxes": any(row.boxed for group in shown.groups for row in group.rows),
        "sums": shown.sums,
        "total": shown.total,
        "total_label": shown.total_label,
        "deposit": shown.deposit,
    }


def _days(quote: Quote, shop: Shop) -> list[Day]:
    """When it was sent, in the shop's own days, and until when it holds."""
    sent = [Day(gettext("sent"), said_day(quote.sent_at, shop))] if quote.sent_at else []
    return [*sent, Day(gettext("valid until"), date_format(quote.valid_until, DAY), strong=True)]


def said_day(moment: datetime, shop: Shop) -> str:
    """The day of a moment where the shop is."""
    day: date = moment.astimezone(ZoneInfo(shop.time_zone)).date()
    return date_format(day, DAY)


def _added(quote: Quote) -> dict[str, object]:
    """What an addition says of the quote it adds to; nothing for a quote that stands by itself."""
    if quote.addition_to is None:
        return {}
    total = Decimal(quote.agreed["total"]) if quote.agreed else totals.of(quote).total
    every = quotes.together(quote, total)
    return {
        "adds_to": number(quote.addition_to),
        "together": money.say(every, quote.currency) if every is not None else "",
    }


def _finding(damage: Damage, units: Units, inside: set[int]) -> Finding:
    place = place_words(damage, units)
    return Finding(
        number=damage.number,
        what=finding_words(damage, units),
        place=place[:1].upper() + place[1:],
        inside=damage.number in inside,
    )


def _lines(text: str) -> list[str]:
    return [line.strip() for line in text.splitlines() if line.strip()]
