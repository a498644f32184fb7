"""The cloth under the footprints: its edges, the faces of a tube by name, the maker's seams dashed."""

from collections.abc import Iterator
from math import pi

from shoprepair.cover.drawing.sheet import GUTTER, INK, TOP, WORDS, Sheet
from shoprepair.cover.flat import At
from shoprepair.cover.seams import STRUT_CLOSING, joints, segment_shares
from shoprepair.cover.unrolled import BACK, FRONT, LEADING_EDGE, QUARTER, Spot, drawn, metres
from shoprepair.gear.diagram.svg import element, group
from shoprepair.gear.shape import HEM_M, POINTED_SHARE, shape
from shoprepair.shop.languages import gettext_lazy

STEPS = 16
SEAM = {"fill": "none", "stroke": "#6d7a80", "stroke_width": "1.6", "stroke_dasharray": "7 4"}
EDGE = {"fill": "none", "stroke": INK, "stroke_width": "2.4"}
FACES = (
    (gettext_lazy("front"), FRONT),
    (gettext_lazy("top"), pi / 2),
    (gettext_lazy("back"), BACK),
    (gettext_lazy("underside"), -pi / 2),
)
STRUT_FACES = (
    (gettext_lazy("inner side"), FRONT),
    (gettext_lazy("top"), pi / 2),
    (gettext_lazy("outer side"), BACK),
    (gettext_lazy("underside"), -pi / 2),
)
LEAST_NAMED = 24
"""A face shown less tall than this is not named."""


def cloth(sheet: Sheet) -> str:
    """The cloth of the window with all that the maker sewed on it."""
    if sheet.on_canopy:
        return group("unrolled-cloth", _canopy(sheet))
    return group("unrolled-cloth", _tube(sheet))


def faces(sheet: Sheet) -> str:
    """The names of a tube's faces beside the cloth, each with the stretch that it names."""
    if sheet.on_canopy:
        return ""
    names = FACES if sheet.middle.surface == LEADING_EDGE else STRUT_FACES
    return group("unrolled-faces", (_face(name, *ends) for name, ends in _face_stretches(sheet, names)))


def _tube(sheet: Sheet) -> Iterator[str]:
    us = _us(sheet)
    rim = [At(u, side * pi * sheet.radius(u)) for side in (-1, 1) for u in (us if side < 0 else us[::-1])]
    yield element(
        "path", class_="unrolled-ground", d=sheet.path(rim, closed=True), fill="#fcfbf7", stroke="none"
    )
    for angle in (QUARTER, 3 * QUARTER, -QUARTER, -3 * QUARTER):
        for line in _along(sheet, angle):
            look = {"fill": "none", "stroke": "#b9bdb8", "stroke_width": "1.2", "stroke_dasharray": "1.5 4.5"}
            yield element("path", class_="unrolled-face-edge", d=line, **look)
    yield from (element("path", class_="unrolled-seam", d=line, **SEAM) for line in _tube_seams(sheet))
    yield from (element("path", class_="unrolled-edge", d=line, **EDGE) for line in _tube_ends(sheet, us))
    rims = (sheet.path([At(u, side * pi * sheet.radius(u)) for u in us]) for side in (-1, 1))
    cut = {"fill": "none", "stroke": "#6d7a80", "stroke_width": "1.4", "stroke_dasharray": "11 4 2 4"}
    yield from (element("path", class_="unrolled-cut", d=rim, **cut) for rim in rims)


def _us(sheet: Sheet) -> list[float]:
    """Even steps along the tube within the window."""
    first, last = sheet.ends
    low, high = max(sheet.low.u_m, first), min(sheet.high.u_m, last)
    return [low + (high - low) * step / STEPS for step in range(STEPS + 1)]


def _along(sheet: Sheet, angle: float) -> Iterator[str]:
    """The lines at an angle of the tube that the window shows."""
    for line in zip(*(tuple(sheet.at_angle(angle, u)) for u in _us(sheet)), strict=True):
        inside = any(sheet.low.v_m < at.v_m < sheet.high.v_m for at in line)
        if inside and all(abs(at.v_m) <= pi * sheet.radius(at.u_m) + 1e-6 for at in line):
            yield sheet.path(line)


def _tube_seams(sheet: Sheet) -> Iterator[str]:
    here = metres(sheet.planform, sheet.middle).u_m
    first, last = sheet.ends
    if sheet.middle.surface == LEADING_EDGE:
        half = last + here
        ats = {share * half * side - here for share in segment_shares(sheet.planform) for side in (-1, 1)}
        yield from _along(sheet, BACK)
        yield from (_joint(sheet, joint, radius) for _, joint, radius in joints(sheet.planform))
    else:
        ats = {POINTED_SHARE * (last - first) + first}
        yield from _along(sheet, STRUT_CLOSING)
        yield from _along(sheet, -STRUT_CLOSING)
    for u in sorted(ats):
        if sheet.low.u_m < u < sheet.high.u_m:
            reach = pi * sheet.radius(u)
            yield sheet.path((At(u, -reach), At(u, reach)))


def _joint(sheet: Sheet, joint: Spot, radius: float) -> str:
    """Where a strut is sewn to the back of the leading edge: its round mouth."""
    at = sheet.spot(joint)
    (left, y), (right, _) = sheet.point(At(at.u_m - radius, at.v_m)), sheet.point(At(at.u_m + radius, at.v_m))
    r = f"{(right - left) / 2:.1f}"
    return f"M{left:.1f} {y:.1f}A{r} {r} 0 1 1 {right:.1f} {y:.1f}A{r} {r} 0 1 1 {left:.1f} {y:.1f}"


def _tube_ends(sheet: Sheet, us: list[float]) -> Iterator[str]:
    for end in sheet.ends:
        if sheet.low.u_m < end < sheet.high.u_m and us:
            reach = pi * sheet.radius(end)
            yield sheet.path((At(end, -reach), At(end, reach)))


def _canopy(sheet: Sheet) -> Iterator[str]:
    """The canopy as drawn from above: from the tube's rear edge to the trailing edge."""
    of, middle = shape(sheet.planform), drawn(sheet.planform, sheet.middle)
    span = of.reach.x_m
    low, high = max(sheet.low.u_m + middle.x_m, -span), min(sheet.high.u_m + middle.x_m, span)
    xs = [low + (high - low) * step / (2 * STEPS) for step in range(2 * STEPS + 1)]

    def line(y: "list[float]") -> list[At]:
        return [At(x - middle.x_m, each - middle.y_m) for x, each in zip(xs, y, strict=True)]

    rear = line([of.rear_y(abs(x)) for x in xs])
    trailing = line([of.trailing_y(abs(x)) for x in xs])
    ground = sheet.path((*rear, *reversed(trailing)), closed=True)
    yield element("path", class_="unrolled-ground", d=ground, fill="#fcfbf7", stroke="none")
    for share in sheet.planform.canopy_seams:
        seam = line([max(of.chord_y(x, share), of.rear_y(abs(x))) for x in map(abs, xs)])
        yield element("path", class_="unrolled-seam", d=sheet.path(seam), **SEAM)
    hem = line([of.trailing_y(abs(x)) - HEM_M for x in xs])
    yield element("path", class_="unrolled-seam", d=sheet.path(hem), **SEAM)
    yield from _struts(sheet)
    yield element("path", class_="unrolled-edge", d=sheet.path(trailing), **EDGE)
    yield element("path", class_="unrolled-edge", d=sheet.path(rear), **EDGE)


def _struts(sheet: Sheet) -> Iterator[str]:
    of, middle = shape(sheet.planform), drawn(sheet.planform, sheet.middle)
    for index, strut in enumerate(sheet.planform.struts):
        for side in (1,) if strut.is_centre else (-1, 1):
            front, back = of.strut_ends(index)
            x = side * of.strut_x(index)
            ends = [(share, front + share * (back - front)) for share in (0.0, POINTED_SHARE, 1.0)]
            flanks = [
                At(x + out * of.strut_half_width(index, share) - middle.x_m, y - middle.y_m)
                for out, run in ((-1, ends), (1, ends[::-1]))
                for share, y in run
            ]
            if any(sheet.low.u_m <= at.u_m <= sheet.high.u_m for at in flanks):
                look = {"fill": "#f0ece0", "stroke": INK, "stroke_width": "1.8"}
                yield element("path", class_="unrolled-strut", d=sheet.path(flanks, closed=True), **look)


def _face_stretches(
    sheet: Sheet, names: tuple[tuple[str, float], ...]
) -> Iterator[tuple[str, tuple[float, float]]]:
    """Between which heights of the sheet each face is seen, beside the left edge."""
    u = _us(sheet)[0]
    reach = pi * sheet.radius(u)
    for name, angle in names:
        for middle in sheet.at_angle(angle, u):
            half = QUARTER * sheet.radius(u)
            low = max(middle.v_m - half, -reach, sheet.low.v_m)
            high = min(middle.v_m + half, reach, sheet.high.v_m)
            top, foot = sorted((sheet.y(low), sheet.y(high)))
            if high > low and foot - top >= LEAST_NAMED:
                yield name, (top, foot)


def _face(name: str, top: float, foot: float) -> str:
    x = GUTTER - 8
    bracket = element(
        "path",
        class_="unrolled-bracket",
        d=f"M{x} {max(top + 3, TOP):.1f}V{foot - 3:.1f}",
        fill="none",
        stroke="#6d7a80",
        stroke_width=2,
    )
    words = element(
        "text",
        name,
        class_="unrolled-words is-soft",
        x=x - 7,
        y=(top + foot) / 2 + 0.35 * WORDS,
        text_anchor="end",
        font_size=WORDS,
    )
    return bracket + words
