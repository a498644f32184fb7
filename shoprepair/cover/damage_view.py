"""A damage as covers see it: where it lies in shares of the inflatable, and how far it reaches.

Shares, not metres, so that a place can be laid out on the planform of another day. Only its length is in m.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from shoprepair.gear.curve import centreline
from shoprepair.gear.geometry import ON_THE_TUBE, OffTheDrawing, Spot, resolve
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import shape
from shoprepair.jobs.assessment import place_of
from shoprepair.mechanics.description import Answer, Direction, Element, Face, FindingKind, Place

if TYPE_CHECKING:
    from shoprepair.jobs.models import Damage


@dataclass(frozen=True, kw_only=True, slots=True)
class DamageView:
    """One damage, earlier or later."""

    number: int
    kind: str
    """A FindingKind's value; empty where nobody has said."""
    place: Place
    across: float = 0.0
    """Across its tube as a share of the radius there: toward the trailing edge, on a strut to the right."""
    length_m: float | None = None
    direction: Direction = Direction.UNKNOWN
    angle_deg: float | None = None
    """From along the tube (canopy: from spanwise), with Direction.ANGLE."""
    through_bladder: Answer = Answer.UNKNOWN
    load_ratio: float | None = None
    demand_n_per_m: float | None = None

    @property
    def finding(self) -> FindingKind | None:
        return FindingKind(self.kind) if self.kind else None


def of(damage: "Damage", planform: Planform) -> DamageView:
    """A damage of today; `planform` is that of its pattern."""
    spot = _spot(planform, damage.x_m, damage.y_m)
    demand = (damage.assessment.get("result") or {}).get("demand_n_per_m")
    place = place_of(damage)
    return DamageView(
        number=damage.number,
        kind=damage.kind,
        place=place,
        across=share_across(planform, place, spot.offset_m if spot else 0.0),
        length_m=damage.length_m,
        direction=Direction(damage.direction),
        angle_deg=damage.angle_deg,
        through_bladder=Answer(damage.through_bladder),
        load_ratio=damage.load_ratio,
        demand_n_per_m=None if demand is None else float(demand),
    )


def read(kept: Mapping[str, Any], planform: Planform) -> DamageView:
    """A damage of a cover's record, as a mapping; `planform` is the record's own."""
    place = kept["place"]
    if not isinstance(place, Place):
        place = Place(**{**place, "element": Element(place["element"]), "face": Face(place["face"])})
    ratio, demand = kept.get("load_ratio"), kept.get("demand_n_per_m")
    return DamageView(
        number=kept["number"],
        kind=kept["kind"],
        place=place,
        across=share_across(planform, place, kept["offset_m"]),
        length_m=kept["length_m"],
        direction=Direction(kept["direction"]),
        angle_deg=kept["angle_deg"],
        through_bladder=Answer(kept["through_bladder"]),
        load_ratio=None if ratio is None else float(ratio),
        demand_n_per_m=None if demand is None else float(demand),
    )


def share_across(planform: Planform, place: Place, offset_m: float) -> float:
    """An offset across the tube as a share of its radius there; 0 on cloth that holds no air."""
    radius = radius_at(planform, place)
    return offset_m / radius if radius else 0.0


def radius_at(planform: Planform, place: Place) -> float | None:
    """Radius in m of the tube that a place lies on; None on cloth that holds no air."""
    of = shape(planform)
    if place.strut is not None:
        return of.strut_half_width(place.strut, min(max(place.fraction, 0.0), 1.0))
    if place.element not in ON_THE_TUBE:
        return None
    line = centreline(planform)
    return line.radius(line.t_at_station(place.station))


def _spot(planform: Planform, x_m: float, y_m: float) -> Spot | None:
    """What lies there now; nothing where the pattern has since shrunk away from under the pin."""
    try:
        return resolve(planform, x_m, y_m)
    except OffTheDrawing:
        return None
