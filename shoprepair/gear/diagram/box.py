"""A box on the sheet, of a tag or of words: what it overlaps, what it holds, where a thread is tied to it."""

from collections.abc import Iterable
from dataclasses import dataclass

from shoprepair.gear.curve import Point

CORNER = 0.28
"""How far from a corner a thread is tied, in heights of the box."""


@dataclass(frozen=True, slots=True)
class Box:
    left: float
    top: float
    right: float
    bottom: float

    def overlaps(self, other: "Box") -> bool:
        return self.on_any([other])

    def on_any(self, others: Iterable["Box"]) -> bool:
        left, top, right, bottom = self.left, self.top, self.right, self.bottom
        for other in others:
            if left < other.right and other.left < right and top < other.bottom and other.top < bottom:
                return True
        return False

    def holds(self, x: float, y: float) -> bool:
        return self.left < x < self.right and self.top < y < self.bottom

    def holds_any(self, points: Iterable[Point]) -> bool:
        left, top, right, bottom = self.left, self.top, self.right, self.bottom
        return any(left < x < right and top < y < bottom for x, y in points)

    def grown(self, by: float) -> "Box":
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)

    @property
    def middle(self) -> Point:
        return Point((self.left + self.right) / 2, (self.top + self.bottom) / 2)

    def eye(self, knot: Point) -> Point:
        """Where the thread is tied: on the edge that faces the knot, clear of the corners."""
        corner = CORNER * (self.bottom - self.top)
        if self.left <= knot.x_m <= self.right:
            x = min(max(knot.x_m, self.left + corner), self.right - corner)
            return Point(x, self.top if knot.y_m < self.top else self.bottom)
        x = self.left if knot.x_m < self.left else self.right
        return Point(x, min(max(knot.y_m, self.top + corner), self.bottom - corner))

    def about(self, still: Point, share: float) -> "Box":
        """The same smaller, with one of its points where it was."""
        x, y = still
        return Box(
            x + share * (self.left - x),
            y + share * (self.top - y),
            x + share * (self.right - x),
            y + share * (self.bottom - y),
        )
