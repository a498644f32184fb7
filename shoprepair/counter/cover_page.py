"""What the page of one cover shows: all of its record, whether it is as it was written, claims against it."""

from decimal import Decimal
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo

from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from shoprepair.cover import claims, record, standing
from shoprepair.cover.drawing import unrolled
from shoprepair.cover.lifted import lifting_rule
from shoprepair.cover.models import Cover
from shoprepair.cover.reading import Mended, Record
from shoprepair.jobs.models import Photo
from shoprepair.papers import cover_words
from shoprepair.papers.cover_drawing import drawing
from shoprepair.pricing import money
from shoprepair.shop.languages import written
from shoprepair.shop.units import Units, say, say_line_load

MOST_UNROLLED = 4


class Found(NamedTuple):
    """One damage that the cover mends, with the figures that it was judged by."""

    number: int
    what: str
    where: str
    band: str
    facts: tuple[tuple[str, str], ...]
    rule: str
    """What put it higher than its load ratio does; empty where the figures decided."""


def fetch_cover(number: int) -> Cover:
    """The cover of this number with its gear and ending; 404 where there is none."""
    found = Cover.objects.select_related("inflatable__pattern", "job", "ending__who")
    return get_object_or_404(found, number=number)


def cover_page(cover: Cover, request: HttpRequest, **more: Any) -> dict[str, Any]:
    """All that the page names."""
    zone, units = ZoneInfo(request.shop.time_zone), request.units
    earlier = Cover.objects.filter(inflatable=cover.inflatable, number__lt=cover.number)
    tag = 1 + len(cover_words.given(earlier.select_related("ending")))
    told = cover_words.tell([cover], [], units, zone, timezone.localdate(), first=tag)
    said = told.covers[0]
    kept = said.record
    return {
        "cover": cover,
        "gear": cover.inflatable,
        "told": told,
        "said": said,
        "tag": tag,
        "passes_on": cover_words.PASSES_ON,
        "stays": cover_words.STAYS,
        "ending": standing.ending_of(cover),
        "found": [_found(one, kept, units) for one in kept.damages] if kept else [],
        "sold": money.say(Decimal(kept.repair.amount), kept.repair.currency) if kept else "",
        "cost": money.say(kept.repair.cost_amount, kept.repair.currency) if kept else "",
        "drawing": drawing(told, ended=True),
        "unrolled": _unrolled(kept, tag, units) if kept else [],
        "photos": _photos(kept),
        "claims": claims.against(cover),
        "sealed": _sealed(cover),
        "may_end": request.user.is_owner and standing.ending_of(cover) is None,
        **more,
    }


def _unrolled(kept: Record, tag: int, units: Units) -> list[SafeString]:
    """Each footprint rolled out flat, with its rows of stitches; one drawing a place where they coincide."""
    prints = [one for one in kept.footprints if one.shape != "tube"]
    return [
        unrolled(
            kept.planform,
            [one],
            None,
            units,
            gettext("What it covers of damage %(damage)s, rolled out flat") % {"damage": one.damage},
            labels=[str(tag)],
            unique=f"unrolled-{place}",
        )
        for place, one in enumerate(prints[:MOST_UNROLLED])
    ]


def _found(one: Mended, kept: Record, units: Units) -> Found:
    rule = lifting_rule(one)
    return Found(
        number=one.number,
        what=say(one.what, units),
        where=cover_words.place_words(one, kept, units),
        band=one.band,
        facts=tuple(_facts(one, units)),
        rule=say(rule, units) if rule else "",
    )


def _facts(one: Mended, units: Units) -> list[tuple[str, str]]:
    facts = []
    if one.load_ratio is not None:
        facts.append((gettext("Load ratio λ"), _ratio(one.load_ratio)))
    if one.demand_n_per_m is not None:
        facts.append((gettext("Load asked of it"), say_line_load(one.demand_n_per_m, units)))
    if one.through_bladder != "not said":
        facts.append((gettext("Through the bladder"), gettext(one.through_bladder)))
    return facts


def _ratio(ratio: float) -> str:
    return written(f"{ratio:.2f}") if ratio < 10 else gettext("over %(most)s") % {"most": 10}


def _photos(kept: Record | None) -> list[tuple[Photo, str]]:
    """The photos that are still here, in the order of the record, each with its moment."""
    if kept is None or not kept.photos:
        return []
    rows = {photo.key: photo for photo in Photo.objects.filter(key__in=[one.key for one in kept.photos])}
    return [(rows[one.key], one.moment or gettext("at check-in")) for one in kept.photos if one.key in rows]


def _sealed(cover: Cover) -> bool:
    """Whether the record still gives its digest and follows the one before it."""
    before = Cover.objects.filter(number=cover.number - 1).values_list("digest", flat=True).first() or ""
    return cover.previous == before and cover.digest == record.digest(cover.previous, cover.contents)
