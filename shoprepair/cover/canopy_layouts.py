"""What a repair lays on the canopy: whole panels and windows, and new hems."""

from shoprepair.cover.laid import Asked, Laid
from shoprepair.cover.unrolled import drawn
from shoprepair.gear.geometry import row_at
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import shape
from shoprepair.pricing.layup import BETWEEN_ROWS_M, EDGE_M, LEAST_OVERLAP_M
from shoprepair.pricing.proposals.measures import HEM_PATCH_M, SEAM_ROWS

HEM_BEYOND_M = 0.1
"""How far a new hem reaches beyond the damage at either end [as pricing measures it]."""


def panel(asked: Asked) -> Laid:
    """All of the panel under the pin, or of its clear window."""
    of, at = shape(asked.planform), drawn(asked.planform, asked.spot)
    x, side = abs(at.x_m), "left" if at.x_m < 0 else "right"
    cell, row = of.cell_at(x), row_at(asked.planform, min(max(asked.spot.around, 0.0), 1.0))
    pane = asked.operation.startswith("window") and (cell, row) in asked.planform.windows
    low, high = of.pane(cell, row).xs_m if pane else of.cells()[cell]
    shares = of.pane(cell, row).fractions if pane else _row_shares(asked.planform, row)
    middle = (low + high) / 2
    deep = (shares[1] - shares[0]) * (of.trailing_y(middle) - of.chord_y(middle, 0.0))
    return Laid(
        layer="canopy",
        shape="region",
        half_along_m=(high - low) / 2,
        half_around_m=deep / 2,
        rows_in_m=tuple(EDGE_M + row * BETWEEN_ROWS_M for row in range(SEAM_ROWS)),
        region=f"{'window' if pane else 'panel'}-{side}-{cell}-{row}",
        along=middle / asked.planform.half_span_m,
        around=sum(shares) / 2,
    )


def _row_shares(planform: Planform, row: int) -> tuple[float, float]:
    shares = (0.0, *planform.canopy_seams, 1.0)
    return shares[row], shares[row + 1]


def hem(asked: Asked) -> Laid:
    """A strip of new cloth along the trailing edge, as deep as the damage runs in."""
    along, around = asked.extent_m
    x = asked.spot.along * asked.planform.half_span_m
    of = shape(asked.planform)
    inner = of.trailing_y(x) - of.chord_y(x, asked.spot.around) + around / 2
    deep = HEM_PATCH_M if inner <= HEM_PATCH_M else inner + LEAST_OVERLAP_M
    middle = of.chord_fraction(x, of.trailing_y(x) - deep / 2)
    return Laid(
        layer="canopy",
        shape="patch",
        half_along_m=(along + 2 * HEM_BEYOND_M) / 2,
        half_around_m=deep / 2,
        rows_in_m=tuple(EDGE_M + row * BETWEEN_ROWS_M for row in range(SEAM_ROWS)),
        around=middle,
    )
