"""Quantities of materials as people read them: {% load stock %}."""

from decimal import Decimal

from django import template

from shoprepair.work.stock.quantities import say_figure, say_quantity

register = template.Library()


@register.filter
def in_unit(quantity: Decimal | None, unit: str) -> str:
    """A quantity with its unit: "0.35 m²", "3 pieces"; a dash where there is none."""
    return "–" if quantity is None else say_quantity(quantity, unit)


@register.filter
def figure(quantity: Decimal) -> str:
    """The bare figure, without idle noughts."""
    return say_figure(quantity)
