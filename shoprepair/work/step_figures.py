"""The figures that a step needs at the table: the lay-up of its repair, or where its opening lies."""

from collections.abc import Iterator
from math import isclose
from typing import Any

from shoprepair.mechanics.description import Figure, Quantity
from shoprepair.mechanics.words import gettext_noop
from shoprepair.pricing.layup import Layup, Thread
from shoprepair.pricing.proposals import layup_of
from shoprepair.pricing.proposals.figures import LAYUP, given
from shoprepair.pricing.resewing import Seam
from shoprepair.pricing.tape import Tape
from shoprepair.work.models import Step

OPENINGS = gettext_noop("the plan of the openings")
THREAD = gettext_noop("thread")
TABLES = gettext_noop("needle tables of thread makers, from memory")
NEEDLES_NM = {"Tex 70 bonded polyester": 100, "Tex 90 bonded polyester": 110, "Tex 135 bonded polyester": 140}
"""Needle for a thread, metric size: hundredths of a mm of its blade [from memory of common tables]."""


def figures(step: Step) -> tuple[Figure, ...]:
    """Plies, outline, rows, pitch, thread and needle of the step's repair; an opening's length and ends."""
    if step.repair is not None:
        layup = layup_of(step.repair)
        if isinstance(layup, Layup):
            return tuple(_of_patch(layup))
        if isinstance(layup, Seam):
            return tuple(_of_seam(layup))
        return tuple(_of_tape(layup)) if isinstance(layup, Tape) else ()
    return tuple(_of_opening(step.opening)) if "words" in step.opening else ()


def needle(thread: Thread) -> Figure | None:
    """The needle for a thread; None for one that the table does not know."""
    size = NEEDLES_NM.get(thread.name)
    if size is None:
        return None
    return Figure(
        name=gettext_noop("needle"), quantity=Quantity(size, "Nm"), formula="", source=TABLES, assumed=True
    )


def _of_patch(layup: Layup) -> Iterator[Figure]:
    yield given(gettext_noop("plies inside"), layup.plies_inside, "", LAYUP)
    yield given(gettext_noop("plies outside"), layup.plies_outside, "", LAYUP)
    yield from _rows(layup.rows, layup.pitch_m)
    yield given(gettext_noop("patch along"), layup.outline_m[0], "m", LAYUP)
    yield given(gettext_noop("patch around"), layup.outline_m[1], "m", LAYUP)
    yield given(gettext_noop("overlap"), layup.overlap_m, "m", LAYUP)
    yield given(gettext_noop("corner radius"), layup.corner_m, "m", LAYUP)
    yield from _threaded(layup.thread)


def _of_seam(layup: Seam) -> Iterator[Figure]:
    yield given(gettext_noop("length sewn"), layup.length_m, "m", LAYUP)
    if layup.tapes:
        yield given(gettext_noop("tapes under it"), layup.tapes, "", LAYUP)
    yield from _rows(layup.rows, layup.pitch_m)
    yield from _threaded(layup.thread)


def _of_tape(layup: Tape) -> Iterator[Figure]:
    yield given(gettext_noop("faces"), layup.faces, "", LAYUP)
    yield given(gettext_noop("overlap"), layup.overlap_m, "m", LAYUP)


def _of_opening(opening: dict[str, Any]) -> Iterator[Figure]:
    """Its length and ends, each named by where a tape measures it from."""
    measured = {name: Quantity(**value) for name, value in opening["words"]["values"].items()}
    start, end = _ends(
        str(opening.get("tube", "")), *(measured[key].value for key in ("length", "from", "to"))
    )
    for name, key in ((gettext_noop("length"), "length"), (start, "from"), (end, "to")):
        yield Figure(name=name, quantity=measured[key], formula="", source=OPENINGS)


def _ends(tube: str, length: float, start: float, end: float) -> tuple[str, str]:
    """How the ends are named: by the tube, and on the leading edge by what the figures say of the side."""
    if tube.startswith("strut"):
        return gettext_noop("from, behind the leading edge"), gettext_noop("to, behind the leading edge")
    if isclose(start - end, length, abs_tol=_SAME_M):
        return gettext_noop("from, left of the centre"), gettext_noop("to, left of the centre")
    if isclose(end - start, length, abs_tol=_SAME_M):
        return gettext_noop("from, right of the centre"), gettext_noop("to, right of the centre")
    return gettext_noop("from, left of the centre"), gettext_noop("to, right of the centre")


_SAME_M = 1e-6


def _rows(rows: int, pitch_m: float) -> Iterator[Figure]:
    yield given(gettext_noop("rows"), rows, "", LAYUP)
    yield given(gettext_noop("stitch length"), pitch_m, "m", LAYUP)


def _threaded(thread: Thread) -> Iterator[Figure]:
    yield given(f"{THREAD}: {thread.name}", thread.strength_n, "N", LAYUP, assumed=True)
    if (size := needle(thread)) is not None:
        yield size
