"""What a place asks of a repair: tension or force, the cloth there, the size of the damage."""

import math
from dataclasses import dataclass, fields

from django.utils.translation import gettext

from shoprepair.gear.describe import description
from shoprepair.jobs.assessment import place_of, read
from shoprepair.jobs.models import Damage
from shoprepair.mechanics.attachment import share_of_lift
from shoprepair.mechanics.description import (
    SAILCLOTH,
    Cloth,
    Direction,
    Element,
    FindingKind,
    LoadCases,
    Pattern,
)
from shoprepair.mechanics.loads import section

TEAR_WHERE_UNMEASURED_M = 0.6
"""A canopy tear that nobody measured is reckoned as one that wants a new panel."""
RESIDUE_WHERE_UNMEASURED_M = 0.15
BURST_DIAMETERS = 2.0
BURST_SHARE_AROUND = 0.5
"""A burst is reckoned as two diameters long and half way around: nobody measures it at the counter."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """The inputs of a lay-up, in SI."""

    tension_n_per_m: float
    cloth_n_per_m: float
    """Strip strength of one ply of the cloth in its stronger direction: what its seams are measured by."""
    patch_n_per_m: float
    """The same in its weaker direction: what a patch of the same cloth is counted by."""
    stiffness_n_per_m: float
    existing_plies: int
    seam_efficiency: float
    safety_factor: float
    stitch_factor: float
    extent_m: tuple[float, float]
    """Along the tube and around it; on a canopy along the span and along the chord."""
    around_m: float | None = None
    """Once around the tube; None on cloth that holds no air."""
    force_n: float | None = None
    """On the stitching of a handle, bridle point or strut joint."""
    case: str = ""
    assumed: tuple[str, ...] = ()
    """Names of the figures here that were assumed rather than measured."""


def asked(damage: Damage) -> Asked | None:
    """What the damage's place asks, from its stored assessment; None where it was not judged."""
    result = read(damage)
    if result is None:
        return None
    pattern, place, cases = description(damage.job.inflatable.pattern), place_of(damage), cases_of(damage)
    cloth = cloth_at(pattern, place.element)
    on_tube = place.element not in SAILCLOTH
    here = section(pattern, place) if on_tube else None
    radius = here.radius_m if here else None
    return Asked(
        tension_n_per_m=result.demand_n_per_m or 0.0,
        cloth_n_per_m=max(cloth.strength_warp_n_per_m, cloth.strength_weft_n_per_m),
        patch_n_per_m=min(cloth.strength_warp_n_per_m, cloth.strength_weft_n_per_m),
        stiffness_n_per_m=cloth.stiffness_n_per_m,
        existing_plies=here.plies if here else 1,
        seam_efficiency=pattern.seam_efficiency,
        safety_factor=cases.safety_factor,
        stitch_factor=cases.stitch_factor,
        extent_m=extent(damage, radius),
        around_m=2 * math.pi * radius if radius else None,
        force_n=_force(damage, pattern, cases),
        case=result.case,
        assumed=_assumed(damage, pattern, cloth),
    )


def cases_of(damage: Damage) -> LoadCases:
    """The load cases that the stored assessment was made with."""
    kept = damage.assessment["inputs"]["cases"]
    return LoadCases(**{field.name: kept[field.name] for field in fields(LoadCases) if field.name in kept})


def cloth_at(pattern: Pattern, element: Element) -> Cloth:
    """The cloth that is hurt there."""
    if element is Element.WINDOW and pattern.window:
        return pattern.window
    return pattern.canopy if element in SAILCLOTH else pattern.casing


def length_taken(damage: Damage, radius_m: float | None) -> float:
    """The damage's length in m: as measured; else the tube's radius, as the assessment takes it."""
    if damage.length_m is not None:
        return damage.length_m
    if damage.kind == FindingKind.RESIDUE and not damage.under_kind:
        return RESIDUE_WHERE_UNMEASURED_M
    if radius_m is None:
        return TEAR_WHERE_UNMEASURED_M
    return 2 * BURST_DIAMETERS * radius_m if damage.kind == FindingKind.BURST else radius_m


def extent(damage: Damage, radius_m: float | None) -> tuple[float, float]:
    """How far the damage reaches along the tube and around it, m; both ways where nobody said which."""
    length = length_taken(damage, radius_m)
    if damage.kind == FindingKind.BURST and radius_m is not None:
        return length, BURST_SHARE_AROUND * 2 * math.pi * radius_m
    if damage.kind in (FindingKind.SEAM_OPENED, FindingKind.STITCHING):
        return length, 0.0
    if damage.kind not in (FindingKind.CUT, FindingKind.TEAR):
        return length, length
    if damage.direction == Direction.ANGLE and damage.angle_deg is not None:
        angle = math.radians(damage.angle_deg)
        return length * math.cos(angle), length * math.sin(angle)
    return {
        Direction.ALONG.value: (length, 0.0),
        Direction.AROUND.value: (0.0, length),
    }.get(damage.direction, (length, length))


def _force(damage: Damage, pattern: Pattern, cases: LoadCases) -> float | None:
    if damage.kind != FindingKind.STITCHING:
        return None
    try:
        return share_of_lift(pattern, place_of(damage), cases)[0]
    except ValueError:
        return None


def _assumed(damage: Damage, pattern: Pattern, cloth: Cloth) -> tuple[str, ...]:
    names = [] if cloth.measured else ["cloth"]
    names += [gettext("seam efficiency")] if "seam_efficiency" in pattern.assumed else []
    return (*names, *([] if damage.length_m is not None else ["extent"]))
