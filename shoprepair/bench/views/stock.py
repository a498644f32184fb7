"""The shelf: how much there is of every material, and what to order."""

from decimal import Decimal
from typing import Any, NamedTuple

from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe
from django.views.decorators.vary import vary_on_headers

from shoprepair.work import stock as stocked
from shoprepair.work.models import Lot

LONGEST_SEARCH = 60
MOST_LOTS = 12
WIDTH = 100
"""Of the strip that draws a level, in its own units."""


class Strip(NamedTuple):
    """A level drawn: how far what is on hand, what is reserved of it and the low mark reach."""

    hand: float
    reserved: float
    low: float | None


class Row(NamedTuple):
    level: stocked.Level
    strip: Strip


@require_safe
@vary_on_headers("HX-Request")
def stock(request: HttpRequest) -> HttpResponse:
    """Every material, the pressing ones first; narrowed by name, or by a lot's mark."""
    text = " ".join(request.GET.get("text", "").replace("\0", "")[:LONGEST_SEARCH].split())
    levels = stocked.levels()
    found = [level for level in levels if _names(level, text)]
    kept = [level for level in found if text or not level.bare]
    page: dict[str, Any] = {
        "text": text,
        "rows": [Row(level, strip(level)) for level in kept],
        "bare": [level.material for level in found if level not in kept],
        "found": len(found),
        "lots": _lots(text) if text else [],
        "count": len(levels),
        "short": sum(level.short for level in levels),
        "low": sum(level.low and not level.short for level in levels),
        "expired": sum(bool(level.expired) for level in levels),
        "here": "stock",
        "today": timezone.localdate(),
    }
    part = "bench/stock/stock.html#shelf" if request.htmx else "bench/stock/stock.html"
    return render(request, part, page)


class Order(NamedTuple):
    """What to order from one supplier, and the same as text to be sent."""

    supplier: str
    levels: list[stocked.Level]
    text: str


@require_safe
def order(request: HttpRequest) -> HttpResponse:
    """What to order, by supplier, made for printing and for sending."""
    groups = [Order(supplier, levels, _as_text(levels)) for supplier, levels in stocked.to_order()]
    count = sum(len(group.levels) for group in groups)
    page = {"groups": groups, "count": count, "today": timezone.localdate(), "here": "order"}
    return render(request, "bench/stock/order.html", page)


def _as_text(levels: list[stocked.Level]) -> str:
    return "\n".join(
        f"{stocked.say_quantity(level.order, level.material.unit)}  {level.material}" for level in levels
    )


def strip(level: stocked.Level) -> Strip:
    """What is on hand against what is wanted of it."""
    low, wanted = (level.rule.low_at, level.rule.order_up_to) if level.rule else (Decimal(0), Decimal(0))
    whole = max(level.on_hand, level.reserved, low, wanted) or Decimal(1)
    return Strip(
        _share(level.on_hand, whole),
        _share(min(level.reserved, level.on_hand), whole),
        _share(low, whole) if low else None,
    )


def _share(part: Decimal, whole: Decimal) -> float:
    return round(float(part / whole) * WIDTH, 1)


def _names(level: stocked.Level, text: str) -> bool:
    supplier = level.rule.supplier if level.rule else ""
    words = f"{level.material.name} {supplier}".casefold()
    return all(word in words for word in text.casefold().split())


def _lots(text: str) -> list[Lot]:
    """Lots whose mark holds what is looked for, closed ones too: their repairs are still asked for."""
    lots = Lot.objects.filter(Q(code__icontains=text)).select_related("material")
    return list(lots.order_by("closed", "-received_on", "-id")[:MOST_LOTS])
