"""Figures of a lay-up that a person changes: what can be, and how strong the result is there."""

from dataclasses import replace
from typing import Any

from django.utils.translation import gettext

from shoprepair.pricing.layup import THREADS, Layup, Thread, outline, overlap
from shoprepair.pricing.proposals import layups
from shoprepair.pricing.proposals.asked import Asked
from shoprepair.pricing.proposals.layups import AnyLayup
from shoprepair.pricing.resewing import Seam
from shoprepair.pricing.tape import Tape
from shoprepair.shop.units import Units, say_length

MOST_PLIES = 6
MOST_ROWS = 8
PITCHES_M = (0.001, 0.006)
LONGEST_OUTLINE_M = 4.0


def edited(before: AnyLayup, demand: Asked, figures: dict[str, Any]) -> AnyLayup:
    """A lay-up with some of its figures changed, reckoned anew; ValueError for figures that cannot be."""
    _check(figures)
    if isinstance(before, Tape):
        return layups.against(_changed_tape(before, demand, figures), demand)
    figures.pop("tapes" if isinstance(before, Layup) else "outline_m", None)
    if isinstance(before, Seam):
        sewn = {name: figures[name] for name in ("rows", "pitch_m", "thread", "tapes") if name in figures}
        return layups.against(replace(before, **sewn), demand)
    changed = replace(before, **figures)
    changed = replace(changed, overlap_m=overlap(changed.rows))
    if "outline_m" not in figures:
        changed = replace(changed, outline_m=_wide_enough(changed, demand))
    _check_patch(changed, demand)
    return layups.against(changed, demand)


def _changed_tape(before: Tape, demand: Asked, figures: dict[str, Any]) -> Tape:
    faces = (figures.get("plies_inside", min(1, before.faces - 1)), figures.get("plies_outside", 1))
    if not set(faces) <= {0, 1} or not any(faces):
        raise ValueError(gettext("Tape goes on one face or on both."))
    changed = replace(before, faces=sum(faces), outline_m=figures.get("outline_m", before.outline_m))
    beyond = layups.beyond_the_damage(changed, demand)
    if beyond <= 0:
        raise ValueError(
            gettext("The tape must be larger than the tear, at least %(demand)s.")
            % {"demand": _least(demand, before.overlap_m)}
        )
    same = changed.outline_m == before.outline_m
    return changed if same else replace(changed, overlap_m=beyond)


def _wide_enough(changed: Layup, demand: Asked) -> tuple[float, float]:
    """The outline as it was, grown where more rows need more overlap."""
    from_rows = _outline(demand, changed.overlap_m)
    return (
        max(changed.outline_m[0], from_rows[0]),
        max(changed.outline_m[1], from_rows[1]),
    )


def _outline(demand: Asked, overlap_m: float) -> tuple[float, float]:
    """The least outline over the damage with an overlap, m."""
    return outline(demand.extent_m, overlap_m, demand.around_m or float("inf"))


def _check(figures: dict[str, Any]) -> None:
    for name in ("plies_inside", "plies_outside", "tapes"):
        if not 0 <= figures.get(name, 0) <= MOST_PLIES:
            raise ValueError(
                gettext("Plies on one side lie between 0 and %(MOST_PLIES)s.") % {"MOST_PLIES": MOST_PLIES}
            )
    if not 1 <= figures.get("rows", 1) <= MOST_ROWS:
        raise ValueError(
            gettext("Rows of stitches lie between 1 and %(MOST_ROWS)s.") % {"MOST_ROWS": MOST_ROWS}
        )
    if not PITCHES_M[0] <= figures.get("pitch_m", PITCHES_M[0]) <= PITCHES_M[1]:
        raise ValueError(gettext("The stitch pitch lies between 1 and 6 mm."))
    if not all(0 < side <= LONGEST_OUTLINE_M for side in figures.get("outline_m", ())):
        raise ValueError(
            gettext("The sides of a patch lie between nothing and %(LONGEST_OUTLINE_M)s m.")
            % {"LONGEST_OUTLINE_M": f"{LONGEST_OUTLINE_M:.0f}"}
        )


def _check_patch(changed: Layup, demand: Asked) -> None:
    if changed.plies < 1:
        raise ValueError(gettext("A patch has at least one ply, inside or outside."))
    if layups.beyond_the_damage(changed, demand) < changed.overlap_m - 1e-6:
        least = _least(demand, changed.overlap_m)
        raise ValueError(
            gettext("%(rows)s rows over this damage need a patch of at least %(least)s.")
            % {"rows": changed.rows, "least": least}
        )
    if demand.around_m and changed.outline_m[1] > demand.around_m + 0.005:
        once = say_length(demand.around_m, Units())
        raise ValueError(
            gettext("The tube is only %(once)s around here: no patch can be wider than that.")
            % {"once": once}
        )


def _least(demand: Asked, overlap_m: float) -> str:
    along, around = (say_length(side, Units()) for side in _outline(demand, overlap_m))
    return gettext("%(along)s by %(around)s") % {"along": along, "around": around}


def thread_named(thread: Thread | str | None) -> Thread | None:
    """A thread by its name; ValueError for one that nobody sews with."""
    if thread is None or isinstance(thread, Thread):
        return thread
    if thread not in THREADS:
        raise ValueError(gettext("Choose one of these threads: %(join)s.") % {"join": ", ".join(THREADS)})
    return THREADS[thread]
