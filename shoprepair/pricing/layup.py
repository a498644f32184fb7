"""The patch that gives a damaged casing its whole strength back: plies, outline, overlap, rows."""

import math
from dataclasses import dataclass

from django.utils.translation import gettext

from shoprepair.mechanics.seam import bond_strength, stitched_strength
from shoprepair.mechanics.words import gettext_noop
from shoprepair.shop.languages import gettext_lazy

SEWN_CLOTH_SHARE = 0.85
"""Strength left in patch cloth that a needle went through [assumed]."""
SUSTAINED_SHARE = 0.2
"""Share of a bond's short-term strength that it holds for hours without creeping off [assumed]."""
STITCH_FACTOR = 1.24
"""Seam strength over stitches times thread strength, for continuous-filament polyester: twice the
loop-strength ratio of 60-65 % that thread makers publish."""
CLEAR_M = 0.015
BETWEEN_ROWS_M = 0.006
EDGE_M = 0.005
LEAST_OVERLAP_M = 0.030
LEAST_CORNER_M = 0.020
ROUNDING_M = 0.005


@dataclass(frozen=True, slots=True, kw_only=True)
class Thread:
    name: str
    strength_n: float


TEX_70 = Thread(name=gettext_noop("Tex 70 bonded polyester"), strength_n=48.9)
TEX_90 = Thread(name=gettext_noop("Tex 90 bonded polyester"), strength_n=62.0)
TEX_135 = Thread(name=gettext_noop("Tex 135 bonded polyester"), strength_n=92.5)
THREADS = {thread.name: thread for thread in (TEX_70, TEX_90, TEX_135)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Layup:
    """A sewn casing patch. Lengths in m, line strengths in N/m."""

    plies_inside: int
    plies_outside: int
    outline_m: tuple[float, float]
    """Along the tube, around it."""
    overlap_m: float
    corner_m: float
    rows: int
    pitch_m: float
    thread: Thread
    strength_n_per_m: float
    required_n_per_m: float

    stitch = gettext_lazy("lockstitch, ISO 4915 type 301")

    @property
    def plies(self) -> int:
        return self.plies_inside + self.plies_outside

    @property
    def shortfall(self) -> float:
        """Share by which the patch is too weak for the place; 0 when it carries the load."""
        return max(0.0, 1 - self.strength_n_per_m / self.required_n_per_m)


def required_strength(
    tension_n_per_m: float,
    cloth_n_per_m: float,
    plies: int,
    seam_efficiency: float,
    safety_factor: float = 3.0,
) -> float:
    """Line strength R that a repair must have, N/m: the safety factor over the worst case, and never less
    than the tube's own seams carry."""
    _positive(gettext("cloth strength"), cloth_n_per_m)
    if tension_n_per_m < 0 or plies < 1 or not 0 < seam_efficiency <= 1 or safety_factor < 1:
        raise ValueError(
            gettext("Tension from nought, at least one ply, a seam efficiency up to 1 and a factor from 1.")
        )
    return max(safety_factor * tension_n_per_m, seam_efficiency * cloth_n_per_m * plies)


def patch_strength(
    *,
    cloth_n_per_m: float,
    plies: int,
    rows: int,
    pitch_m: float = 0.003,
    thread: Thread = TEX_90,
    stitch_factor: float = STITCH_FACTOR,
) -> float:
    """What a sewn patch carries, N/m: the weaker of its plies and its rows of lockstitch (ISO 4915, 301)."""
    _positive(gettext("cloth strength"), cloth_n_per_m)
    stitching = rows * row_strength(pitch_m, thread, stitch_factor)
    return min(SEWN_CLOTH_SHARE * cloth_n_per_m * plies, stitching)


def row_strength(
    pitch_m: float = 0.003, thread: Thread = TEX_90, stitch_factor: float = STITCH_FACTOR
) -> float:
    """What one row of lockstitch carries, N/m."""
    _positive(gettext("stitch pitch"), pitch_m)
    return stitched_strength(1 / pitch_m, thread.strength_n, rows=1, factor=stitch_factor)


def overlap(rows: int) -> float:
    """How far a patch reaches beyond the damage to seat its rows, m."""
    return max(LEAST_OVERLAP_M, CLEAR_M + BETWEEN_ROWS_M * (rows - 1) + EDGE_M)


def rows_seated(beyond_m: float) -> int:
    """How many rows find their place on an overlap of this length."""
    if beyond_m < LEAST_OVERLAP_M - 1e-9:
        return 0
    return 1 + math.floor(round((beyond_m - CLEAR_M - EDGE_M) / BETWEEN_ROWS_M, 6))


def casing_layup(
    *,
    tension_n_per_m: float,
    cloth_n_per_m: float,
    extent_m: tuple[float, float],
    existing_plies: int = 1,
    seam_efficiency: float = 0.66,
    safety_factor: float = 3.0,
    pitch_m: float = 0.003,
    thread: Thread = TEX_90,
    patch_n_per_m: float | None = None,
    stitch_factor: float = STITCH_FACTOR,
    least_plies: int | None = None,
    outside_only: bool = False,
    around_m: float = math.inf,
) -> Layup:
    """The sewn patch that restores a cloth at one place.

    tension_n_per_m: the worst case's line tension there, N/m. cloth_n_per_m: strip strength of one ply.
    extent_m: the damage along the tube and around it, m. existing_plies: 2 where the casing is doubled.
    patch_n_per_m: strength of a ply of the patch in its weaker direction; as the cloth's where not given.
    least_plies: where a patch may be thinner than a casing's inside and outside, such as on a canopy.
    outside_only: a ply laid over cloth that is whole. around_m: the tube's circumference, which no patch
    exceeds. Raises ValueError with one sentence where no such patch can be made.
    """
    if min(extent_m) < 0:
        raise ValueError(gettext("A damage cannot be shorter than nought."))
    patch = cloth_n_per_m if patch_n_per_m is None else patch_n_per_m
    _positive(gettext("cloth strength of the patch"), patch)
    required = required_strength(
        tension_n_per_m, cloth_n_per_m, existing_plies, seam_efficiency, safety_factor
    )
    doubled = existing_plies + 1 if existing_plies > 1 else 1
    least = max(2, doubled) if least_plies is None else least_plies
    plies = max(least, math.ceil(required / (SEWN_CLOTH_SHARE * patch)))
    rows = max(2, math.ceil(required / row_strength(pitch_m, thread, stitch_factor)))
    beyond = overlap(rows)
    inside = 0 if outside_only else math.ceil(plies / 2)
    return Layup(
        plies_inside=inside,
        plies_outside=plies - inside,
        outline_m=outline(extent_m, beyond, around_m),
        overlap_m=beyond,
        corner_m=max(LEAST_CORNER_M, beyond / 2),
        rows=rows,
        pitch_m=pitch_m,
        thread=thread,
        strength_n_per_m=patch_strength(
            cloth_n_per_m=patch,
            plies=plies,
            rows=rows,
            pitch_m=pitch_m,
            thread=thread,
            stitch_factor=stitch_factor,
        ),
        required_n_per_m=required,
    )


def outline(
    extent_m: tuple[float, float], beyond_m: float, around_m: float = math.inf
) -> tuple[float, float]:
    """A damage and its overlaps, along and around, m; rounded up to 5 mm, at most once around the tube."""
    along, around = (rounded_up(extent + 2 * beyond_m) for extent in extent_m)
    return along, min(around, around_m)


def bonded_capacity(
    *,
    overlap_m: float,
    cloth_stiffness_n_per_m: float,
    tape_stiffness_n_per_m: float,
    shear_strength_pa: float = 0.5e6,
    shear_modulus_pa: float = 0.5e6,
    adhesive_m: float = 0.0001,
    faces: int = 2,
) -> float:
    """Line tension that adhesive alone holds for hours, N/m (Volkersen lap, a fifth for lasting load)."""
    if faces not in (1, 2):
        raise ValueError(gettext("Tape goes on one face or on both."))
    short_term = bond_strength(
        overlap_m,
        shear_strength_pa,
        shear_modulus_pa,
        adhesive_m,
        cloth_stiffness_n_per_m,
        tape_stiffness_n_per_m,
    )
    return SUSTAINED_SHARE * faces * short_term


def rounded_up(length_m: float) -> float:
    """A length to cut to: the next 5 mm."""
    return round(math.ceil(round(length_m / ROUNDING_M, 6)) * ROUNDING_M, 6)


def _positive(what: str, value: float) -> None:
    if not value > 0:
        raise ValueError(gettext("The %(what)s must be more than nought.") % {"what": what})
