"""The invoice on paper, a receipt too once money came in: what was agreed, paid, and is still due."""

from collections.abc import Iterator, Mapping
from datetime import datetime
from decimal import Decimal
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo

from django.utils import translation
from django.utils.formats import date_format
from django.utils.translation import gettext

from shoprepair.papers.context import DAY, letterhead
from shoprepair.papers.quote_lines import Row
from shoprepair.papers.quote_price import Sum, percent
from shoprepair.papers.render import printed
from shoprepair.pricing.money import say
from shoprepair.shop.languages import SpeakAs, gettext_lazy
from shoprepair.shop.models import Paper, Shop
from shoprepair.shop.settings import current
from shoprepair.work import payments
from shoprepair.work.models import Invoice, Payment

NOUGHT = Decimal("0.00")
LAYOUTS = {"roomy": 1, "compact": 1, "dense": 1}
"""From the first that is tried; the last may run on."""
_BY = {
    Payment.Method.CASH: gettext_lazy("cash"),
    Payment.Method.CARD: gettext_lazy("card"),
    Payment.Method.TRANSFER: gettext_lazy("transfer"),
}


class Part(NamedTuple):
    """One agreement: the first, or what was added to it."""

    heading: str
    rows: tuple[Row, ...]
    steps: tuple[Sum, ...]
    """What this agreement adds to or takes off its lines."""


def title(invoice: Invoice) -> str:
    """'Invoice' or 'Credit'."""
    return gettext("Credit") if invoice.credits_id else gettext("Invoice")


@SpeakAs()
def render(invoice: Invoice, *, paper: str, base_url: str) -> bytes:
    """The invoice as PDF, on "A4" or "Letter"; payments as they stand when it is printed.

    One page where it fits. `base_url` is taken for all papers alike; nothing on an invoice leads anywhere.
    """
    del base_url
    if paper not in Paper:
        raise ValueError(
            gettext("An invoice is printed on A4 or on Letter, not on “%(paper)s”.") % {"paper": paper}
        )
    shop = current()
    translation.activate(shop.language)
    return printed(
        "papers/invoice.html",
        {**_context(invoice, shop), "paper": paper},
        style_sheets=("sheet", "quote", "invoice"),
        layouts=LAYOUTS,
    )


def _context(invoice: Invoice, shop: Shop) -> dict[str, Any]:
    lines, zone = invoice.lines, ZoneInfo(shop.time_zone)
    paid = [] if invoice.credits_id else list(payments.of(invoice.job))
    due = invoice.total - sum((each.amount for each in paid), NOUGHT)
    sign = -1 if invoice.credits_id else 1
    parts = list(_parts(lines, invoice.currency, sign))
    return {
        "shop": letterhead(shop),
        "kind": title(invoice),
        "number": str(invoice),
        "job_number": str(invoice.job),
        "customer": lines["customer"],
        "name": lines["gear"],
        "gear": [gettext("serial %(lines)s") % {"lines": lines["serial"]}] if lines["serial"] else [],
        "day": _day(invoice.made_at, zone),
        "standing": _standing(invoice, due),
        "parts": parts,
        "sums": list(_sums(lines, invoice.currency, sign, several=any(part.steps for part in parts))),
        "total": say(invoice.total, invoice.currency),
        "total_label": gettext("Credited in all") if sign < 0 else gettext("Total"),
        "payments": [_payment(each, invoice.currency, zone) for each in paid],
        "due": "" if sign < 0 else say(max(due, NOUGHT), invoice.currency),
        "is_due": sign > 0 and due > 0,
        "bank": [line.strip() for line in shop.bank_details.splitlines() if line.strip()],
        "is_paid": sign > 0 and bool(paid) and due <= 0,
        "given_back": say(-due, invoice.currency) if due < 0 and sign > 0 else "",
        "warranty": all(part.get("warranty") for part in lines["parts"]),
    }


def _standing(invoice: Invoice, due: Decimal) -> str:
    if invoice.credits_id:
        return gettext("It takes back invoice %(credits)s: %(lines)s") % {
            "credits": invoice.credits,
            "lines": invoice.lines["reason"],
        }
    if taken := Invoice.objects.filter(credits=invoice).first():
        return gettext("Taken back by credit %(taken)s: nothing is to be paid on this one.") % {
            "taken": taken
        }
    if due > 0:
        return ""
    return gettext("Paid in full, with thanks.") if invoice.total else gettext("Nothing to pay.")


def _parts(lines: Mapping[str, Any], currency: str, sign: int) -> Iterator[Part]:
    several = len(lines["parts"]) > 1
    for place, part in enumerate(lines["parts"]):
        said = gettext("Added with quote %(part)s") if place else gettext("Agreed with quote %(part)s")
        said %= {"part": part["quote"]}
        yield Part(
            heading=said if several else "",
            rows=tuple(_row(line, currency, sign) for line in part["lines"]),
            steps=tuple(_steps(part, currency, sign)),
        )


def _row(line: Mapping[str, Any], currency: str, sign: int) -> Row:
    return Row(
        text=line["text"],
        detail=line["detail"],
        amount=say(sign * Decimal(line["amount"]), currency),
        damages=tuple(line["damages"]),
    )


def _steps(part: Mapping[str, Any], currency: str, sign: int) -> Iterator[Sum]:
    figures = (
        (gettext("Up to the minimum charge"), Decimal(part.get("minimum_added", "0"))),
        (
            gettext("Discount %(percent)s")
            % {"percent": percent(Decimal(part.get("discount_percent", "0")))},
            -Decimal(part.get("discount", "0")),
        ),
    )
    for label, amount in figures:
        if amount:
            yield Sum(label, say(sign * amount, currency))


def _sums(lines: Mapping[str, Any], currency: str, sign: int, *, several: bool) -> Iterator[Sum]:
    """Net and each tax by its name and share, where there is any."""
    taxes: dict[str, Decimal] = {}
    for part in lines["parts"]:
        if amount := Decimal(part.get("tax", "0")):
            label = f"{part['tax_name']} {percent(Decimal(part['tax_percent']))}"
            taxes[label] = taxes.get(label, NOUGHT) + amount
    if taxes or several:
        yield Sum(
            gettext("Before tax") if taxes else gettext("All lines"),
            say(sign * Decimal(lines["net"]), currency),
        )
    for label, amount in taxes.items():
        yield Sum(label, say(sign * amount, currency))


def _payment(paid: Payment, currency: str, zone: ZoneInfo) -> Sum:
    how = f"{_BY[Payment.Method(paid.method)]}, {_day(paid.at, zone)}"
    if paid.amount < 0:
        return Sum(gettext("Given back, %(how)s") % {"how": how}, say(-paid.amount, currency))
    taken_off = f"\N{MINUS SIGN}{say(paid.amount, currency)}"
    return Sum(f"{gettext('Deposit') if paid.is_deposit else gettext('Paid')}, {how}", taken_off)


def _day(moment: datetime, zone: ZoneInfo) -> str:
    return date_format(moment.astimezone(zone), DAY)
