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
        """Where the thread is tied: on the edge, clear of the corners, where that is nearest to the knot."""
        corner, (across, down) = CORNER * (self.bottom - self.top), knot
        x = min(max(across, self.left + corner), self.right - corner)
        y = min(max(down, self.top + corner), self.bottom - corner)
        side = self.left if across - self.left < self.right - across else self.right
        level = self.top if down - self.top < self.bottom - down else self.bottom
        if (x - across) ** 2 + (level - down) ** 2 <= (side - across) ** 2 + (y - down) ** 2:
            return Point(x, level)
        return Point(side, y)

    def about(self, still: Point, share: float) -> "Box":
        """The same smaller, with one of its points where it was."""
        x, y = still
        return Box(
            x + share * (self.left - x),
            y + share * (self.top - y),
            x + share * (self.right - x),
            y + share * (self.bottom - y),
        )
