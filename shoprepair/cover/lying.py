"""How one stroke lies in one outline: how deep, how much of it, along which row, across how many."""

from dataclasses import dataclass

from shoprepair.cover.flat import Box, Polygon, Stroke
from shoprepair.cover.footprints import Footprint

ON_THE_ROW_M = 0.005
"""So near to a row of stitches a damage runs along it: the needle's holes and what a pin can tell
[common practice, no source]."""
ALONG_A_ROW = 0.5
"""Share of a damage that must lie so near."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Lie:
    """Lengths in m."""

    distance_m: float
    depth_m: float = 0.0
    share_inside: float = 0.0
    row: int | None = None
    rows_crossed: int = 0


WITHIN = Lie(distance_m=0.0, share_inside=1.0)
"""Inside what has no edge to be near to, such as all of a tube's film."""


def in_box(footprint: Footprint, box: Box, stroke: Stroke) -> Lie:
    """How a stroke lies in a patch, ring or seam."""
    distance = box.distance(stroke)
    if distance > ON_THE_ROW_M:
        # Most footprints of a much mended wing are far off, and nothing more is to be known of them.
        return Lie(distance_m=distance)
    return Lie(
        distance_m=distance,
        depth_m=box.depth(stroke),
        share_inside=box.share(stroke),
        row=_row(footprint, box, stroke),
        rows_crossed=sum(_crosses(footprint, box, row, stroke) for row in footprint.rows_in_m),
    )


def in_panel(panel: Polygon, rows_in_m: tuple[float, ...], stroke: Stroke) -> Lie:
    """How a stroke lies in a whole panel, sewn in all round."""
    inside = [-panel.beyond(stroke.at(share)) for share in (0.0, 0.5, 1.0)]
    row = (n for n, at in enumerate(rows_in_m) if all(abs(deep - at) <= ON_THE_ROW_M for deep in inside))
    return Lie(
        distance_m=panel.distance(stroke),
        depth_m=panel.depth(stroke),
        share_inside=panel.share(stroke),
        row=next(row, None),
    )


def _row(footprint: Footprint, box: Box, stroke: Stroke) -> int | None:
    """The row of stitches beside which most of a stroke runs."""
    line = Stroke(stroke.a, stroke.b)
    beside = [_beside(footprint, box, row, line) for row in footprint.rows_in_m]
    most = max(beside, default=0.0)
    return beside.index(most) if most >= ALONG_A_ROW else None


def _beside(footprint: Footprint, box: Box, row: float, line: Stroke) -> float:
    """How much of a line lies beside a row: within the row let out a little, and not within it taken in."""
    if footprint.shape == "seam":
        strip, moved = _strip(footprint, row, line)
        return strip.share(moved)
    outer, inner = box.grown(ON_THE_ROW_M - row), box.grown(-ON_THE_ROW_M - row)
    return (outer.share(line) if outer else 0.0) - (inner.share(line) if inner else 0.0)


def _strip(footprint: Footprint, row: float, line: Stroke) -> tuple[Box, Stroke]:
    """The ground beside one row of a seam, and a line about its middle."""
    if footprint.runs_along:
        moved = line.moved(0.0, footprint.half_around_m - row)
        return Box(footprint.half_along_m, ON_THE_ROW_M), moved
    moved = line.moved(footprint.half_along_m - row, 0.0)
    return Box(ON_THE_ROW_M, footprint.half_around_m), moved


def _crosses(footprint: Footprint, box: Box, row: float, stroke: Stroke) -> bool:
    """Whether a stroke's line runs through a row of stitches."""
    line = Stroke(stroke.a, stroke.b)
    if footprint.shape == "seam":
        strip, moved = _strip(footprint, row, line)
        half_u, half_v = (0.0 if half == ON_THE_ROW_M else half for half in (strip.half_u_m, strip.half_v_m))
        return line.length_m > 0 and Box(half_u, half_v).clip(moved) is not None
    within = box.grown(-row)
    return within is not None and line.length_m > 0 and 0 < within.share(line) < 1
