"""When a material counts as low, and how much is ordered then: the shop's rule for each."""

from decimal import Decimal
from typing import Any

from django.db import transaction

from shoprepair.pricing.models import Material
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext
from shoprepair.work.models import StockRule
from shoprepair.work.stock.quantities import MOST, say_quantity
from shoprepair.work.stock.refusals import StockRefused

FIELDS = ("low_at", "order_up_to", "supplier", "shelf_months")
MOST_MONTHS = 240


def shelf_of(material: Material) -> str:
    """What the journal calls a material's shelf: what happens there is no change of its price or name."""
    return f"shelf:{material.pk}"


def rule_of(material: Material) -> StockRule:
    """The material's rule; one that asks for nothing, not stored yet, where it has none."""
    return StockRule.objects.filter(material=material).first() or StockRule(material=material)


def change_rule(
    material: Material,
    *,
    low_at: Decimal,
    order_up_to: Decimal,
    supplier: str,
    shelf_months: int | None,
    who: Staff,
) -> StockRule:
    """Write a material's rule, quantities in its unit; lots that are there keep their dates.

    Raises StockRefused with a sentence.
    """
    values: dict[str, Any] = {
        "low_at": low_at,
        "order_up_to": order_up_to,
        "supplier": " ".join(supplier.split())[:120],
        "shelf_months": shelf_months or None,
    }
    _check(low_at, order_up_to, shelf_months)
    with transaction.atomic():
        Material.objects.select_for_update().get(pk=material.pk)
        rule = rule_of(material)
        before = {name: getattr(rule, name) for name in FIELDS}
        for name, value in values.items():
            setattr(rule, name, value)
        if changes := journal.differences(before, values):
            rule.save()
            journal.record(shelf_of(material), "stock.rule", _told(rule, material), who=who, changes=changes)
    return rule


def _told(rule: StockRule, material: Material) -> str:
    low, wanted = (say_quantity(each, material.unit) for each in (rule.low_at, rule.order_up_to))
    whom = gettext(" from %(supplier)s") % {"supplier": rule.supplier} if rule.supplier else ""
    keeps = (
        gettext(" It keeps for %(shelf_months)s months.") % {"shelf_months": rule.shelf_months}
        if rule.shelf_months
        else ""
    )
    return gettext("Low at %(low)s; ordered up to %(wanted)s%(whom)s.%(keeps)s") % {
        "low": low,
        "wanted": wanted,
        "whom": whom,
        "keeps": keeps,
    }


def _check(low_at: Decimal, order_up_to: Decimal, shelf_months: int | None) -> None:
    if not (0 <= low_at <= MOST and 0 <= order_up_to <= MOST):
        raise StockRefused(gettext("Write quantities from nought to %(MOST)s.") % {"MOST": MOST})
    if order_up_to < low_at:
        raise StockRefused(
            gettext("Order up to at least what counts as low, or it would be low again at once.")
        )
    if shelf_months is not None and not 0 <= shelf_months <= MOST_MONTHS:
        raise StockRefused(
            gettext("Write the months that it keeps, from 1 to %(MOST_MONTHS)s, or leave it empty.")
            % {"MOST_MONTHS": MOST_MONTHS}
        )
