"""A tag with its thread in one place, and how often it is tangled with others: crossed, run under, hidden."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import hypot, inf

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram.box import Box

KNOT = 0.1
"""Half of the room of a knot, in tag heights."""


@dataclass(frozen=True)
class Spot:
    """A tag's place for the point it belongs to."""

    knot: Point
    box: Box

    @cached_property
    def eye(self) -> Point:
        return self.box.eye(self.knot)

    @cached_property
    def knotted(self) -> Box:
        """The room of the knot, which no other's thread should run over."""
        return Box(*self.knot, *self.knot).grown(KNOT * (self.box.bottom - self.box.top))

    @property
    def width(self) -> float:
        return self.box.right - self.box.left

    @cached_property
    def thread(self) -> float:
        return hypot(self.eye.x_m - self.knot.x_m, self.eye.y_m - self.knot.y_m)


def tangles(spot: Spot, others: Sequence[Spot], most: float = inf) -> int:
    """How many threads it crosses, tags and knots it runs under, threads it hides; counted up to so many."""
    count = 0
    knot, eye, box, knotted = spot.knot, spot.eye, spot.box, spot.knotted
    for other in others:
        count += (
            (knot != other.knot and _cross(knot, eye, other.knot, other.eye))
            + _through(knot, eye, other.box)
            + _through(other.knot, other.eye, box)
        )
        if not knotted.holds(*other.knot):
            count += _through(knot, eye, other.knotted) + _through(other.knot, other.eye, knotted)
        if count >= most:
            break
    return count


def crossed(one: Spot, other: Spot) -> bool:
    """Whether their threads cross; those of the same point never do."""
    return one.knot != other.knot and _cross(one.knot, one.eye, other.knot, other.eye)


def of_two(pair: tuple[Spot, Spot], rest: Sequence[Spot]) -> int:
    """How many tangles two tags are in: with each other and with the rest."""
    return tangles(pair[0], [pair[1]]) + sum(tangles(spot, rest) for spot in pair)


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    return _turn(a, b, c) * _turn(a, b, d) < 0 and _turn(c, d, a) * _turn(c, d, b) < 0


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b.x_m - a.x_m) * (c.y_m - a.y_m) - (b.y_m - a.y_m) * (c.x_m - a.x_m)


def _through(a: Point, b: Point, box: Box) -> bool:
    """Whether a stretch runs through the inside of a box [Liang, Barsky 1984, ACM TOG 3(1) 1]."""
    (x, y), (to_x, to_y) = a, b
    if (x <= box.left and to_x <= box.left) or (x >= box.right and to_x >= box.right):
        return False
    if (y <= box.top and to_y <= box.top) or (y >= box.bottom and to_y >= box.bottom):
        return False
    low, high = 0.0, 1.0
    for start, step, least, most in ((x, to_x - x, box.left, box.right), (y, to_y - y, box.top, box.bottom)):
        if step:
            first, last = (least - start) / step, (most - start) / step
            low, high = max(low, min(first, last)), min(high, max(first, last))
    return low < high
