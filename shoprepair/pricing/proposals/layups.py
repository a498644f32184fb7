"""The lay-up of an operation at a place, and how it is kept with its inputs."""

from collections.abc import Callable
from dataclasses import fields, replace
from typing import Any

from shoprepair.jobs.stored import plain
from shoprepair.mechanics.words import gettext_noop
from shoprepair.pricing import resewing
from shoprepair.pricing.layup import (
    TEX_135,
    THREADS,
    Layup,
    Thread,
    casing_layup,
    patch_strength,
    required_strength,
    rows_seated,
)
from shoprepair.pricing.models import Repair
from shoprepair.pricing.proposals.asked import Asked
from shoprepair.pricing.resewing import Seam
from shoprepair.pricing.tape import Tape, holds, tape

AnyLayup = Layup | Tape | Seam
KINDS: dict[str, type[AnyLayup]] = {"patch": Layup, "tape": Tape, "seam": Seam}
RIPSTOP_TAPE = gettext_noop("ripstop tape")
WINDOW_FILM = gettext_noop("clear film")
HANDLE_LEAST_M = 0.24
BRIDLE_LEAST_M = 0.16
"""Stitching that a whole handle, a whole bridle point has at least [common practice, no source]."""


def proposed(code: str, asked: Asked) -> AnyLayup | None:
    """The lay-up that carries the load there; None for what needs none, such as a new bladder."""
    make = MAKERS.get(code)
    return make(asked) if make else None


def kept(layup: AnyLayup | None, asked: Asked | None) -> dict[str, Any]:
    """A lay-up as JSON with what was asked of it; empty where there is none."""
    if layup is None or asked is None:
        return {}
    kind = next(name for name, of in KINDS.items() if isinstance(layup, of))
    figures = {field.name: plain(getattr(layup, field.name)) for field in fields(layup)}
    return {"kind": kind, **figures, "asked": plain(asked)}


def read(stored: dict[str, Any]) -> AnyLayup | None:
    """The lay-up that was kept."""
    if not stored:
        return None
    of = KINDS[stored["kind"]]
    return of(**_figures(stored, {field.name for field in fields(of)}))


def layup_of(repair: Repair) -> AnyLayup | None:
    """The lay-up of a repair; None for one that needs none, such as a new bladder."""
    return read(repair.layup)


def extent_of(repair: Repair) -> tuple[float, float]:
    """The damage under a repair along the tube and around it, m, as its lay-up was reckoned."""
    demand = read_asked(repair.layup)
    return demand.extent_m if demand else (0.0, 0.0)


def read_asked(stored: dict[str, Any]) -> Asked | None:
    """What was asked of the lay-up that was kept."""
    if "asked" not in stored:
        return None
    return Asked(**_figures(stored["asked"], {field.name for field in fields(Asked)}))


def _figures(stored: dict[str, Any], names: set[str]) -> dict[str, Any]:
    return {name: _figure(name, value) for name, value in stored.items() if name in names}


def _figure(name: str, value: Any) -> Any:
    if name == "thread":
        return THREADS.get(value["name"]) or Thread(**value)
    return tuple(value) if isinstance(value, list) else value


def measured_anew(stored: dict[str, Any], asked: dict[str, Any]) -> dict[str, Any]:
    """A lay-up that somebody changed, against what the place asks now."""
    layup, demand = read(stored), read_asked({"asked": asked})
    return kept(against(layup, demand), demand) if layup and demand else {}


def shortfall(stored: dict[str, Any]) -> float:
    """Share by which the lay-up that was kept is too weak; 0 where there is none."""
    layup = read(stored)
    return layup.shortfall if layup else 0.0


def against(layup: AnyLayup, asked: Asked) -> AnyLayup:
    """The same lay-up with its strength, and what is asked of it, reckoned anew."""
    if isinstance(layup, Layup):
        return _patch_against(layup, asked)
    if isinstance(layup, Seam):
        return _seam_against(layup, asked)
    strength = holds(layup.stiffness_n_per_m, layup.faces, layup.overlap_m)
    return replace(layup, strength_n_per_m=strength, required_n_per_m=asked.tension_n_per_m)


def required(asked: Asked) -> float:
    """Line strength that a sewn repair must have there, N/m."""
    return required_strength(
        asked.tension_n_per_m,
        asked.cloth_n_per_m,
        asked.existing_plies,
        asked.seam_efficiency,
        asked.safety_factor,
    )


def beyond_the_damage(layup: Layup | Tape, asked: Asked) -> float:
    """How far the outline reaches past the damage where it reaches least, m."""
    along = (layup.outline_m[0] - asked.extent_m[0]) / 2
    once_around = asked.around_m is not None and layup.outline_m[1] >= asked.around_m - 1e-9
    return along if once_around else min(along, (layup.outline_m[1] - asked.extent_m[1]) / 2)


def _patch_against(layup: Layup, asked: Asked) -> Layup:
    """Rows that do not fit between the damage and the edge count for nothing."""
    strength = patch_strength(
        cloth_n_per_m=asked.patch_n_per_m,
        plies=layup.plies,
        rows=min(layup.rows, rows_seated(beyond_the_damage(layup, asked))),
        pitch_m=layup.pitch_m,
        thread=layup.thread,
        stitch_factor=asked.stitch_factor,
    )
    return replace(layup, strength_n_per_m=strength, required_n_per_m=required(asked))


def _seam_against(layup: Seam, asked: Asked) -> Seam:
    forced = asked.force_n is not None
    strength = patch_strength(
        cloth_n_per_m=asked.patch_n_per_m,
        plies=1 if forced else asked.existing_plies + layup.tapes,
        rows=layup.rows,
        pitch_m=layup.pitch_m,
        thread=layup.thread,
        stitch_factor=asked.stitch_factor,
    )
    needed = (
        asked.safety_factor * asked.force_n / layup.length_m if asked.force_n is not None else required(asked)
    )
    return replace(layup, strength_n_per_m=strength, required_n_per_m=needed)


def _casing_patch(asked: Asked) -> Layup:
    return _sewn(asked)


def _scuff_ply(asked: Asked) -> Layup:
    return _sewn(asked, least_plies=1, outside_only=True)


def _canopy_patch(asked: Asked) -> Layup:
    return _sewn(asked, least_plies=1)


def _sewn(asked: Asked, *, least_plies: int | None = None, outside_only: bool = False) -> Layup:
    return casing_layup(
        tension_n_per_m=asked.tension_n_per_m,
        cloth_n_per_m=asked.cloth_n_per_m,
        patch_n_per_m=asked.patch_n_per_m,
        extent_m=asked.extent_m,
        existing_plies=asked.existing_plies,
        seam_efficiency=asked.seam_efficiency,
        safety_factor=asked.safety_factor,
        stitch_factor=asked.stitch_factor,
        least_plies=least_plies,
        outside_only=outside_only,
        around_m=asked.around_m or float("inf"),
    )


def _seam(asked: Asked) -> Seam:
    return resewing.seam(
        opened_m=max(asked.extent_m),
        tension_n_per_m=asked.tension_n_per_m,
        cloth_n_per_m=asked.cloth_n_per_m,
        patch_n_per_m=asked.patch_n_per_m,
        existing_plies=asked.existing_plies,
        seam_efficiency=asked.seam_efficiency,
        safety_factor=asked.safety_factor,
        stitch_factor=asked.stitch_factor,
    )


def _fitting(least_m: float) -> Callable[[Asked], Seam | None]:
    def make(asked: Asked) -> Seam | None:
        if asked.force_n is None:
            return None
        return resewing.fitting(
            force_n=asked.force_n,
            cloth_n_per_m=asked.patch_n_per_m,
            least_m=least_m,
            safety_factor=asked.safety_factor,
            stitch_factor=asked.stitch_factor,
            thread=TEX_135,
        )

    return make


def _strut_joint(asked: Asked) -> Seam | None:
    """Stitched once around, and as often as the force needs."""
    return _fitting(round(asked.around_m or 0.0, 3))(asked)


def tape_for(asked: Asked) -> Tape:
    """Ripstop tape over the damage, whether it holds there or not."""
    return _tape_of(RIPSTOP_TAPE)(asked)


def changed(layup: dict[str, Any], proposed: dict[str, Any]) -> bool:
    """Whether a person changed a lay-up from what was proposed."""
    return layup != proposed


def _tape_of(material: str) -> Callable[[Asked], Tape]:
    def make(asked: Asked) -> Tape:
        return tape(
            material=material,
            tension_n_per_m=asked.tension_n_per_m,
            extent_m=asked.extent_m,
            stiffness_n_per_m=asked.stiffness_n_per_m,
        )

    return make


MAKERS: dict[str, Callable[[Asked], AnyLayup | None]] = {
    **dict.fromkeys(
        ("casing-patch-small", "casing-patch", "le-burst-rebuild", "strut-burst-rebuild"), _casing_patch
    ),
    "casing-scuff-ply": _scuff_ply,
    "canopy-patch-sewn": _canopy_patch,
    **dict.fromkeys(
        ("closing-seam-resew", "segment-seam-resew", "canopy-seam-resew", "trailing-edge-resew"), _seam
    ),
    **dict.fromkeys(("handle-resew", "handle-replace"), _fitting(HANDLE_LEAST_M)),
    **dict.fromkeys(("bridle-point-resew", "bridle-point-rebuild"), _fitting(BRIDLE_LEAST_M)),
    **dict.fromkeys(("strut-joint-resew", "strut-end-rebuild"), _strut_joint),
    "canopy-tape": _tape_of(RIPSTOP_TAPE),
    "window-tape": _tape_of(WINDOW_FILM),
}
