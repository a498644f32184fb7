"""The quote as its customer reads and answers it: lines, what may be chosen, what it comes to."""

import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

from babel.numbers import get_currency_precision
from django.utils.translation import gettext, ngettext

from shoprepair.papers.context import in_runs
from shoprepair.pricing import money, quotes, totals
from shoprepair.pricing.models import Quote, QuoteLine
from shoprepair.pricing.money import rounded
from shoprepair.pricing.named import names
from shoprepair.pricing.quotes import choosing
from shoprepair.shop.languages import gettext_lazy

State = Quote.State
SHARED = gettext_lazy("Opened and closed once, and charged once, for all of them.")


class Line(NamedTuple):
    """One line of the quote with the amount shown for it."""

    id: int
    text: str
    detail: str
    damages: tuple[int, ...]
    amount: str
    cents: int
    taken: bool
    advised: bool = False
    """What the shop advises, among lines that exclude each other."""
    shared: str = ""
    """Why time is charged once, where one opening serves several damages and its own words do not say."""

    @property
    def tags(self) -> str:
        """Which damages it is for: "For tags 1–3 and 7"; empty where the line says so itself."""
        if names(self.text, self.damages):
            return ""
        runs = in_runs(self.damages)
        words = gettext(" and ").join([", ".join(runs[:-1]), runs[-1]] if len(runs) > 1 else runs)
        return (
            ngettext("For tag %(words)s", "For tags %(words)s", len(self.damages)) % {"words": words}
            if words
            else ""
        )


class Choice(NamedTuple):
    """Lines of which the customer takes one."""

    field: str
    lines: tuple[Line, ...]

    @property
    def first(self) -> Line:
        """The one that is ticked."""
        return next((line for line in self.lines if line.taken), self.lines[0])

    @property
    def others(self) -> tuple[Line, ...]:
        """What may be done instead of it."""
        return tuple(line for line in self.lines if line is not self.first)


class Sum(NamedTuple):
    """One figure under the lines; `key` tells the page's script which."""

    key: str
    label: str
    amount: str
    shown: bool = True


@dataclass(frozen=True, slots=True)
class Offer:
    """A quote that is out, taken as `taken` says."""

    quote: Quote
    fixed: tuple[Line, ...]
    choices: tuple[Choice, ...]
    extras: tuple[Line, ...]
    sums: tuple[Sum, ...]
    total: str
    total_exact: Decimal
    deposit: str
    """Empty where none is asked for."""
    together: str = ""
    """An addition's total with what was agreed before; empty for other quotes."""
    agreed_before: Decimal = Decimal(0)

    @property
    def reckoning(self) -> dict[str, int | str]:
        """What the page's script adds up and writes with: hundredths of the currency and of a percent."""
        quote = self.quote
        before, after = re.split(r"[\d.,]+", money.say(Decimal(1), quote.currency), maxsplit=1)
        return {
            "before": before,
            "after": after,
            "decimals": get_currency_precision(quote.currency),
            "step": cents(quote.rounding),
            "minimum": 0 if quote.warranty else cents(rounded(quote.minimum_charge, quote.rounding)),
            "discount": cents(quote.discount_percent),
            "tax": cents(quote.tax_percent),
            "deposit": cents(quote.deposit_percent),
            "deposit-from": cents(quote.deposit_from),
            "agreed": cents(self.agreed_before),
        }

    @property
    def many(self) -> bool:
        """Whether there is so much to choose that each choice shows what is ticked, and folds the rest."""
        return len(self.choices) > choosing.MANY

    @property
    def decides(self) -> bool:
        """Whether there is anything to choose or to leave out."""
        return bool(self.choices or self.extras)


def offer(quote: Quote, taken: Collection[int] | None = None) -> Offer:
    """The quote with its lines in their groups; `taken` as in `totals.of`."""
    reckoned = totals.of(quote, taken)
    advised = {line.pk: line.taken for line in quote.lines.all()}
    lines = [_line(shown, quote, advised) for shown in reckoned.lines]
    of = {line.id: line for line in lines}
    rows = [shown.line for shown in reckoned.lines if isinstance(shown.line, QuoteLine)]
    every = quotes.together(quote, reckoned.total) if quote.addition_to_id else None
    return Offer(
        quote=quote,
        fixed=tuple(of[row.pk] for row in rows if not row.choice and not row.optional),
        choices=tuple(_choices(rows, of)),
        extras=tuple(of[row.pk] for row in rows if row.optional and not row.choice),
        sums=() if quote.warranty else tuple(_sums(quote, reckoned)),
        total=said(reckoned.total, quote.currency),
        total_exact=reckoned.total,
        deposit=said(reckoned.deposit, quote.currency) if reckoned.deposit else "",
        together=said(every, quote.currency) if every is not None else "",
        agreed_before=every - reckoned.total if every is not None else Decimal(0),
    )


def said(amount: Decimal, currency: str) -> str:
    """The amount as people read it, with a minus that is as wide as a figure."""
    return money.say(amount, currency).replace("-", "\N{MINUS SIGN}")


def percent(share: Decimal) -> str:
    """'8 %', '7.5 %'."""
    return f"{share.normalize():f} %"


def _choices(rows: list[QuoteLine], of: dict[int, Line]) -> Iterator[Choice]:
    words = dict.fromkeys(row.choice for row in rows if row.choice)
    for place, word in enumerate(words):
        yield Choice(f"choice-{place}", tuple(of[row.pk] for row in rows if row.choice == word))


def _line(shown: totals.Shown, quote: Quote, advised: dict[int, bool]) -> Line:
    row = shown.line
    assert isinstance(row, QuoteLine)
    shared = row.kind == QuoteLine.Kind.ACCESS and len(row.damages) > 1
    return Line(
        id=row.pk,
        text=row.text,
        detail=row.detail,
        damages=tuple(row.damages),
        amount=said(shown.amount, quote.currency),
        cents=cents(shown.amount),
        taken=shown.taken,
        advised=bool(row.choice) and advised[row.pk],
        shared=SHARED if shared and not row.detail else "",
    )


def _sums(quote: Quote, reckoned: totals.Totals) -> Iterator[Sum]:
    def say(amount: Decimal) -> str:
        return said(amount, quote.currency)

    added = any((reckoned.minimum_added, reckoned.discount_percent, reckoned.tax_percent))
    yield Sum("subtotal", gettext("All lines counted"), say(reckoned.subtotal), shown=added)
    raised = gettext("Raised to the shop’s least charge of %(minimum_charge)s") % {
        "minimum_charge": say(quote.minimum_charge)
    }
    yield Sum("minimum", raised, say(reckoned.minimum_added), shown=bool(reckoned.minimum_added))
    discount = gettext("Discount, %(discount_percent)s") % {
        "discount_percent": percent(quote.discount_percent)
    }
    yield Sum("discount", discount, say(-reckoned.discount), shown=bool(quote.discount_percent))
    tax = f"{quote.tax_name}, {percent(quote.tax_percent)}"
    yield Sum("tax", tax, say(reckoned.tax), shown=bool(quote.tax_percent))


def cents(amount: Decimal) -> int:
    """The amount in hundredths, as the page's script adds them up."""
    return int(amount * 100)
