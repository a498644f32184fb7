"""The tubes of a job laid straight and seen from behind, with their openings and repairs.

Classes carry the screen's colours; the attributes alone make a picture that a grey printer can print.
"""

from collections.abc import Iterator, Sequence
from html import escape
from itertools import groupby

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext

from shoprepair.gear.diagram.svg import element, group, number
from shoprepair.jobs.models import Job
from shoprepair.pricing.access.parts import body, closing_seam, mark, patch, slit
from shoprepair.pricing.access.plan import Opening, Plan, Reached, TubePlan, numbered, plan
from shoprepair.pricing.access.sheet import (
    CLOTH,
    FOOT,
    HEAD,
    INK,
    LEAST_THICK,
    LENGTH_WIDE,
    SIDE,
    WIDE,
    WORDS,
    Row,
)
from shoprepair.pricing.access.tags import tags
from shoprepair.pricing.tubes import LEADING_EDGE
from shoprepair.shop.languages import begun_large
from shoprepair.shop.units import Units, say_length


def drawing(job: Job, planned: Plan | None = None, units: Units | None = None) -> SafeString:
    """An <svg> of every tube of the job that is opened, in the reader's units; empty where none is."""
    planned = planned or plan(job)
    tubes = [one for one in planned.tubes if one.openings]
    if not tubes:
        return SafeString("")
    rows = list(_rows(tubes))
    tall = rows[-1].y + rows[-1].thick + FOOT + (WORDS + 4) * max(_lanes(rows[-1], tubes[-1].openings))
    parts = [_tube(row, one, units or Units()) for row, one in zip(rows, tubes, strict=True)]
    return mark_safe(  # noqa: S308 - every word in it is escaped by `element`
        element(
            "svg",
            "".join(parts),
            class_="tube-drawing",
            viewBox=f"0 0 {number(WIDE)} {number(tall)}",
            role="img",
            aria_label=_said(tubes, units or Units()),
            focusable="false",
            font_family="Atkinson Hyperlegible Next, sans-serif",
            font_size=WORDS,
        )
    )


def _said(tubes: Sequence[TubePlan], units: Units) -> str:
    told = (
        gettext("%(tube_label)s: %(length_m)s of closing seam opened for %(damages)s")
        % {
            "tube_label": opening.tube_label,
            "length_m": say_length(opening.length_m, units),
            "damages": numbered(opening.damages),
        }
        for one in tubes
        for opening in one.openings
    )
    return gettext("Openings, tubes laid straight. ") + "; ".join(told) + "."


def _rows(tubes: Sequence[TubePlan]) -> Iterator[Row]:
    longest = max(one.tube.length_m for one in tubes)
    scale, top = (WIDE - 2 * SIDE) / longest, 0.0
    for one in tubes:
        fattest = max(radius for _, radius in one.tube.radii_m)
        thick = max(fattest * scale, LEAST_THICK)
        row = Row(one.tube, scale, top + HEAD + thick, thick)
        yield row
        foot = FOOT + (WORDS + 4) * max(_lanes(row, one.openings))
        top += HEAD + 2 * thick + foot


def _tube(row: Row, one: TubePlan, units: Units) -> str:
    damages = [list(each) for _, each in groupby(_by_damage(one.reached), key=lambda r: r.damage)]
    return group(
        "opened-tube",
        (
            _name(row, units),
            element(
                "path", "", class_="opened-casing", d=body(row), fill=CLOTH, stroke=INK, stroke_width=2.5
            ),
            closing_seam(row, one.openings),
            *(patch(row, here) for here in damages),
            *(mark(row, each) for each in row.line.marks),
            *(
                part
                for opening, lane in zip(one.openings, _lanes(row, one.openings), strict=True)
                for part in slit(row, opening, lane, units)
            ),
            *tags(row, damages),
        ),
    )


def _by_damage(reached: Sequence[Reached]) -> list[Reached]:
    return sorted(reached, key=lambda each: (each.damage, each.start_m))


def _name(row: Row, units: Units) -> str:
    ends = (
        gettext("from left tip to right tip, seen from behind")
        if row.line.key == LEADING_EDGE
        else gettext("from front to back")
    )
    name = begun_large(row.line.label)
    y = row.y - row.thick - HEAD + WORDS + 4
    said = element("tspan", escape(name), font_weight="700")
    long = element("tspan", escape(f", {say_length(row.line.length_m, units)}"))
    ends = element("tspan", escape(f" {ends}"), class_="opened-ends")
    return element("text", said + long + ends, class_="opened-name", x=SIDE, y=y, fill=INK)


def _lanes(row: Row, openings: Sequence[Opening]) -> list[int]:
    """Under which of two lines each opening's length stands, so that neighbours do not cover each other."""
    lanes: list[int] = []
    before = -WIDE
    for opening in openings:
        middle = row.x((opening.start_m + opening.end_m) / 2)
        lanes.append(1 - lanes[-1] if lanes and middle - before < LENGTH_WIDE else 0)
        before = middle
    return lanes
