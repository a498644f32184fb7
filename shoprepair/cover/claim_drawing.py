"""The two drawings of a comparison: footprints and damage over each other, and all of it on the whole."""

from django.utils.safestring import SafeString
from django.utils.translation import gettext

from shoprepair.cover import drawing
from shoprepair.cover.comparing import Comparison, Met
from shoprepair.cover.footprints import Footprint
from shoprepair.cover.reach import placed
from shoprepair.cover.unrolled import drawn
from shoprepair.gear.diagram import Pin
from shoprepair.shop.units import Units

NEIGHBOURS = 3
"""So many other footprints beside the one compared with are still told apart."""
NEIGHBOUR_M = 0.12
"""Farther ones would make the drawing small."""


def over_each_other(found: Comparison, chosen: Met, units: Units, title: str) -> SafeString:
    """The chosen footprint rolled out, with its neighbours on the same part and the damage over them."""
    near = [each for each in found.met if each is not chosen and _beside(each, chosen)]
    shown = [chosen, *near[:NEIGHBOURS]]
    return drawing.unrolled(
        chosen.record.planform,
        [each.footprint for each in shown],
        found.later.damage if chosen.meeting.same_surface else None,
        units,
        title,
        labels=[str(each.cover) for each in shown],
        unique="over",
    )


def on_the_whole(found: Comparison, chosen: Met, title: str, *, band: str = "") -> SafeString:
    """Every footprint on the planform of the chosen cover, and where the damage is."""
    planform, later = chosen.record.planform, found.later.damage
    at = drawn(planform, placed(planform, later)[0])
    pin = Pin(
        later.number, at.x_m, at.y_m, band, label=gettext("Damage %(number)s") % {"number": later.number}
    )
    return drawing.on_planform(planform, _footprints(found, chosen), pins=[pin], title=title, unique="whole")


def _footprints(found: Comparison, chosen: Met) -> list[Footprint]:
    return [chosen.footprint, *(each.footprint for each in found.met if each is not chosen)]


def _beside(met: Met, chosen: Met) -> bool:
    same = met.footprint.surface == chosen.footprint.surface
    return same and met.meeting.same_surface and met.meeting.distance_m <= NEIGHBOUR_M
