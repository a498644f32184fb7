"""Figures of a pattern, and their changes, in words."""

from decimal import Decimal
from typing import Any

from django.utils.translation import gettext

from shoprepair.office.forms.patterns import LABELS
from shoprepair.office.views.lines import Said, shown
from shoprepair.pricing.money import say as say_money
from shoprepair.shop.languages import in_a_sentence, written
from shoprepair.shop.settings import current
from shoprepair.shop.units import Units, say_length, say_pressure


def say_share(place: float | list[float]) -> str:
    """A place along a tube as percent, or a stretch from one to another."""
    if isinstance(place, list):
        return written(f"{place[0] * 100:g}–{place[1] * 100:g} %")
    return written(f"{place * 100:g} %")


def say_change(units: Units) -> Any:
    """How a change of a pattern reads: lengths and pressures in the reader's units, cloths by name."""

    def say(name: str, before: Any, after: Any) -> list[Said]:
        tube, dot, figure = name.rpartition(".")
        label = f"{tube.capitalize()}, {LABELS.get(figure, figure)}" if dot else LABELS.get(figure, figure)
        if figure == "rated_pressure_typed":
            return []
        return [(label, _value(figure, before, units), _value(figure, after, units))]

    return say


def _value(name: str, value: Any, units: Units) -> str:
    if name == "new_price" and value:
        return say_money(Decimal(str(value)), current().currency)
    if value is None or isinstance(value, str):
        return shown(value)
    if name == "assumed":
        return ", ".join(in_a_sentence(LABELS.get(each, each)) for each in value) or gettext("none")
    if name in {"doublings", "bridle_stations"}:
        return ", ".join(map(say_share, value)) or gettext("none")
    if name == "rated_pressure_pa":
        return say_pressure(value, units)
    if name == "seam_efficiency":
        return say_share(value)
    if name == "area_m2":
        return written(f"{value:g} m²")
    if name.endswith("_m"):
        return say_length(value, units)
    return written(f"{value:g}")
