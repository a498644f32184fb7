"""The rolled-out drawing: footprints over each other on the flat cloth, with the new damage, to scale."""

from collections.abc import Iterator, Sequence
from html import escape

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext

from shoprepair.cover import plan
from shoprepair.cover.damage_view import DamageView
from shoprepair.cover.drawing import gash, ground, outlines, tags
from shoprepair.cover.drawing.on_planform import close_up
from shoprepair.cover.drawing.sheet import (
    FAR_M,
    INK,
    RIGHT,
    TOP,
    WIDE,
    WORDS,
    Sheet,
    sheet_for,
    shown_strokes,
)
from shoprepair.cover.drawing.tags import Area
from shoprepair.cover.flat import At, Box, Stroke
from shoprepair.cover.footprints import Footprint
from shoprepair.cover.unrolled import LEADING_EDGE
from shoprepair.gear.diagram.svg import element, group, number
from shoprepair.gear.planform import Planform
from shoprepair.shop.units import Units, say_length


def unrolled(
    planform: Planform,
    footprints: Sequence[Footprint],
    later: DamageView | None,
    units: Units,
    title: str,
    *,
    labels: Sequence[str] = (),
    unique: str = "unrolled",
) -> SafeString:
    """Footprints with their rows of stitches, and a damage over them, as an <svg> to scale.

    The first footprint's tube is rolled out, or its part of the canopy shown; footprints of other surfaces
    are left out. A fitting is shown where it sits on the drawing. `labels` names the footprints in their
    order, `title` says in words what the drawing shows, `unique` begins its ids.
    """
    if footprints[0].layer == "fitting":
        return close_up(planform, footprints, later, title=title, labels=labels, unique=unique)
    named = [*labels, *([""] * (len(footprints) - len(labels)))]
    shown = [
        (each, name)
        for each, name in zip(footprints, named, strict=True)
        if each.surface == footprints[0].surface and plan.fits(planform, each)
    ]
    sheet = sheet_for(planform, [each for each, _ in shown], later)
    body = "".join(_parts(sheet, shown, later, units, unique))
    return mark_safe(  # noqa: S308 - made of figures, and of words that `element` and `escape` make safe
        element(
            "svg",
            element("title", escape(title), id=f"{unique}-title") + body,
            xmlns="http://www.w3.org/2000/svg",
            class_="unrolled",
            viewBox=f"0 0 {WIDE} {number(sheet.whole_tall, 1)}",
            role="img",
            aria_labelledby=f"{unique}-title",
            focusable="false",
            font_family="Atkinson Hyperlegible Next, sans-serif",
        )
    )


def _parts(
    sheet: Sheet,
    shown: Sequence[tuple[Footprint, str]],
    later: DamageView | None,
    units: Units,
    unique: str,
) -> Iterator[str]:
    window = {"x": sheet.left, "y": TOP, "width": sheet.wide, "height": round(sheet.tall, 1)}
    yield element("defs", element("clipPath", element("rect", **window), id=f"{unique}-window"))
    lines = shown_strokes(sheet.planform, sheet.middle, later) if later else ()
    near = tuple(line for line in lines if _in_window(sheet, line))
    inside = [ground.cloth(sheet), *(outlines.footprint(sheet, each, n) for n, (each, _) in enumerate(shown))]
    inside += [gash.damage(sheet, near)] if near else []
    yield group("unrolled-window", inside, clip_path=f"url(#{unique}-window)")
    yield element(
        "rect", class_="unrolled-frame", **window, fill="none", stroke="#6d7a80", stroke_width=1.2, rx=3
    )
    yield ground.faces(sheet)
    yield from _words(sheet, shown, later, lines, near, units)
    yield tags.scale(sheet, units)
    yield tags.way(sheet, _way(sheet))


def _words(
    sheet: Sheet,
    shown: Sequence[tuple[Footprint, str]],
    later: DamageView | None,
    lines: Sequence[Stroke],
    near: Sequence[Stroke],
    units: Units,
) -> Iterator[str]:
    taken = [_area_of(sheet, line) for line in near[:1]]
    written = []
    if near and later:
        x, y = sheet.point(near[0].at(0.5))
        area = tags.placed(sheet, str(later.number), tags.about(x, y), taken)
        taken.append(area)
        written.append(tags.damage(area, str(later.number), (x, y)))
    for each, name in shown:
        if name:
            area = tags.placed(sheet, name, tags.around(outlines.corner(sheet, each), name), taken)
            taken.append(area)
            written.append(tags.cover(area, name))
    footprint = shown[0][0]
    # The nearest way that it may lie counts, here as in words.
    nearest = min(lines, key=lambda line: _apart_m(sheet, footprint, line), default=None)
    if nearest and not near:
        yield _pointer(sheet, lines[0], say_length(_apart_m(sheet, footprint, nearest), units))
    elif nearest and (gap := _gap(sheet, footprint, nearest)):
        kept_clear = [*taken, *(Area(*outlines.corner(sheet, each)) for each, _ in shown)]
        yield tags.measure(*gap, say_length(_metres(sheet, *gap), units), sheet, kept_clear)
    yield from reversed(written)


def _area_of(sheet: Sheet, line: Stroke) -> Area:
    (x1, y1), (x2, y2) = sheet.point(line.a), sheet.point(line.b)
    room = max(line.radius_m * sheet.scale, 4.0)
    return Area(min(x1, x2) - room, min(y1, y2) - room, max(x1, x2) + room, max(y1, y2) + room)


def _in_window(sheet: Sheet, line: Stroke) -> bool:
    """Whether any of a line is seen."""
    middle = At((sheet.low.u_m + sheet.high.u_m) / 2, (sheet.low.v_m + sheet.high.v_m) / 2)
    half = Box((sheet.high.u_m - sheet.low.u_m) / 2, (sheet.high.v_m - sheet.low.v_m) / 2)
    return half.distance(line.moved(-middle.u_m, -middle.v_m)) == 0


def _apart_m(sheet: Sheet, footprint: Footprint, line: Stroke) -> float:
    """From the outline to the nearest of a line."""
    middle = sheet.spot(footprint.middle)
    box = Box(footprint.half_along_m, footprint.half_around_m, footprint.corner_m)
    return box.distance(line.moved(-middle.u_m, -middle.v_m))


def _gap(
    sheet: Sheet, footprint: Footprint, line: Stroke
) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """From the outline's nearest point to the damage's, on the sheet; None where they touch."""
    if footprint.shape in ("region", "tube"):
        return None
    box = Box(footprint.half_along_m, footprint.half_around_m, footprint.corner_m)
    middle = sheet.spot(footprint.middle)
    line = line.moved(-middle.u_m, -middle.v_m)
    if box.distance(line) == 0:
        return None
    there = line.at(box.nearest_share(line))
    here = box.nearest_point(there)
    back = line.radius_m / box.beyond(there)
    there = At(there.u_m + (here.u_m - there.u_m) * back, there.v_m + (here.v_m - there.v_m) * back)
    first, last = (At(at.u_m + middle.u_m, at.v_m + middle.v_m) for at in (here, there))
    return sheet.point(first), sheet.point(last)


def _metres(sheet: Sheet, first: tuple[float, float], last: tuple[float, float]) -> float:
    return float(((last[0] - first[0]) ** 2 + (last[1] - first[1]) ** 2) ** 0.5 / sheet.scale)


def _pointer(sheet: Sheet, line: Stroke, said: str) -> str:
    """An arrow at the window's edge toward a damage that lies beyond it, with how far it is."""
    at = line.at(0.5)
    x, y = sheet.point(at)
    x0, y0 = sheet.point(At(0.0, 0.0))
    to_right = x > x0
    edge_x = min(max(x, sheet.left + 10), sheet.left + sheet.wide - 10)
    share = (edge_x - x0) / (x - x0) if x != x0 else 0.0
    edge_y = min(max(y0 + share * (y - y0), TOP + 20), TOP + sheet.tall - 20)
    tip = 8 if to_right else -8
    shaft = f"M{edge_x - 2 * tip:.1f} {edge_y:.1f}H{edge_x:.1f}"
    arrow = f"{shaft}M{edge_x - tip:.1f} {edge_y - 7:.1f}l{tip} 7l{-tip} 7"
    drawn = element("path", class_="damage-line", d=arrow, fill="none", stroke=INK, stroke_width=3)
    words = element(
        "text",
        said,
        class_="unrolled-words",
        x=round(edge_x - 3 * tip, 1),
        y=round(edge_y + 7, 1),
        text_anchor="end" if to_right else "start",
        font_size=WORDS,
        font_weight="600",
    )
    return group("unrolled-pointer", (drawn, words))


def _way(sheet: Sheet) -> str:
    """Where the cloth leads to, under it."""
    if sheet.on_canopy:
        return gettext("right →")
    if sheet.middle.surface != LEADING_EDGE:
        return gettext("rear →")
    return gettext("← left tip") if sheet.middle.side == "left" else gettext("right tip →")


__all__ = ["FAR_M", "RIGHT", "unrolled"]
