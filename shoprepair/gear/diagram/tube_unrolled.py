"""A stretch of tube rolled out flat, in millimetres: its cloth and seams, and the damage on it at true scale.

Its colours come from a style sheet of its own; it is for screens alone.
"""

from collections.abc import Iterator

from django.utils.safestring import SafeString, mark_safe

from shoprepair.gear.diagram.svg import element, group, number
from shoprepair.gear.planform import Planform
from shoprepair.gear.unrolling import BANDS, Stretch, closing_shares, doublings_m, mouths_m, seams_m
from shoprepair.mechanics.description import FindingKind

MM = 1000
UNMEASURED_M = 0.03
"""A damage is drawn so long until somebody has measured it; dashed."""
HATCH_MM = 14.0
STITCHED_MM = 4.0
"""Two rows of stitches lie so far to either side of a seam between segments."""
TOOTH_MM = 7.0
SCALE_SHARE = 0.3
"""The scale bar is at most so much of the width."""


def cloth(planform: Planform, seen: Stretch) -> SafeString:
    """The stretch with its bands, seams, doublings and the mouths of struts, as the body of an <svg>."""
    wide, tall = seen.wide_m * MM, seen.girth_m * MM
    parts = [
        element("rect", class_="roll-cloth", width=round(wide, 1), height=round(tall, 1)),
        *_bands(seen, wide, tall),
        *_doubled(planform, seen, tall),
        *_seams(planform, seen, wide, tall),
    ]
    return mark_safe(group("roll-tube", parts))  # noqa: S308 - made of figures alone


def box(seen: Stretch) -> str:
    """The bounds of the sheet, in millimetres."""
    return f"0 0 {number(seen.wide_m * MM, 1)} {number(seen.girth_m * MM, 1)}"


def _bands(seen: Stretch, wide: float, tall: float) -> Iterator[str]:
    for band, name in enumerate(seen.faces):
        look = "roll-band" if name in seen.said else "roll-band is-flank"
        yield element(
            "rect",
            class_=look,
            data_band=name if name in seen.said else None,
            y=round(band * tall / BANDS, 1),
            width=round(wide, 1),
            height=round(tall / BANDS, 1),
        )
    lines = "".join(f"M0 {number(n * tall / BANDS, 1)}H{number(wide, 1)}" for n in range(1, BANDS))
    yield element("path", class_="roll-between", d=lines)


def _doubled(planform: Planform, seen: Stretch, tall: float) -> Iterator[str]:
    for low, high in doublings_m(planform, seen):
        left, right = ((at - seen.low_m) * MM for at in (low, high))
        yield element("path", class_="roll-doubled", d=_hatched(left, right, tall))
        yield element(
            "path",
            class_="roll-doubled-end",
            d="".join(f"M{number(x, 1)} 0V{number(tall, 1)}" for x in (left, right)),
        )


def _hatched(left: float, right: float, tall: float) -> str:
    """Lines that rise to the right, over a rectangle."""
    lines, start = [], left - tall
    while start < right:
        low, high = max(start, left), min(start + tall, right)
        if high - low > 1:
            ends = [(x, tall - (x - start)) for x in (low, high)]
            lines.append("M" + "L".join(f"{number(x, 1)} {number(y, 1)}" for x, y in ends))
        start += HATCH_MM
    return "".join(lines)


def _seams(planform: Planform, seen: Stretch, wide: float, tall: float) -> Iterator[str]:
    for at in seams_m(planform, seen):
        x = (at - seen.low_m) * MM
        rows = "".join(f"M{number(x + off, 1)} 0V{number(tall, 1)}" for off in (-STITCHED_MM, STITCHED_MM))
        yield element("path", class_="roll-seam", d=f"M{number(x, 1)} 0V{number(tall, 1)}")
        yield element("path", class_="roll-stitches", d=rows)
    closing = "".join(f"M0 {number(share * tall, 1)}H{number(wide, 1)}" for share in closing_shares(seen))
    yield element("path", class_="roll-closing", d=closing)
    for at, radius in mouths_m(planform, seen):
        yield element(
            "circle",
            class_="roll-mouth",
            cx=round((at - seen.low_m) * MM, 1),
            cy=round(closing_shares(seen)[0] * tall, 1),
            r=round(radius * MM, 1),
        )


def damage(kind: str, length_m: float | None) -> SafeString:
    """A damage about its own middle, as it runs along the tube; whoever shows it moves and turns it."""
    half = (length_m or UNMEASURED_M) * MM / 2
    parts = _SHAPES.get(FindingKind(kind), _patch)(half)
    look = "roll-damage" if length_m else "roll-damage is-unmeasured"
    return mark_safe(group(look, [parts]))  # noqa: S308 - made of figures alone


def _torn(half: float) -> str:
    """A slit with a ragged edge; its ends are exact."""
    teeth = max(2, round(2 * half / TOOTH_MM))
    sway = min(1.6, half / 4)
    points = [(-half, 0.0)]
    points += [(-half + 2 * half * n / teeth, sway if n % 2 else -sway) for n in range(1, teeth)]
    line = "M" + "L".join(f"{number(x, 1)} {number(y, 1)}" for x, y in [*points, (half, 0.0)])
    return element("path", class_="roll-halo", d=line) + element("path", class_="roll-torn", d=line)


def _round_hole(half: float) -> str:
    return element("circle", class_="roll-hole", r=round(half, 1))


def _open_seam(half: float) -> str:
    """Two lips that gape, with the ends of the threads."""
    gap = min(5.0, half / 3)
    left, right, deep = number(-half, 1), number(half, 1), number(2 * gap, 1)
    lips = f"M{left} 0Q0 -{deep} {right} 0Q0 {deep} {left} 0Z"
    count = max(2, round(2 * half / 12))
    ends = "".join(
        f"M{number(-half + 2 * half * (n + 0.5) / count, 1)} {number(-gap - 4, 1)}v{number(2 * gap + 8, 1)}"
        for n in range(count)
    )
    return element("path", class_="roll-hole", d=lips) + element("path", class_="roll-threads", d=ends)


def _patch(half: float) -> str:
    """What lies on the cloth or has worn it, half as wide as it is long."""
    lines, wide = [], half / 2
    step = max(5.0, half / 6)
    x = -half + step
    while x < half:
        reach = wide * (1 - (x / half) ** 2) ** 0.5
        lines.append(
            f"M{number(x - reach / 3, 1)} {number(reach, 1)}L{number(x + reach / 3, 1)} {number(-reach, 1)}"
        )
        x += step
    return element("ellipse", class_="roll-patch", rx=round(half, 1), ry=round(wide, 1)) + element(
        "path", class_="roll-worn", d="".join(lines)
    )


def _burst(half: float) -> str:
    """A gash that gapes, with torn corners."""
    half = max(half, 60.0)
    points = [(-half, 0), (-half / 2, -12), (-half / 5, -34), (half / 6, -22), (half / 2, -30), (half, 0)]
    points += [(half / 2, 16), (half / 8, 34), (-half / 4, 20), (-half / 2, 26)]
    line = "M" + "L".join(f"{number(x, 1)} {number(y, 1)}" for x, y in points) + "Z"
    return element("path", class_="roll-hole", d=line)


_SHAPES = {
    FindingKind.CUT: _torn,
    FindingKind.TEAR: _torn,
    FindingKind.CRACK: _torn,
    FindingKind.HOLE: _round_hole,
    FindingKind.SEAM_OPENED: _open_seam,
    FindingKind.STITCHING: _open_seam,
    FindingKind.BURST: _burst,
}


def scale_bar(seen: Stretch, steps_m: tuple[float, ...]) -> tuple[SafeString, float]:
    """A bar of the largest of these lengths that fits, in four fields, on a sheet as wide; and its length."""
    room = SCALE_SHARE * seen.wide_m
    length = max((step for step in steps_m if step <= room), default=steps_m[0])
    quarter = length * MM / 4
    tall = seen.wide_m * MM / 60
    fields = [
        element(
            "rect",
            class_="roll-dark" if n % 2 == 0 else "roll-light",
            x=round(n * quarter + tall / 10, 1),
            y=round(0.2 * tall, 1),
            width=round(quarter, 1),
            height=round(tall, 1),
        )
        for n in range(4)
    ]
    sheet = element(
        "svg",
        "".join(fields),
        class_="roll-scale",
        viewBox=f"0 0 {number(seen.wide_m * MM, 1)} {number(1.4 * tall, 1)}",
        aria_hidden="true",
        focusable="false",
    )
    return mark_safe(sheet), length  # noqa: S308 - made of figures alone
