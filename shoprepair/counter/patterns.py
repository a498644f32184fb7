"""The library's models as tap targets, each with its drawing."""

from typing import Any

from shoprepair.gear import diagram
from shoprepair.gear.describe import planform
from shoprepair.gear.models import Pattern
from shoprepair.mechanics.description import Kind


def library(first: str = Kind.WING) -> list[dict[str, Any]]:
    """Every model with its glyph: those of the kind `first` in front, small before large.

    What stands for a size where nobody knows the model is none that a person picks.
    """
    patterns = Pattern.objects.filter(measured_here=False, everyday="")
    found = patterns.prefetch_related("tubes", "panels", "valves").order_by("area_m2")
    known = found.select_related("casing", "canopy", "window")
    return [
        {
            "pattern": pattern,
            "glyph": diagram.draw(planform(pattern), detail="glyph", unique=f"p{pattern.pk}"),
        }
        for pattern in sorted(known, key=lambda pattern: pattern.kind != first)
    ]
