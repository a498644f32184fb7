"""The whole drawing with every footprint on it: hatched on top, dashed where it lies beneath."""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from html import escape

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext

from shoprepair.cover import plan
from shoprepair.cover.damage_view import DamageView
from shoprepair.cover.drawing import hatch
from shoprepair.cover.flat import At, Polygon
from shoprepair.cover.footprints import Footprint
from shoprepair.cover.plan import MOST_KEPT
from shoprepair.cover.reach import placed
from shoprepair.cover.unrolled import drawn
from shoprepair.gear.curve import Point
from shoprepair.gear.diagram import pins as tags
from shoprepair.gear.diagram.close_up import window
from shoprepair.gear.diagram.pins import TAG_SHARE, Pin
from shoprepair.gear.diagram.sheet import FONT, cloth
from shoprepair.gear.diagram.svg import element, group, polyline
from shoprepair.gear.diagram.view import View, view
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import shape

SPACING_PENS = 6.0
EDGE_ON_PENS = 9.0
"""What is seen narrower than this gets a bar beside its tube."""
RIM_PENS = 5.0
INK = "#15252b"


def on_planform(
    planform: Planform,
    footprints: Sequence[Footprint],
    *,
    pins: Sequence[Pin] = (),
    title: str = "",
    unique: str = "footprints",
    detail: str = "full",
    tag_share: float = TAG_SHARE,
) -> SafeString:
    """An inflatable from above with the footprints of its covers, in metres; on paper as on a screen.

    `pins` are numbered tags of covers or damages, `unique` begins every id, `detail` is full or paper.
    """
    seen = view(shape(planform))
    return _svg(planform, footprints, pins, seen, title or planform.name, unique, detail, tag_share)


def close_up(
    planform: Planform,
    footprints: Sequence[Footprint],
    later: DamageView | None,
    *,
    title: str,
    labels: Sequence[str] = (),
    unique: str = "close-up",
) -> SafeString:
    """The same seen from near, about the footprints and a damage: for a fitting, which no tube can show."""
    places = [middle_of(planform, each) for each in footprints]
    pins = [
        Pin(int(name), at.x_m, at.y_m, label=gettext("Cover %(name)s") % {"name": name})
        for name, at in zip(labels, places, strict=False)
        if name.isdigit()
    ]
    if later:
        at = drawn(planform, placed(planform, later)[0])
        places.append(at)
        pins.append(
            Pin(later.number, at.x_m, at.y_m, label=gettext("Damage %(number)s") % {"number": later.number})
        )
    seen = window(planform, [(at.x_m, at.y_m) for at in places])
    return _svg(planform, footprints, pins, seen, title, unique, "close-up", 0.06)


def middle_of(planform: Planform, footprint: Footprint) -> Point:
    """The point of the drawing that shows a footprint's middle."""
    if footprint.layer == "fitting":
        site = plan.site_of(planform, footprint.region)
        return site.middle if site else Point(0.0, 0.0)
    if footprint.shape == "tube" or footprint.shape == "ring":
        return _middle_of_pieces(planform, footprint)
    return drawn(planform, footprint.middle)


def _middle_of_pieces(planform: Planform, footprint: Footprint) -> Point:
    found = plan.pieces(planform, footprint)
    if not found:
        return Point(0.0, 0.0)
    corners = found[0].corners
    xs, ys = [at.u_m for at in corners], [at.v_m for at in corners]
    return Point((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)


def _svg(
    planform: Planform,
    footprints: Sequence[Footprint],
    pins: Sequence[Pin],
    seen: View,
    title: str,
    unique: str,
    detail: str,
    tag_share: float,
) -> SafeString:
    laid = group("footprints", (_footprint(planform, each, n, seen) for n, each in enumerate(footprints)))
    grown = tags.GROWN if detail == "full" and len(pins) <= tags.ROOMY else 1.0
    body = cloth(planform, unique, fine=detail == "paper") + laid + tags.draw(pins, seen, tag_share, grown)
    return mark_safe(  # noqa: S308 - made of figures, and of words that `element` and `escape` make safe
        element(
            "svg",
            element("title", escape(title), id=f"{unique}-title") + body,
            xmlns="http://www.w3.org/2000/svg",
            class_=f"diagram is-{detail} has-footprints",
            id=unique,
            viewBox=seen.box,
            role="group" if pins else "img",
            aria_labelledby=f"{unique}-title",
            stroke_linejoin="round",
            font_family=FONT,
        )
    )


@lru_cache(maxsize=MOST_KEPT)
def _footprint(planform: Planform, footprint: Footprint, order: int, seen: View) -> str:
    parts = (
        part
        for piece in sorted(plan.pieces(planform, footprint), key=lambda piece: not piece.hidden)
        for part in _piece(piece, order, seen, footprint.shape == "tube")
    )
    edge = _edge_on(plan.rim(planform, footprint, EDGE_ON_PENS * seen.pen_m, RIM_PENS * seen.pen_m), seen)
    return group(f"footprint is-{footprint.layer}", (*parts, edge), pointer_events="none")


def _edge_on(rim: Sequence[At], seen: View) -> str:
    """A bar beside the tube along what faces forwards or backwards, which from above is next to nothing."""
    if not rim:
        return ""
    line = polyline(Point(*at) for at in rim)
    look = {"fill": "none", "stroke": INK, "stroke_linecap": "round"}
    return element("path", class_="footprint-edge-on", d=line, stroke_width=3.4 * seen.pen_m, **look)


def _piece(piece: plan.Piece, order: int, seen: View, film: bool) -> Iterator[str]:
    pen = seen.pen_m
    outline = polyline((Point(*at) for at in piece.corners), closed=True)
    if not film and not piece.hidden:
        tone = {"fill": "#8f9894", "fill_opacity": "0.3", "stroke": "none"}
        yield element("path", class_="footprint-tone", d=outline, **tone)
    spacing = SPACING_PENS * pen * (2.5 if film else 1.6 if piece.hidden else 1.0)
    lean = hatch.LEANS[order % len(hatch.LEANS)]
    lines = hatch.in_polygon(Polygon(_without_doubles(piece.corners)), spacing, lean)
    path = "".join(polyline((Point(*first), Point(*last))) for first, last in lines)
    if path:
        look = {"fill": "none", "stroke": "#2f3d43"}
        yield element("path", class_="footprint-hatch", d=path, stroke_width=0.9 * pen, **look)
    dashed = piece.hidden or film
    dash = f"{4 * pen:.4f} {3 * pen:.4f}" if dashed else None
    yield element(
        "path",
        class_="footprint-outline is-beneath" if dashed else "footprint-outline",
        d=outline,
        fill="none",
        stroke=INK,
        stroke_width=1.9 * pen,
        stroke_dasharray=dash,
    )


def _without_doubles(corners: Sequence[At]) -> tuple[At, ...]:
    """Corners each once: a side of no length has no direction to be cut by."""
    kept = [at for n, at in enumerate(corners) if n == 0 or at != corners[n - 1]]
    return tuple(kept)
