"""What the shop has of each material, what is promised of it, and what to order."""

import datetime
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from django.utils import timezone

from shoprepair.pricing.models import Material
from shoprepair.work.models import Lot, StockRule
from shoprepair.work.stock.lots import expired
from shoprepair.work.stock.quantities import NOUGHT
from shoprepair.work.stock.reserving import open_needs, still_needed

SOON = datetime.timedelta(days=30)
"""What expires within it is shown as expiring."""
_ORDERED_IN = {"m2": Decimal("0.1"), "m": Decimal("0.1"), "piece": Decimal(1)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """One material's figures, in its own unit."""

    material: Material
    rule: StockRule | None
    on_hand: Decimal
    """Left in lots that may be used today."""
    reserved: Decimal
    """Not taken yet by the repairs that customers agreed to."""
    expiring: Decimal
    """Of what is on hand, in lots that expire within 30 days."""
    expires_on: datetime.date | None
    """The first day on which some of what is on hand expires."""
    expired: Decimal
    """Left in lots whose last day is over, not closed yet."""

    @property
    def free(self) -> Decimal:
        """On hand and promised to nobody; below nought where more is promised than there is."""
        return self.on_hand - self.reserved

    @property
    def short(self) -> bool:
        """Whether agreed work needs more than there is."""
        return self.free < 0

    @property
    def missing(self) -> Decimal:
        """What agreed work needs beyond what there is."""
        return max(-self.free, NOUGHT)

    @property
    def low(self) -> bool:
        """Whether it is time to order: short, or down to where the rule says so."""
        ruled = self.rule is not None and (self.rule.low_at > 0 or self.rule.order_up_to > 0)
        return self.short or (ruled and self.rule is not None and self.free <= self.rule.low_at)

    @property
    def bare(self) -> bool:
        """Whether the shop neither has any of it, nor needs it, nor wants to be told when it is low."""
        return not (self.low or self.rule or self.on_hand or self.reserved or self.expired)

    @property
    def order(self) -> Decimal:
        """What to order: up to the wanted level after what is reserved, in whole tenths or pieces."""
        if not self.low:
            return NOUGHT
        wanted = self.rule.order_up_to if self.rule else NOUGHT
        step = _ORDERED_IN[self.material.unit]
        missing = max(wanted - self.free, NOUGHT)
        return (missing / step).to_integral_value(ROUND_CEILING) * step

    @property
    def pressing(self) -> tuple[bool, bool, bool, str]:
        """Sorts the pressing ones first: short, then low, then with something expired, then by name."""
        return (not self.short, not self.low, not (self.expired or self.expiring), self.material.name)


def levels(materials: Iterable[Material] | None = None) -> list[Level]:
    """Every material in use, or with anything left; in five statements however many lots and uses."""
    chosen = list(Material.objects.all() if materials is None else materials)
    ids = [material.pk for material in chosen]
    rules = {rule.material_id: rule for rule in StockRule.objects.filter(material__in=ids)}
    lots: dict[int, list[Lot]] = defaultdict(list)
    for lot in Lot.objects.filter(material__in=ids, closed=False, left__gt=0):
        lots[lot.material_id].append(lot)
    reserved: dict[int, Decimal] = defaultdict(Decimal)
    for need, rest in still_needed(open_needs().filter(material__in=ids)):
        reserved[need.material_id] += rest
    made = [
        _level(material, rules.get(material.pk), lots[material.pk], reserved[material.pk])
        for material in chosen
    ]
    return sorted(
        (each for each in made if materials is not None or _counts(each)), key=lambda level: level.pressing
    )


def _counts(level: Level) -> bool:
    return bool(level.material.active or level.on_hand or level.expired or level.reserved)


def _level(material: Material, rule: StockRule | None, lots: list[Lot], reserved: Decimal) -> Level:
    today = timezone.localdate()
    good = [lot for lot in lots if not expired(lot, today)]
    dated = [lot for lot in good if lot.expires_on is not None]
    soon = [lot for lot in dated if lot.expires_on and lot.expires_on <= today + SOON]
    return Level(
        material=material,
        rule=rule,
        on_hand=_sum(good),
        reserved=reserved,
        expiring=_sum(soon),
        expires_on=min((lot.expires_on for lot in dated if lot.expires_on), default=None),
        expired=_sum(lot for lot in lots if expired(lot, today)),
    )


def _sum(lots: Iterable[Lot]) -> Decimal:
    return sum((lot.left for lot in lots), NOUGHT)


def to_order() -> list[tuple[str, list[Level]]]:
    """What to order from whom, by the suppliers' names; what has no supplier comes last, under ''."""
    groups: dict[str, list[Level]] = defaultdict(list)
    for level in levels():
        if level.order > 0:
            groups[level.rule.supplier if level.rule else ""].append(level)
    for rows in groups.values():
        rows.sort(key=lambda level: level.material.name)
    return sorted(groups.items(), key=lambda group: (not group[0], group[0].casefold()))
