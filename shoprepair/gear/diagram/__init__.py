"""The zone diagram: one drawing, computed from a pattern's own figures, for screens, lists and papers."""

from shoprepair.gear.diagram.close_up import close_up
from shoprepair.gear.diagram.glyph import glyph, glyph_base
from shoprepair.gear.diagram.legend import load_legend
from shoprepair.gear.diagram.loads import STEPS, load_map, step
from shoprepair.gear.diagram.pins import Pin
from shoprepair.gear.diagram.plan import Measures, measures
from shoprepair.gear.diagram.regions import Region, regions
from shoprepair.gear.diagram.sheet import draw, pins_alone

__all__ = [
    "STEPS",
    "Measures",
    "Pin",
    "Region",
    "close_up",
    "draw",
    "glyph",
    "glyph_base",
    "load_legend",
    "load_map",
    "measures",
    "pins_alone",
    "regions",
    "step",
]
