"""Hatching as plain lines, cut exactly at an outline: paper and grey printers show it as a screen does."""

from collections.abc import Iterator
from math import cos, hypot, radians, sin

from shoprepair.cover.flat import At, Box, Polygon, Stroke

LEANS = (45, -45, 80, 10)
"""Degrees in which one footprint after another is hatched, so that each shows through the others."""


def in_box(box: Box, middle: At, spacing_m: float, lean_deg: float) -> Iterator[tuple[At, At]]:
    """The lines of one hatching inside a box about a middle."""
    for line in _lines(hypot(box.half_u_m, box.half_v_m), At(0.0, 0.0), spacing_m, lean_deg):
        if part := box.clip(line):
            first, last = (line.at(share) for share in part)
            yield (
                At(first.u_m + middle.u_m, first.v_m + middle.v_m),
                At(last.u_m + middle.u_m, last.v_m + middle.v_m),
            )


def in_polygon(polygon: Polygon, spacing_m: float, lean_deg: float) -> Iterator[tuple[At, At]]:
    """The lines of one hatching inside a polygon."""
    us, vs = [at.u_m for at in polygon.corners], [at.v_m for at in polygon.corners]
    middle = At((min(us) + max(us)) / 2, (min(vs) + max(vs)) / 2)
    reach = hypot(max(us) - min(us), max(vs) - min(vs)) / 2
    for line in _lines(reach, middle, spacing_m, lean_deg):
        yield from ((line.at(low), line.at(high)) for low, high in polygon.inside(line))


def _lines(reach: float, middle: At, spacing: float, lean_deg: float) -> Iterator[Stroke]:
    way = At(cos(radians(lean_deg)), -sin(radians(lean_deg)))
    count = int(reach / spacing) + 1
    for step in range(-count, count + 1):
        u, v = middle.u_m - way.v_m * step * spacing, middle.v_m + way.u_m * step * spacing
        yield Stroke(
            At(u - way.u_m * reach, v - way.v_m * reach), At(u + way.u_m * reach, v + way.v_m * reach)
        )
