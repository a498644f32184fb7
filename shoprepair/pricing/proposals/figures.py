"""The arithmetic of a lay-up, figure by figure: formula in words, source, what was assumed."""

import math
from collections.abc import Iterator

from django.utils.translation import gettext

from shoprepair.mechanics.description import Figure, Quantity
from shoprepair.pricing.layup import (
    BETWEEN_ROWS_M,
    CLEAR_M,
    EDGE_M,
    LEAST_OVERLAP_M,
    SEWN_CLOTH_SHARE,
    SUSTAINED_SHARE,
    Layup,
    row_strength,
    rows_seated,
)
from shoprepair.pricing.models import Repair
from shoprepair.pricing.proposals import layups
from shoprepair.pricing.proposals.asked import Asked
from shoprepair.pricing.resewing import BEYOND_M, Seam
from shoprepair.pricing.tape import ADHESIVE_M, SHEAR_MODULUS_PA, SHEAR_STRENGTH_PA, Tape
from shoprepair.shop.languages import filled, gettext_lazy

ASSESSMENT = gettext_lazy("the damage's assessment")
CLOTHS = gettext_lazy("the cloth library")
PATTERN = gettext_lazy("the pattern")
CASES = gettext_lazy("the shop's load cases")
LAYUP = gettext_lazy("the lay-up")
ANSWER = gettext_lazy("what was found")
PRACTICE = gettext_lazy("common practice")
ESTIMATE = gettext_lazy("the trade's seam-strength estimate for lockstitch, ISO 4915 type 301")
LOOPS = gettext_lazy("thread makers' loop strength of 60–65 %, twice")
VOLKERSEN = gettext_lazy("Volkersen 1938, a glued lap in shear")


def figures(repair: Repair) -> tuple[Figure, ...]:
    """Inputs first, then each step, so that a person can follow the lay-up downwards; none without one."""
    layup, asked = layups.read(repair.layup), layups.read_asked(repair.layup)
    if layup is None or asked is None:
        return ()
    if isinstance(layup, Tape):
        return tuple(_of_tape(layup, asked))
    if isinstance(layup, Seam):
        return tuple(_of_seam(layup, asked))
    return tuple(_of_patch(layup, asked))


def _of_patch(layup: Layup, asked: Asked) -> Iterator[Figure]:
    yield from _required(asked)
    yield given(
        gettext("strength of a ply of the patch"), asked.patch_n_per_m, "N/m", CLOTHS, _cloth_assumed(asked)
    )
    yield given(
        gettext("left in cloth that a needle went through"), SEWN_CLOTH_SHARE, "", PRACTICE, assumed=True
    )
    yield given(gettext("plies of the patch"), layup.plies, "", LAYUP)
    plies = SEWN_CLOTH_SHARE * asked.patch_n_per_m * layup.plies
    yield step(gettext("strength of the plies"), plies, "N/m", _PLIES, PRACTICE)
    yield from _stitching(layup, asked)
    yield step(
        gettext("strength of the patch"),
        layup.strength_n_per_m,
        "N/m",
        gettext("the lesser of strength of the plies and strength of the stitching"),
        ESTIMATE,
    )
    yield from _outline(layup, asked)
    yield from _carries("patch", layup.strength_n_per_m, layup.required_n_per_m)


_SEWN_PLY = gettext_lazy("strength of a ply of the patch × left in cloth that a needle went through")
_PLIES = filled(gettext_lazy("%(sewn_ply)s × plies of the patch"), sewn_ply=_SEWN_PLY)
_SEAM_PLIES = filled(gettext_lazy("%(sewn_ply)s × (plies there + tapes under it)"), sewn_ply=_SEWN_PLY)


def _of_seam(layup: Seam, asked: Asked) -> Iterator[Figure]:
    if asked.force_n is not None:
        yield from _force(layup, asked)
    else:
        yield from _required(asked)
    there = 1 if asked.force_n is not None else asked.existing_plies
    yield given(
        gettext("strength of a ply of the patch"), asked.patch_n_per_m, "N/m", CLOTHS, _cloth_assumed(asked)
    )
    yield given(
        gettext("left in cloth that a needle went through"), SEWN_CLOTH_SHARE, "", PRACTICE, assumed=True
    )
    if asked.force_n is not None:
        yield given(gettext("plies there"), there, "", PATTERN)
    yield given(gettext("tapes under it"), layup.tapes, "", LAYUP)
    plies = SEWN_CLOTH_SHARE * asked.patch_n_per_m * (there + layup.tapes)
    yield step(gettext("strength of the plies"), plies, "N/m", _SEAM_PLIES, PRACTICE)
    yield from _stitching(layup, asked)
    yield step(
        gettext("strength of the seam"),
        layup.strength_n_per_m,
        "N/m",
        gettext("the lesser of strength of the plies and strength of the stitching"),
        ESTIMATE,
    )
    if asked.force_n is None:
        yield from _seam_length(layup, asked)
    yield from _carries("seam", layup.strength_n_per_m, layup.required_n_per_m)


def _required(asked: Asked) -> Iterator[Figure]:
    tension, share = asked.safety_factor * asked.tension_n_per_m, asked.seam_efficiency
    own = share * asked.cloth_n_per_m * asked.existing_plies
    yield given(gettext("highest tension there"), asked.tension_n_per_m, "N/m", f"{ASSESSMENT}, {asked.case}")
    yield given(gettext("safety factor"), asked.safety_factor, "", CASES, assumed=True)
    yield step(
        gettext("tension with the safety factor"),
        tension,
        "N/m",
        gettext("highest tension there × safety factor"),
        CASES,
    )
    yield given(gettext("strength of the cloth"), asked.cloth_n_per_m, "N/m", CLOTHS, _cloth_assumed(asked))
    yield given(gettext("plies there"), asked.existing_plies, "", PATTERN)
    yield given(gettext("seam efficiency"), share, "", PATTERN, "seam efficiency" in asked.assumed)
    formula = gettext("strength of the cloth × plies there × seam efficiency")
    yield step(gettext("strength of its own seams"), own, "N/m", formula, PATTERN)
    both = gettext("the greater of tension with the safety factor and strength of its own seams")
    yield step(gettext("required strength"), max(tension, own), "N/m", both, PRACTICE)


def _stitching(layup: Layup | Seam, asked: Asked) -> Iterator[Figure]:
    row = row_strength(layup.pitch_m, layup.thread, asked.stitch_factor)
    yield given("rows", layup.rows, "", LAYUP)
    yield given(
        gettext("stitches per metre"),
        1 / layup.pitch_m,
        "1/m",
        gettext("%(LAYUP)s, pitch %(value)s mm") % {"LAYUP": LAYUP, "value": f"{layup.pitch_m * 1000:g}"},
    )
    yield given(gettext("thread strength"), layup.thread.strength_n, "N", layup.thread.name, assumed=True)
    yield given(gettext("seam factor"), asked.stitch_factor, "", LOOPS, assumed=True)
    formula = gettext("stitches per metre × thread strength × seam factor")
    yield step(gettext("strength of one row"), row, "N/m", formula, ESTIMATE)
    seated = _seated(layup, asked)
    if seated < layup.rows:
        yield given(gettext("rows that find their place"), seated, "", LAYUP)
        yield step(
            gettext("strength of the stitching"),
            seated * row,
            "N/m",
            gettext("strength of one row × rows that find their place"),
            ESTIMATE,
        )
        return
    yield step(
        gettext("strength of the stitching"),
        layup.rows * row,
        "N/m",
        gettext("strength of one row × rows"),
        ESTIMATE,
    )


def _seated(layup: Layup | Seam, asked: Asked) -> int:
    if isinstance(layup, Seam):
        return layup.rows
    return min(layup.rows, rows_seated(layups.beyond_the_damage(layup, asked)))


def _outline(layup: Layup, asked: Asked) -> Iterator[Figure]:
    yield given(gettext("clear of the damage"), CLEAR_M, "m", PRACTICE, assumed=True)
    yield given(gettext("between rows"), BETWEEN_ROWS_M, "m", PRACTICE, assumed=True)
    yield given(gettext("to the edge"), EDGE_M, "m", PRACTICE, assumed=True)
    least = gettext("at least %(value)s mm") % {"value": f"{LEAST_OVERLAP_M * 1000:.0f}"}
    formula = gettext("clear of the damage + between rows × (rows − 1) + to the edge, %(least)s") % {
        "least": least
    }
    yield step("overlap", layup.overlap_m, "m", formula, PRACTICE)
    guessed = "extent" in asked.assumed
    ways = (
        (gettext("along the tube"), gettext("around it"))
        if asked.around_m
        else (gettext("along the span"), gettext("from front to back"))
    )
    for way, extent in zip(ways, asked.extent_m, strict=True):
        yield given(gettext("damage %(way)s") % {"way": way}, extent, "m", ANSWER, assumed=guessed)
    up = gettext("2 × overlap, rounded up to 5 mm")
    once = gettext(", at most once around the tube") if asked.around_m else ""
    yield step(
        gettext("patch %(ways)s") % {"ways": ways[0]},
        layup.outline_m[0],
        "m",
        gettext("damage %(ways)s + %(up)s") % {"ways": ways[0], "up": up},
        LAYUP,
    )
    yield step(
        gettext("patch %(ways)s") % {"ways": ways[1]},
        layup.outline_m[1],
        "m",
        gettext("damage %(ways)s + %(up)s%(once)s") % {"ways": ways[1], "up": up, "once": once},
        LAYUP,
    )


def _seam_length(layup: Seam, asked: Asked) -> Iterator[Figure]:
    guessed = "extent" in asked.assumed
    yield given("opened", max(asked.extent_m), "m", ANSWER, assumed=guessed)
    yield given(gettext("into sound stitches"), BEYOND_M, "m", PRACTICE, assumed=True)
    formula = gettext("opened + 2 × into sound stitches, rounded up to 5 mm")
    yield step(gettext("length sewn"), layup.length_m, "m", formula, PRACTICE)


def _force(layup: Seam, asked: Asked) -> Iterator[Figure]:
    force = asked.force_n or 0.0
    yield given(gettext("force on the stitching"), force, "N", ASSESSMENT, assumed=True)
    yield given(gettext("safety factor"), asked.safety_factor, "", CASES, assumed=True)
    yield given(gettext("length sewn"), layup.length_m, "m", LAYUP)
    formula = gettext("force on the stitching × safety factor ÷ length sewn")
    yield step(gettext("required strength"), layup.required_n_per_m, "N/m", formula, PRACTICE)


def _of_tape(layup: Tape, asked: Asked) -> Iterator[Figure]:
    yield given(gettext("highest tension there"), asked.tension_n_per_m, "N/m", f"{ASSESSMENT}, {asked.case}")
    stiff = gettext("stiffness of the cloth and of the tape")
    yield given(stiff, layup.stiffness_n_per_m, "N/m", CLOTHS, _cloth_assumed(asked))
    yield given("overlap", layup.overlap_m, "m", PRACTICE, assumed=True)
    yield given(gettext("shear strength of the adhesive"), SHEAR_STRENGTH_PA, "Pa", PRACTICE, assumed=True)
    yield given(gettext("shear modulus of the adhesive"), SHEAR_MODULUS_PA, "Pa", PRACTICE, assumed=True)
    yield given(gettext("thickness of the adhesive"), ADHESIVE_M, "m", PRACTICE, assumed=True)
    yield given("faces", layup.faces, "", LAYUP)
    yield given(gettext("share that lasts for hours"), SUSTAINED_SHARE, "", PRACTICE, assumed=True)
    decay = math.sqrt(2 * SHEAR_MODULUS_PA / (ADHESIVE_M * layup.stiffness_n_per_m))
    formula = gettext("√(2 × shear modulus of the adhesive ÷ (thickness of the adhesive × %(stiff)s))") % {
        "stiff": stiff
    }
    yield step(gettext("fading of the shear"), decay, "1/m", formula, VOLKERSEN)
    lap = gettext(
        "2 × shear strength of the adhesive ÷ fading of the shear × tanh(fading of the shear × overlap ÷ 2)"
    )
    formula = gettext("%(lap)s × faces × share that lasts for hours") % {"lap": lap}
    yield step(gettext("strength of the tape"), layup.strength_n_per_m, "N/m", formula, VOLKERSEN)
    yield from _carries("tape", layup.strength_n_per_m, layup.required_n_per_m)


def _carries(what: str, strength: float, required: float) -> Iterator[Figure]:
    if required > 0:
        asked = gettext("highest tension there") if what == "tape" else gettext("required strength")
        formula = gettext("strength of the %(what)s ÷ %(asked)s") % {"what": what, "asked": asked}
        yield step(gettext("strength over what is asked"), strength / required, "", formula, LAYUP)


def given(name: str, value: float, unit: str, source: str, assumed: bool = False) -> Figure:
    """An input."""
    return Figure(name=name, quantity=Quantity(value, unit), formula="", source=source, assumed=assumed)


def step(name: str, value: float, unit: str, formula: str, source: str) -> Figure:
    """A computed figure; its formula names figures that stand before it."""
    return Figure(name=name, quantity=Quantity(value, unit), formula=formula, source=source)


def _cloth_assumed(asked: Asked) -> bool:
    return "cloth" in asked.assumed
