"""A pattern of the library from six figures: drawn while they are typed, kept under a name."""

from dataclasses import dataclass
from typing import Any

from django.db import transaction

from shoprepair.gear import library, measured
from shoprepair.gear.changes import NameTaken, refuse_taken
from shoprepair.gear.models import Pattern
from shoprepair.gear.planform import Planform
from shoprepair.mechanics.description import Kind
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext


@dataclass(frozen=True, slots=True)
class SixFigures:
    """What a tape measure, a look at the valve and a count of the struts tell."""

    support: str
    span_m: float
    diameter_centre_m: float
    diameter_tip_m: float
    rated_pressure_pa: float
    struts: int

    @property
    def kind(self) -> Kind:
        return Kind.KITE if self.support == Pattern.Support.BRIDLED else Kind.WING


def planform(figures: SixFigures) -> Planform:
    """How it would be drawn. Raises ValueError with a sentence where the figures clash."""
    measured.check(
        figures.kind,
        figures.support,
        figures.span_m,
        figures.diameter_centre_m,
        figures.diameter_tip_m,
        figures.rated_pressure_pa,
        figures.struts,
    )
    row = measured.row(
        kind=figures.kind,
        support=figures.support,
        pumping=Pattern.Pumping.LINKED,
        span_m=figures.span_m,
        centre_m=figures.diameter_centre_m,
        tip_m=figures.diameter_tip_m,
        struts=figures.struts,
    )
    return measured.drawn(row)


def add(figures: SixFigures, *, name: str, rated_pressure_typed: str, who: Staff) -> Pattern:
    """Keep it in the library; what was not measured is filled by proportion and marked as assumed.

    Raises NameTaken, and ValueError with a sentence where the figures clash.
    """
    with transaction.atomic():
        refuse_taken(name)
        pattern = library.measured_here(
            **_fields(figures), name=name, rated_pressure_typed=rated_pressure_typed
        )
        pattern.measured_here = False
        pattern.save(update_fields=["measured_here"])
        text = gettext("%(name)s was drawn from six figures.") % {"name": name}
        journal.record(pattern, "pattern.added", text, who=who)
    return pattern


def _fields(figures: SixFigures) -> dict[str, Any]:
    names = ("support", "span_m", "diameter_centre_m", "diameter_tip_m", "rated_pressure_pa", "struts")
    return {name: getattr(figures, name) for name in names} | {"kind": figures.kind}


__all__ = ["NameTaken", "SixFigures", "add", "planform"]
