"""The cover record: kept with the gear for its life, shown to whoever buys it, grown with each visit.

It says what the records of its covers say, and nothing of whose the gear is or was.
"""

from collections.abc import Sequence
from zoneinfo import ZoneInfo

from django.utils import timezone, translation
from django.utils.formats import date_format
from django.utils.translation import gettext

from shoprepair.cover import links
from shoprepair.gear.models import Inflatable
from shoprepair.papers import cautions, marks
from shoprepair.papers.context import from_elsewhere, is_for_everybody, letterhead
from shoprepair.papers.cover_drawing import drawing
from shoprepair.papers.cover_words import DAY, Covered, told
from shoprepair.papers.drawing import readable
from shoprepair.papers.render import printed, svg
from shoprepair.shop.languages import SpeakAs, gettext_lazy
from shoprepair.shop.models import Paper
from shoprepair.shop.settings import current
from shoprepair.shop.units import units_for

LAYOUTS = {"grand": 3, "roomy": 6, "compact": 12}
"""From the first that is tried to the last, each with the covers that might fit its one page.

Laying out more in vain takes as long. What fits none of them takes as many pages as it needs.
"""
MOST_DENSE = 14
"""Covers that have more room again on two pages, where not even standing close they fit one."""
FEW_ALIKE = 2
"""Repairs that were made alike and still say so each for itself."""
DRAWN_MM = (92.0, 50.0)
"""The least room that the drawing is given."""
BROAD_MM = (150.0, 72.0)
"""And where so many are covered that its tags would hide one another: over the whole width of a page."""
CAUTIONS = (
    gettext_lazy(
        "It says what was repaired and is no certificate: look the gear over before each ride, and "
        "respect the maker’s limits and local rules."
    ),
    cautions.DROWNING,
)


class NothingCovered(ValueError):
    """There is no cover yet that a record could show; the message says when there is."""


@SpeakAs()
def render(inflatable: Inflatable, *, paper: str, base_url: str) -> bytes:
    """The record as PDF, on "A4" or "Letter", its QR code leading to the page of the record under `base_url`.

    One page where it fits. Raises NothingCovered before any hand-back with something covered.
    """
    if paper not in Paper:
        raise ValueError(
            gettext("A cover record is printed on A4 or on Letter, not on “%(paper)s”.") % {"paper": paper}
        )
    shop = current()
    translation.activate(shop.language)
    zone = ZoneInfo(shop.time_zone)
    today = timezone.now().astimezone(zone).date()
    record = told(inflatable, units_for(None, shop), zone, today)
    if not record.covers:
        raise NothingCovered(
            gettext(
                "Nothing of it is covered yet: its cover record begins with the first repair "
                "that is handed back."
            )
        )
    address = links.url(links.make(inflatable), base_url)
    context = {
        "shop": letterhead(shop),
        "told": record,
        "visits": [(visit, together(visit.covers)) for visit in record.visits],
        "cautions": CAUTIONS,
        "day": date_format(today, DAY),
        "address": address if is_for_everybody(address) else "",
        "from_elsewhere": from_elsewhere(shop),
        "paper": paper,
    }
    pictures = {"qr": svg(marks.qr(address))}
    if drawn := drawing(record, paper=True):
        room = BROAD_MM if len(record.covers) > MOST_DENSE else DRAWN_MM
        pictures["drawing"] = svg(readable(drawn, *room))
    return printed(
        "papers/cover_record.html",
        context,
        style_sheets=("sheet", "cover_record"),
        pictures=pictures,
        layouts=_layouts(len(record.covers)),
    )


def together(covers: Sequence[Covered]) -> list[list[Covered]]:
    """The repairs of a visit, those that were made alike in one, where the first of them stands."""
    alike: dict[tuple[object, ...], list[Covered]] = {}
    for cover in covers:
        alike.setdefault(_how(cover), []).append(cover)
    few = {how for how, same in alike.items() if len(same) <= FEW_ALIKE}
    parted: dict[tuple[object, ...], list[Covered]] = {}
    for cover in covers:
        how = _how(cover)
        parted.setdefault((*how, cover.tag) if how in few else how, []).append(cover)
    return list(parted.values())


def _how(cover: Covered) -> tuple[object, ...]:
    """What is said of a repair besides its place; what ended or cannot be read is like no other."""
    alone = cover.tag if cover.ended or cover.trouble else None
    made = (cover.name, cover.made, cover.techs, cover.checked_by, cover.lots)
    return (alone, *made, cover.until, cover.promise)


def _layouts(count: int) -> dict[str, int]:
    """On one page where that is readable, else on as many as it needs."""
    if count > MOST_DENSE:
        return {"compact broad": 2, "dense broad": 1}
    fitting = [layout for layout, most in LAYOUTS.items() if count <= most]
    return dict.fromkeys([*fitting, "dense", "compact flowing"], 1)
