"""The tubes of an inflatable laid straight: where a damage lies on them and what no opening may cross."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.translation import gettext

from shoprepair.gear.curve import Centreline, centreline
from shoprepair.gear.planform import SIDES, Fitting, Planform, StrutFigures
from shoprepair.gear.shape import POINTED_SHARE, shape
from shoprepair.gear.sites import strut_near
from shoprepair.gear.words import strut_name, valve_name
from shoprepair.jobs.models import Damage
from shoprepair.mechanics.description import SAILCLOTH

LEADING_EDGE = "leading-edge"
VALVE_ROOM_M = 0.05
"""Closing seam that stays shut on either side of a valve's middle [common practice, no source]."""
JOINT_ROOM_M = 0.02
"""And beyond the flank of a strut where it meets the leading edge [common practice, no source]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A valve, hose or strut joint on a tube: what it is, where its middle lies, half its length, m."""

    kind: str
    """joint, inflation, dump, hose or end."""
    name: str
    at_m: float
    half_m: float

    @property
    def span_m(self) -> tuple[float, float]:
        return self.at_m - self.half_m, self.at_m + self.half_m


@dataclass(frozen=True, slots=True, kw_only=True)
class TubeLine:
    """One tube laid straight: a leading edge from its left tip to its right, a strut from front to back."""

    key: str
    label: str
    length_m: float
    radii_m: tuple[tuple[float, float], ...]
    """(place along it, radius), between which it tapers evenly."""
    marks: tuple[Mark, ...]

    @property
    def forbidden(self) -> tuple[tuple[float, float], ...]:
        """Stretches that no opening may overlap."""
        return tuple(mark.span_m for mark in self.marks)

    def radius(self, at_m: float) -> float:
        """Radius in m at a place along it."""
        for (low, before), (high, after) in zip(self.radii_m, self.radii_m[1:], strict=False):
            if low <= at_m <= high and high > low:
                return before + (at_m - low) / (high - low) * (after - before)
        return self.radii_m[-1][1]


def key_of(damage: Damage) -> str | None:
    """Which tube a damage lies on; None on cloth that holds no air."""
    if damage.element in SAILCLOTH:
        return None
    return LEADING_EDGE if damage.strut is None else f"strut-{damage.side}-{damage.strut}"


def place_of(damage: Damage, drawn: Planform) -> float:
    """Where along its tube a damage lies, m from the left tip or from the leading edge."""
    if damage.strut is not None:
        front, back = shape(drawn).strut_ends(damage.strut)
        return min(max(damage.fraction, 0.0), 1.0) * (back - front)
    line = centreline(drawn)
    arc = line.arc(line.t_at_station(damage.station))
    return line.length_m + (-arc if damage.side == "left" else arc)


def tube(drawn: Planform, key: str) -> TubeLine:
    """A tube by its key."""
    if key == LEADING_EDGE:
        return _leading_edge(drawn)
    _, side, index = key.split("-")
    return _strut(drawn, int(index), side)


def _leading_edge(drawn: Planform) -> TubeLine:
    line = centreline(drawn)
    half = line.length_m
    tip, root = drawn.leading_edge.radius(1.0), drawn.leading_edge.radius(0.0)
    return TubeLine(
        key=LEADING_EDGE,
        label=gettext("leading edge"),
        length_m=2 * half,
        radii_m=((0.0, tip), (half, root), (2 * half, tip)),
        marks=tuple(sorted((*_joints(drawn, line), *_valves(drawn, line)), key=lambda mark: mark.at_m)),
    )


def _joints(drawn: Planform, line: Centreline) -> Iterator[Mark]:
    for index, strut in enumerate(drawn.struts):
        for side in ("centre",) if strut.is_centre else SIDES:
            arc = line.arc(line.t_at_station(strut.station))
            yield Mark(
                kind="joint",
                name=strut_name(drawn, index, side),
                at_m=line.length_m + (-arc if side == "left" else arc),
                half_m=strut.tube.radius(0.0) + JOINT_ROOM_M,
            )


def _valves(drawn: Planform, line: Centreline) -> Iterator[Mark]:
    for fitting in drawn.fittings:
        if fitting.strut_share is None:
            arc = math.copysign(line.arc(line.t_at_station(abs(fitting.station))), fitting.station)
            yield _valve(fitting, line.length_m + arc)


def _valve(fitting: Fitting, at_m: float) -> Mark:
    name = gettext("strut hose") if fitting.kind == "hose" else valve_name(fitting.kind)
    return Mark(kind=fitting.kind, name=name, at_m=at_m, half_m=VALVE_ROOM_M)


def _strut(drawn: Planform, index: int, side: str) -> TubeLine:
    strut = drawn.struts[index]
    front, back = shape(drawn).strut_ends(index)
    length = back - front
    return TubeLine(
        key=f"strut-{side}-{index}",
        label=strut_name(drawn, index, side),
        length_m=length,
        radii_m=((0.0, strut.tube.radius(0.0)), (length, strut.tube.radius(1.0))),
        marks=(*_strut_ends(length), *_strut_valves(drawn, strut, index, side, length)),
    )


def _strut_ends(length_m: float) -> Iterator[Mark]:
    yield Mark(kind="joint", name="leading edge", at_m=0.0, half_m=2 * JOINT_ROOM_M)
    pointed = (1 - POINTED_SHARE) * length_m
    yield Mark(kind="end", name="pointed end", at_m=length_m - pointed / 2, half_m=pointed / 2)


def _strut_valves(
    drawn: Planform, strut: StrutFigures, index: int, side: str, length_m: float
) -> Iterator[Mark]:
    for fitting in drawn.fittings:
        if fitting.strut_share is None or strut_near(drawn, fitting.station) != index:
            continue
        if strut.is_centre or (fitting.station < 0) == (side == "left"):
            yield _valve(fitting, fitting.strut_share * length_m)
