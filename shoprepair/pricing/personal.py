"""What quotes hold about a customer: what they were offered, what they answered, and by which name."""

from collections.abc import Iterator
from typing import Any

from django.utils.translation import gettext

from shoprepair.jobs.forgetting import write_over
from shoprepair.jobs.models import Customer
from shoprepair.jobs.personal import Erasure, Part, Row, Section
from shoprepair.jobs.told import row
from shoprepair.pricing import totals
from shoprepair.pricing.models import Quote, QuoteLine


def tell(customer: Customer) -> Iterator[Section]:
    """Every quote that went out, with its lines."""
    quotes = list(_quotes(customer))
    yield Section("quotes", gettext("Quotes"), [_quote(quote) for quote in quotes])
    lines = (
        QuoteLine.objects.filter(quote__in=quotes).select_related("quote__job").order_by("quote", "position")
    )
    yield Section("quote_lines", gettext("Lines of the quotes"), [_line(line) for line in lines])


def know(erasure: Erasure) -> None:
    """The names that the quotes were answered by."""
    quotes = Quote.objects.filter(job__in=erasure.jobs)
    for pk, name in quotes.values_list("pk", "answered_name"):
        erasure.subjects.add(f"quote:{pk}")
        erasure.naming.add(name)


def erase(erasure: Erasure) -> None:
    """Who answered, and the note to them; what was agreed keeps every line and every amount."""
    for quote in Quote.objects.filter(job__in=erasure.jobs).iterator():
        name = erasure.name if quote.answered_name else ""
        agreed = _agreed(quote.agreed, erasure)
        Quote.objects.filter(pk=quote.pk).update(answered_name=name, note="", agreed=agreed)
    write_over(QuoteLine.objects.filter(quote__job__in=erasure.jobs), erasure, "text", "detail")


def _agreed(agreed: dict[str, Any], erasure: Erasure) -> dict[str, Any]:
    if not agreed:
        return agreed
    words = {"name": erasure.name, "note": "", "lines": erasure.naming.over(agreed.get("lines", []))}
    return agreed | {name: value for name, value in words.items() if name in agreed}


def _quotes(customer: Customer) -> Any:
    out = Quote.objects.filter(job__customer=customer).exclude(state=Quote.State.DRAFT)
    return out.select_related("job").order_by("pk")


def _quote(quote: Quote) -> Row:
    total = quote.agreed.get("total") or str(totals.of(quote).total)
    facts = "sent_at valid_until note terms answered_at answered_name"
    about = {"job": quote.job.number, "number": quote.number, "state": quote.get_state_display()}
    return about | {"total": total, "currency": quote.currency} | row(quote, facts)


def _line(line: QuoteLine) -> Row:
    about = {"job": line.quote.job.number, "quote": line.quote.number}
    return about | row(line, "text detail amount optional taken")


PART = Part(tell=tell, know=know, erase=erase)
