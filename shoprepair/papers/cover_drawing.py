"""The inflatable with all that covers cover hatched on it, each tagged with its number."""

from collections.abc import Iterator, Sequence

from django.utils.safestring import SafeString
from django.utils.translation import gettext

from shoprepair.cover.drawing import on_planform
from shoprepair.cover.footprints import Footprint
from shoprepair.cover.reading import Mended, Record
from shoprepair.gear import diagram
from shoprepair.gear.geometry import Spot, point
from shoprepair.gear.planform import Planform
from shoprepair.papers.cover_words import Covered, Told
from shoprepair.shop.languages import kept_by_language

TAG_SHARE = 0.05
MOST_KEPT = 64


def drawing(told: Told, *, paper: bool = False, link: str = "", ended: bool = False) -> SafeString:
    """The SVG of the gear as it was drawn for its newest cover; empty where no record can be read.

    `link` begins the address that a tag leads to; the tag's number ends it. With `ended` those covers are
    drawn too that no longer stand.
    """
    if told.newest is None:
        return SafeString()
    planform = told.newest.planform
    shown = [cover for cover in told.covers if cover.record and (ended or not cover.ended)]
    footprints = (footprint for cover in shown if cover.record for footprint in cover.record.footprints)
    title = gettext("%(name)s with its covered repairs") % {"name": told.name}
    return _drawn(planform, tuple(footprints), tuple(_pins(shown, planform, link)), title, paper=paper)


@kept_by_language(MOST_KEPT)
def _drawn(
    planform: Planform,
    footprints: tuple[Footprint, ...],
    pins: tuple[diagram.Pin, ...],
    title: str,
    *,
    paper: bool,
) -> SafeString:
    """Records never change, so neither does their drawing, which takes longer than all else of a page."""
    return on_planform(
        planform,
        footprints,
        pins=pins,
        title=title,
        unique="covered",
        detail="paper" if paper else "full",
        tag_share=TAG_SHARE,
    )


def _pins(shown: Sequence[Covered], planform: Planform, link: str) -> Iterator[diagram.Pin]:
    for cover in shown:
        for mended in cover.record.damages if cover.record else ():
            x_m, y_m = _point(mended, cover.record, planform)
            label = f"{cover.tag}: {cover.name}"
            href = f"{link}{cover.tag}" if link else ""
            yield diagram.Pin(number=cover.tag, x_m=x_m, y_m=y_m, label=label, href=href)


def _point(mended: Mended, record: Record | None, planform: Planform) -> tuple[float, float]:
    """Where it lies on the newest drawing, whose figures may have been measured better since.

    On a strut that the newest drawing no longer has, it keeps the point at which it was pinned.
    """
    lost = mended.place.strut is not None and mended.place.strut >= len(planform.struts)
    if lost or (record and record.planform == planform):
        return mended.x_m, mended.y_m
    spot = Spot(mended.place, mended.cell, mended.offset_m, "", mended.x_m, mended.y_m)
    there = point(planform, spot)
    return there.x_m, there.y_m
