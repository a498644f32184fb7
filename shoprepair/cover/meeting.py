"""How a later damage meets, borders on or misses the footprint of a repair, on the planform of that day."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from shoprepair.cover import lying, plan, seams
from shoprepair.cover.damage_view import DamageView
from shoprepair.cover.flat import ENDLESS_M, At, Box, Polygon
from shoprepair.cover.footprints import Footprint
from shoprepair.cover.layouts import nearest_site
from shoprepair.cover.lying import Lie
from shoprepair.cover.reach import placed, strokes
from shoprepair.cover.unrolled import Spot, seen_from, surface_of
from shoprepair.gear.planform import Planform
from shoprepair.mechanics.description import Element

Relation = Literal["meets", "borders", "misses"]
BORDERS_M = 0.030
"""Beyond the outline: as far as a patch overlaps what it mends, so far its edge still stiffens the cloth
beside it [common practice, no source]."""
FITTINGS = (Element.HANDLE, Element.BRIDLE_POINT, Element.VALVE, Element.HOSE)


@dataclass(frozen=True, kw_only=True, slots=True)
class Meeting:
    """Where a damage lies against one footprint. Lengths in m."""

    relation: Relation
    distance_m: float
    """From the outline to the nearest of the damage; 0 where it reaches in."""
    depth_m: float = 0.0
    """How far inside the outline its deepest point lies; 0 where it stays out."""
    share_inside: float = 0.0
    """How much of its length lies inside."""
    row: int | None = None
    """The row of stitches that it runs along, from 0 at the edge."""
    rows_crossed: int = 0
    face_unknown: bool = False
    """On the other side of the tube it would lie otherwise, and nobody said on which it lies."""
    farthest_m: float | None = None
    """The distance from there."""
    mirror_distance_m: float | None = None
    """From the same place on the other side; None where there is none, or it lies on another part."""
    seam: str = ""
    """The maker's own seam nearest to it, in words."""
    seam_m: float | None = None
    """How far that seam is."""
    same_surface: bool = True
    without_edge: bool = False
    """The repair is a whole fitting, or all of a tube's film: inside it no place is nearer to an edge."""


def meet(planform: Planform, footprint: Footprint, damage: DamageView) -> Meeting:
    """How a damage lies against a footprint; `planform` is that of the footprint's own record.

    Exact but for what nobody said: of two places, or two ways to run, that which comes nearest counts, and
    where the two places differ the meeting says so.
    """
    lies = [_best(each) for each in _lies(planform, footprint, damage)]
    near, far = min(lies, key=_nearness), max(lies, key=_nearness)
    same = _same_surface(planform, footprint, damage)
    relation = _relation(near.distance_m, same)
    seam = seams.nearest(planform, placed(planform, damage)[0])
    return Meeting(
        relation=relation,
        distance_m=near.distance_m,
        depth_m=near.depth_m if same else 0.0,
        share_inside=near.share_inside if same else 0.0,
        row=near.row if same else None,
        rows_crossed=near.rows_crossed if same else 0,
        face_unknown=_relation(far.distance_m, same) != relation,
        farthest_m=far.distance_m if len(lies) > 1 else None,
        mirror_distance_m=_mirror_distance(planform, footprint, damage),
        seam=seam.name,
        seam_m=seam.distance_m,
        same_surface=same,
        without_edge=same and (footprint.shape == "tube" or footprint.layer == "fitting"),
    )


def _relation(distance_m: float, same: bool) -> Relation:
    """Another part of the gear is never inside, however near it looks from above."""
    if distance_m <= 0 and same:
        return "meets"
    return "borders" if distance_m <= BORDERS_M else "misses"


def _nearness(lie: Lie) -> tuple[float, float, float]:
    return lie.distance_m, -lie.share_inside, -lie.depth_m


def _best(lies: Iterator[Lie]) -> Lie:
    return min(lies, key=_nearness)


def _same_surface(planform: Planform, footprint: Footprint, damage: DamageView) -> bool:
    if footprint.layer != "fitting":
        return damage.place.element not in FITTINGS and _lies_on(planform, footprint, damage)
    site = _site_under(planform, damage)
    return site is not None and site == footprint.region


def _lies_on(planform: Planform, footprint: Footprint, damage: DamageView) -> bool:
    """Whether a damage lies on a footprint's tube; never on the canopy that stands in for a missing strut."""
    on = surface_of(damage.place) == footprint.surface
    return on and placed(planform, damage)[0].surface == footprint.surface


def _site_under(planform: Planform, damage: DamageView) -> str | None:
    """The fitting that a damage lies on, as that planform calls it."""
    if damage.place.element not in FITTINGS:
        return None
    site = nearest_site(planform, placed(planform, damage)[0], (damage.place.element,))
    return site.region if site else None


def _lies(planform: Planform, footprint: Footprint, damage: DamageView) -> Iterator[Iterator[Lie]]:
    """For each place where the damage may lie, how it lies there in each way it may run."""
    if footprint.layer == "fitting" and _site_under(planform, damage) == footprint.region:
        yield iter((lying.WITHIN,))
        return
    found = placed(planform, damage)
    if footprint.layer == "fitting" or not _lies_on(planform, footprint, damage):
        yield _seen_from_above(planform, footprint, damage)
        return
    for spot in _either_side(footprint, found):
        yield _on_cloth(planform, footprint, damage, spot)


def _either_side(footprint: Footprint, found: tuple[Spot, ...]) -> tuple[Spot, ...]:
    """Where nobody said on which side of its tube the repair lies, the damage may lie on either of it."""
    if footprint.face_said or len(found) > 1:
        return found
    return (found[0], replace(found[0], around=-found[0].around))


def _on_cloth(planform: Planform, footprint: Footprint, damage: DamageView, spot: Spot) -> Iterator[Lie]:
    if footprint.shape == "tube":
        yield lying.WITHIN
        return
    if footprint.shape == "region":
        for line in plan.damage_strokes(planform, damage):
            yield lying.in_panel(plan.panel(planform, footprint.region), footprint.rows_in_m, line)
        return
    for line in strokes(planform, damage, spot):
        for at in seen_from(planform, footprint.middle, spot):
            yield lying.in_box(footprint, _box(footprint), line.moved(*at))


def _box(footprint: Footprint) -> Box:
    half = ENDLESS_M if footprint.shape == "ring" else footprint.half_around_m
    return Box(footprint.half_along_m, half, footprint.corner_m)


def _seen_from_above(planform: Planform, footprint: Footprint, damage: DamageView) -> Iterator[Lie]:
    """Against another part of the gear only what the drawing shows can be said: how far off it is."""
    lines = plan.damage_strokes(planform, damage)
    for piece in plan.pieces(planform, footprint) or (_nowhere(),):
        for line in lines:
            yield Lie(distance_m=Polygon(piece.corners).distance(line))


def _nowhere() -> plan.Piece:
    return plan.Piece((At(ENDLESS_M, ENDLESS_M), At(ENDLESS_M, 2 * ENDLESS_M), At(2 * ENDLESS_M, 0.0)), True)


def _mirror_distance(planform: Planform, footprint: Footprint, damage: DamageView) -> float | None:
    """How far a damage lies from the same place on the other side."""
    twin = footprint.middle.mirrored
    if footprint.shape == "tube" or footprint.layer == "fitting" or twin is None:
        return None
    region = footprint.region.replace(f"-{footprint.side}-", f"-{twin.side}-")
    other = replace(footprint, surface=twin.surface, side=twin.side, region=region)
    if not _lies_on(planform, other, damage):
        return None
    return min(_best(each).distance_m for each in _lies(planform, other, damage))


__all__ = ["BORDERS_M", "Meeting", "Relation", "meet"]
