"""The stretch of a tube about a damage, rolled out flat: where each face lies, and the damage on each face.

Seen from outside, as the drawing shows the tube from above: a leading edge is opened between underside and
front, so that from the top down come front, top, back and underside. A strut lies with its mouth at the left
and is opened between underside and flank. Lengths along and around are those at the damage; the taper within
the stretch is left out. The four faces are four equal bands.
"""

from dataclasses import dataclass
from math import acos, pi

from shoprepair.gear.curve import centreline
from shoprepair.gear.geometry import ON_THE_TUBE, OffTheDrawing, resolve
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import shape
from shoprepair.mechanics.description import Face, Place

EDGE_FACES = ("front", "top", "back", "underside")
BANDS = 4
ROOM = 1.3
"""A stretch is at least this often as long as its damage, and as once around the tube."""
WIDEST = 2.0
"""But never longer than this often around: its bands would be too low for a finger."""
RIM = 0.12
"""So far from a band's edge, as a share of its height, a damage stays that is said to be on it."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Stretch:
    """What is seen of a tube. Along it in m: from the centre to the right, or from a strut's mouth."""

    strut: int | None
    side: str
    at_m: float
    """Along the tube, where the damage is."""
    across: float
    """Of its pin over the radius: toward the trailing edge, on a strut outwards."""
    radius_m: float
    low_m: float
    high_m: float
    flipped: bool
    """Whether the way around runs upwards: on struts whose outer side is drawn on the right."""

    @property
    def wide_m(self) -> float:
        return self.high_m - self.low_m

    @property
    def girth_m(self) -> float:
        return 2 * pi * self.radius_m

    @property
    def faces(self) -> tuple[str, ...]:
        """The bands from the top down. Of a strut's flanks none has a face's name: 'inner' and 'outer'."""
        if self.strut is None:
            return EDGE_FACES
        return (
            ("outer", "top", "inner", "underside") if self.flipped else ("inner", "top", "outer", "underside")
        )

    @property
    def said(self) -> tuple[str, ...]:
        """The bands that answer where around the tube a damage is, from the top down."""
        return tuple(name for name in self.faces if name in EDGE_FACES)

    def share(self, angle: float) -> float:
        """How far down the sheet an angle lies, from 0 to 1."""
        turned = 5 * pi / 4 - angle if self.flipped else angle + pi / 4
        return turned % (2 * pi) / (2 * pi)

    def lies(self, face: str) -> float:
        """How far down the sheet this damage lies when it is on that face: always within its band."""
        band = self.faces.index(face)
        share = self.share(_angle(self.across, face))
        return min(max(share, (band + RIM) / BANDS), (band + 1 - RIM) / BANDS)


def _angle(across: float, face: str) -> float:
    """In rad, 0 at the front or a strut's inner side, the top positive.

    The drawing shows top and underside over each other: a point of it is one above and one beneath.
    """
    above = acos(min(max(-across, -1.0), 1.0))
    flanks = {"front": 0.0, "inner": 0.0, "back": pi, "outer": pi}
    if face in flanks:
        middle = flanks[face]
        return above if abs(above - middle) <= pi / 4 else middle
    return above if face == Face.TOP else -above


def stretch(
    planform: Planform, place: Place, x_m: float, y_m: float, length_m: float | None
) -> Stretch | None:
    """The stretch of tube about a damage of this place; None where it lies on no tube."""
    if place.strut is not None and place.strut < len(planform.struts):
        at_m, radius, end = _on_strut(planform, place)
        first, outward = 0.0, -1 if place.side == "left" else 1
    elif place.strut is None and place.element in ON_THE_TUBE:
        at_m, radius, end = _on_edge(planform, place)
        first, outward = -end, 1
    else:
        return None
    wide = min(ROOM * max(length_m or 0.0, 2 * pi * radius), WIDEST * 2 * pi * radius, end - first)
    low = min(max(at_m - wide / 2, first), end - wide)
    return Stretch(
        strut=place.strut,
        side=place.side,
        at_m=at_m,
        across=outward * _offset(planform, x_m, y_m) / radius,
        radius_m=radius,
        low_m=low,
        high_m=low + wide,
        flipped=place.strut is not None and place.side != "left",
    )


def _on_edge(planform: Planform, place: Place) -> tuple[float, float, float]:
    """Where along a leading edge, its radius there, and how long one half of it is."""
    line = centreline(planform)
    t = line.t_at_station(place.station)
    along = line.arc(t)
    return -along if place.side == "left" else along, line.radius(t), line.length_m


def _on_strut(planform: Planform, place: Place) -> tuple[float, float, float]:
    of, index = shape(planform), place.strut or 0
    front, back = of.strut_ends(index)
    share = min(max(place.fraction, 0.0), 1.0)
    return share * (back - front), of.strut_half_width(index, share), back - front


def _offset(planform: Planform, x_m: float, y_m: float) -> float:
    """Across the tube; in its middle where the pin lies on no part of this planform any more."""
    try:
        return resolve(planform, x_m, y_m).offset_m
    except OffTheDrawing:
        return 0.0


def seams_m(planform: Planform, seen: Stretch) -> list[float]:
    """Where, within the stretch, segments of a leading edge are sewn together."""
    if seen.strut is not None:
        return []
    length, count = centreline(planform).length_m, planform.segments
    all_of_them = (length * n / count for n in range(1 - count, count))
    return [at for at in all_of_them if seen.low_m < at < seen.high_m]


def doublings_m(planform: Planform, seen: Stretch) -> list[tuple[float, float]]:
    """The stretches of two plies that are seen, from low to high."""
    if seen.strut is not None:
        front, back = shape(planform).strut_ends(seen.strut)
        shares = planform.struts[seen.strut].tube.doublings
        whole = [(low * (back - front), high * (back - front)) for low, high in shares]
    else:
        line = centreline(planform)
        right = [
            (line.arc(line.t_at_station(low)), line.arc(line.t_at_station(high)))
            for low, high in planform.leading_edge.doublings
        ]
        whole = _joined([*right, *((-high, -low) for low, high in right)])
    cut = ((max(low, seen.low_m), min(high, seen.high_m)) for low, high in whole)
    return sorted((low, high) for low, high in cut if low < high)


def _joined(stretches: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """The same from low to high; what meets at the centre is one."""
    joined: list[tuple[float, float]] = []
    for low, high in sorted(stretches):
        if joined and low <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(high, joined[-1][1]))
        else:
            joined.append((low, high))
    return joined


def mouths_m(planform: Planform, seen: Stretch) -> list[tuple[float, float]]:
    """Where struts grow out of the back of a leading edge: along it, and the radius of each, in m."""
    if seen.strut is not None:
        return []
    line, of = centreline(planform), shape(planform)
    found = []
    for index, strut in enumerate(planform.struts):
        along, radius = line.arc(line.t_at_station(strut.station)), of.strut_half_width(index, 0.0)
        found += [(sign * along, radius) for sign in ((1,) if strut.is_centre else (-1, 1))]
    return [(at, radius) for at, radius in found if seen.low_m - radius < at < seen.high_m + radius]


def closing_shares(seen: Stretch) -> list[float]:
    """How far down the sheet the closing seam lies; a strut's shows above and beneath, as it is drawn."""
    return [seen.share(pi)] if seen.strut is None else [seen.share(acos(0.5)), seen.share(-acos(0.5))]
