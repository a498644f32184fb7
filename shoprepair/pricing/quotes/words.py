"""How a quote's figures are said in the journal and in letters."""

import datetime
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext

from shoprepair.jobs.models import Job
from shoprepair.pricing.models import Quote
from shoprepair.pricing.money import say
from shoprepair.pricing.totals import Totals
from shoprepair.shop.languages import gettext_lazy, written

NAMES = {
    "cost": gettext_lazy("what it costs us"),
    "discount_percent": gettext_lazy("discount"),
    "deposit_percent": gettext_lazy("deposit"),
    "deposit_from": gettext_lazy("least total for a deposit"),
}
MONEY = ("amount", "cost", "deposit_from")


def day(date: datetime.date) -> str:
    """ "3 December", with the year where it is not this one."""
    this_year = date.year == timezone.localdate().year
    return date_format(date, "j F" if this_year else "j F Y")


def told(changes: dict[str, list[Any]], quote: Quote) -> str:
    """Changed fields as people say them: "amount from $120.00 to $140.00"."""
    named = ((name, NAMES.get(name, name.replace("_", " ")), pair) for name, pair in changes.items())
    return ", ".join(
        gettext("%(word)s from %(name)s to %(name_2)s")
        % {"word": word, "name": _said(name, before, quote), "name_2": _said(name, after, quote)}
        for name, word, (before, after) in named
    )


def _said(name: str, value: Any, quote: Quote) -> str:
    if isinstance(value, bool):
        return gettext("yes") if value else gettext("no")
    if isinstance(value, datetime.date):
        return day(value)
    if isinstance(value, Decimal) and name in MONEY:
        return say(value, quote.currency)
    if isinstance(value, Decimal):
        return f"{written(f'{value.normalize():f}')}{' %' if name.endswith('_percent') else ''}"
    return f"“{value}”" if value else gettext("nothing")


def letter(job: Job, link: str, total: str) -> dict[str, str]:
    """What every letter about a quote says."""
    return {
        "customer": job.customer.name,
        "job": str(job),
        "gear": str(job.inflatable),
        "link": link,
        "total": total,
    }


def parts(totals: Totals, currency: str) -> str:
    """All that adds up to the total, one a line, each as it is shown everywhere."""
    return "\n".join(f"{what}: {say(amount, currency)}" for what, amount in _parts(totals))


def _parts(totals: Totals) -> Iterator[tuple[str, Decimal]]:
    for shown in totals.lines:
        if shown.taken:
            yield shown.line.text, shown.amount
    if totals.minimum_added:
        yield gettext("Up to the minimum charge"), totals.minimum_added
    if totals.discount:
        yield (
            gettext("Discount %(normalize)s %%")
            % {"normalize": written(f"{totals.discount_percent.normalize():f}")},
            -totals.discount,
        )
    if totals.tax:
        yield f"{totals.tax_name} {written(f'{totals.tax_percent.normalize():f}')} %", totals.tax
