"""The sheet that a drawing lies on: its bounds in metres and the pen that suits its size."""

from dataclasses import dataclass

from shoprepair.gear.diagram.svg import number
from shoprepair.gear.shape import Shape

SIDE_SHARE = 0.045
HEAD_SHARE = 0.085
FOOT_SHARE = 0.05
"""Room beside, above and below the inflatable for the pins' tags, over the span."""


@dataclass(frozen=True, slots=True)
class View:
    """Bounds of a drawing. One pen is a thousandth of its width: about a pixel on a tablet."""

    x_m: float
    y_m: float
    width_m: float
    height_m: float

    @property
    def pen_m(self) -> float:
        return self.width_m / 1000

    @property
    def box(self) -> str:
        return " ".join(number(v) for v in (self.x_m, self.y_m, self.width_m, self.height_m))

    def holds(self, left: float, top: float, right: float, bottom: float) -> bool:
        """Whether a rectangle lies within the bounds."""
        return (
            self.x_m <= left
            and self.y_m <= top
            and right <= self.x_m + self.width_m
            and bottom <= self.y_m + self.height_m
        )


def view(of: Shape) -> View:
    """The bounds of a drawing, the same with pins and without, so that it never moves under a finger."""
    span = of.planform.span_m
    half = max(of.planform.half_span_m, of.line.beside(1.0, -of.line.radius(1.0)).x_m) + SIDE_SHARE * span
    top = -of.line.radius(0.0) - HEAD_SHARE * span
    lowest = max(of.trailing_y(of.reach.x_m * i / 40) for i in range(41))
    bottom = max(lowest, of.line.at(1.0).y_m + of.line.radius(1.0)) + FOOT_SHARE * span
    return View(round(-half, 3), round(top, 3), round(2 * half, 3), round(bottom - top, 3))
