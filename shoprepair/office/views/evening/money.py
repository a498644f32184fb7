"""The money of one week, amount by amount."""

from typing import NamedTuple

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from shoprepair.office.evening import KINDS
from shoprepair.pricing.sums import add_up, say_sums
from shoprepair.shop.access import owner_only
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.weeks import IsoWeek
from shoprepair.work import money
from shoprepair.work.money import Entry, Kind

WORDS = {
    Kind.QUOTED: (
        gettext_lazy("Quotes that went out, as the shop advised them."),
        gettext_lazy("No quote went out."),
    ),
    Kind.AGREED: (
        gettext_lazy("What customers said yes to, as they agreed to it."),
        gettext_lazy("Nobody agreed to a quote."),
    ),
    Kind.DONE: (
        gettext_lazy("What was handed back, by its invoices."),
        gettext_lazy("Nothing was handed back."),
    ),
    Kind.PAID: (
        gettext_lazy("What came in, deposits too, less what went back."),
        gettext_lazy("Nobody paid."),
    ),
}
"""Of each kind what it counts, and what is said where there was nothing."""


class Part(NamedTuple):
    """One kind of money in the week."""

    key: str
    name: str
    about: str
    nothing: str
    total: str
    entries: list[Entry]


@owner_only
@require_safe
def week(request: HttpRequest, week: IsoWeek) -> HttpResponse:
    entries = money.entries(week, week)
    page = {
        "week": week,
        "before": week.back(1),
        "after": week.back(-1) if week < IsoWeek.of(timezone.localdate()) else None,
        "parts": [_part(kind, entries, request.shop.currency) for kind in Kind],
    }
    return render(request, "office/evening/money_week.html", page)


def _part(kind: Kind, entries: list[Entry], own: str) -> Part:
    its = [entry for entry in entries if entry.kind == kind]
    total = say_sums(add_up(entry.money for entry in its), own)
    return Part(kind.value, str(KINDS[kind]), *WORDS[kind], total, its)
