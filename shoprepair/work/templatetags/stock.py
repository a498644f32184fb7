"""Quantities of materials as people read them: {% load stock %}."""

from decimal import Decimal

from django import template

from shoprepair.work.stock.quantities import say_figure, say_level, say_quantity

register = template.Library()


@register.filter
def in_unit(quantity: Decimal | None, unit: str) -> str:
    """A quantity with its unit: "0.35 m²", "3 pieces"; a dash where there is none."""
    return "–" if quantity is None else say_quantity(quantity, unit)


@register.filter
def figure(quantity: Decimal) -> str:
    """The bare figure, without idle noughts."""
    return say_figure(quantity)


@register.filter
def on_shelf(quantity: Decimal | None, unit: str) -> str:
    """{{ level.free|on_shelf:unit }}: what there is of it, as a shelf is read."""
    return "–" if quantity is None else say_level(quantity, unit)
