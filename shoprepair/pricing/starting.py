"""Prices to begin with: the program's own, brought roughly to the level of the shop's money."""

from decimal import ROUND_HALF_UP, Decimal
from typing import NamedTuple

from babel.numbers import get_currency_precision
from django.db import transaction

from shoprepair.gear import library
from shoprepair.pricing import catalogue, money, rules
from shoprepair.pricing.models import Material, PriceRules, Quote
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext

_LEVELS = """
USD:1 EUR:0.9 GBP:0.8 CHF:0.9 NOK:10 SEK:10 DKK:7 ISK:130 PLN:4 CZK:22 HUF:350 RON:4.5 BGN:1.7
ALL:90 RSD:100 TRY:40 CAD:1.4 AUD:1.5 NZD:1.7 MXN:18 BRL:5.5 CLP:950 COP:4000 PEN:3.7 UYU:40 CRC:500
DOP:60 PAB:1 ZAR:18 MAD:9 EGP:50 TND:3 MUR:45 CVE:100 XOF:600 XPF:110 KES:130 TZS:2500 AED:3.7
OMR:0.4 QAR:3.6 SAR:3.8 ILS:3.6 JPY:150 KRW:1400 CNY:7 HKD:7.8 TWD:32 SGD:1.3 MYR:4.3 THB:33
IDR:16000 PHP:57 VND:25000 INR:85 LKR:300
"""
ROUGHLY = {code: Decimal(level) for code, level in (each.split(":") for each in _LEVELS.split())}
"""How many units buy about what a dollar buys in the program's own prices: a first figure to correct."""
FIGURES = 2
"""Nobody begins with an hourly rate of 1,152.37."""
SCALED = ("hourly_rate", "minimum_charge", "deposit_from")


class Proposed(NamedTuple):
    """What a shop may begin with in its own money."""

    hourly_rate: Decimal
    factor: Decimal
    known: bool
    """Whether the level of this money is known here; else the figures are the program's own."""


def proposed(currency: str) -> Proposed:
    """An hourly rate and a level of prices for a currency."""
    factor = ROUGHLY.get(currency, Decimal(1))
    return Proposed(rounded(_default("hourly_rate") * factor, currency), factor, currency in ROUGHLY)


def is_begun(stored: PriceRules) -> bool:
    """Whether the shop has prices of its own: somebody set them, or a quote was written by them."""
    return stored.version > 1 or Quote.objects.exists()


def rounded(amount: Decimal, currency: str) -> Decimal:
    """An amount to two figures, in whole coins of the currency, and never nought."""
    if not amount:
        return amount
    step = Decimal(1).scaleb(amount.adjusted() - FIGURES + 1)
    coin = Decimal(1).scaleb(-min(get_currency_precision(currency), 2))
    step = max(step, coin)
    return max((amount / step).quantize(Decimal(1), ROUND_HALF_UP) * step, coin).quantize(money.CENT)


def begin(
    *,
    hourly_rate: Decimal,
    tax_name: str,
    tax_percent: Decimal,
    deposit_percent: Decimal,
    currency: str,
    version: int,
    who: Staff,
) -> int:
    """Bring in the catalogue, set the rules of the price, the level of its materials and what gear costs new.

    Answers how many materials were priced anew. Those that somebody has priced here stay as they are, and so
    does all once a quote is out. Raises Stale and ValidationError as `rules.change`.
    """
    factor = proposed(currency).factor
    stored = rules.current()
    begun = Quote.objects.exists()
    fields = {} if begun else {name: _scaled(name, factor, currency, stored) for name in SCALED[1:]}
    with transaction.atomic():
        catalogue.load()
        rules.change(
            stored,
            who=who,
            version=version,
            hourly_rate=hourly_rate,
            tax_name=tax_name,
            tax_percent=tax_percent,
            deposit_percent=deposit_percent,
            **fields,
        )
        changed = 0 if begun else _price_materials(factor, currency)
        priced = 0 if begun else _price_patterns(currency)
        if changed or priced:
            text = gettext("Materials and new gear were priced to begin with, roughly, in %(currency)s.")
            journal.record(stored, "materials.begun", text % {"currency": currency}, who=who)
    return changed


def _price_materials(factor: Decimal, currency: str) -> int:
    brought = {row["code"]: row["price"] for row in catalogue.read("materials.json")}
    changed = 0
    for material in Material.objects.filter(code__in=brought):
        price = brought[material.code]
        price = price if factor == 1 else rounded(price * factor, currency)
        if material.price != price and not journal.entries(material).exists():
            material.price = price
            material.save(update_fields=["price"])
            changed += 1
    return changed


def _price_patterns(currency: str) -> int:
    """What the library's gear costs new; nothing where the level of the money is not known."""
    level = ROUGHLY.get(currency)

    def price(brought: Decimal) -> Decimal | None:
        if level is None:
            return None
        return brought if level == 1 else rounded(brought * level, currency)

    return library.price_to_begin(price)


def _scaled(name: str, factor: Decimal, currency: str, stored: PriceRules) -> Decimal:
    """The program's own amount at this level, where the shop has not set another."""
    levels = {_default(name), *(rounded(_default(name) * each, "USD") for each in ROUGHLY.values())}
    now: Decimal = getattr(stored, name)
    return rounded(_default(name) * factor, currency) if now in levels else now


def _default(name: str) -> Decimal:
    default: Decimal = getattr(PriceRules(), name)
    return default
