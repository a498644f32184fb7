"""What bench and till hold about a customer: what was done, tested, owed, paid, and to whom it was given."""

import datetime
from collections.abc import Iterable, Iterator
from decimal import Decimal
from typing import Any

from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.jobs.forgetting import write_over
from shoprepair.jobs.models import Customer
from shoprepair.jobs.personal import Erasure, Part, Row, Section, erased_name, jobs_of
from shoprepair.jobs.told import row
from shoprepair.shop import erasing, settings
from shoprepair.shop.erasing import ERASED
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.lasting import Kind
from shoprepair.work import invoices
from shoprepair.work.models import (
    Check,
    ExpectedParts,
    HandBack,
    HoldTest,
    Invoice,
    Payment,
    Step,
    Tick,
    Use,
)


def tell(customer: Customer) -> Iterator[Section]:
    """Work, hold tests, invoices, payments and hand-backs of their visits."""
    jobs = [job.pk for job in jobs_of(customer)]
    yield Section("work", gettext("Work done"), [_step(each) for each in _of(Step, jobs)])
    yield Section("hold_tests", gettext("Hold tests"), [_test(each) for each in _of(HoldTest, jobs)])
    yield Section("invoices", gettext("Invoices"), [_invoice(each) for each in _of(Invoice, jobs)])
    payments = [_with_job(each, "at amount method is_deposit note") for each in _of(Payment, jobs)]
    yield Section("payments", gettext("Payments"), payments)
    given = "at taker_name known_by signature typed_name on_paper open_points due taken_back_at"
    yield Section(
        "hand_backs", gettext("Hand-backs"), [_with_job(each, given) for each in _of(HandBack, jobs)]
    )


def refuse(customer: Customer) -> Iterable[str]:
    """Money that is owed keeps the name of who owes it."""
    for job in jobs_of(customer):
        owed = invoices.owed(job)
        if owed.due > Decimal(0):
            yield gettext("%(said)s is still to be paid for job %(job)s.") % {
                "said": owed.said(owed.due),
                "job": job,
            }
        elif owed.due < Decimal(0):
            yield gettext("%(said)s is still to be given back for job %(job)s.") % {
                "said": owed.said(-owed.due),
                "job": job,
            }


def know(erasure: Erasure) -> None:
    """The names of those who took the gear."""
    for name in HandBack.objects.filter(job__in=erasure.jobs).values_list("taker_name", flat=True):
        erasure.naming.add(name)


def erase(erasure: Erasure) -> None:
    """Who took the gear and their signature; invoices keep the name for as long as the law asks."""
    for given in HandBack.objects.filter(job__in=erasure.jobs).iterator():
        over = erasure.naming.over
        HandBack.objects.filter(pk=given.pk).update(
            taker_name=erasure.name,
            known_by=ERASED,
            signature=[],
            typed_name=None,
            override_reason=over(given.override_reason)[:300],
            open_points=over(given.open_points),
        )
    for found, name in _with_words(erasure.jobs):
        write_over(found, erasure, name)
    for invoice in _past(erasure.at).filter(job__in=erasure.jobs).iterator():
        _unname(invoice, erasure.name)


def erase_due(at: datetime.datetime | None = None) -> int:
    """Take the names of erased customers off invoices whose years are over; how many there were."""
    with erasing.window():
        named = due(at or timezone.now())
        for invoice in named:
            _unname(invoice, erased_name(invoice.job.customer))
    return len(named)


def due(at: datetime.datetime, years: int | None = None) -> list[Invoice]:
    """Invoices that still name somebody erased though their years are over: the shop's, or so many."""
    found = _past(at, years).exclude(job__customer__erased_at=None)
    return [each for each in found.select_related("job__customer").iterator() if _names(each)]


def kept_until(invoice: Invoice, years: int) -> datetime.date:
    """The last day on which an invoice keeps the name: the end of the year, so many years on."""
    return datetime.date(timezone.localdate(invoice.made_at).year + years, 12, 31)


def _past(at: datetime.datetime, years: int | None = None) -> "QuerySet[Invoice]":
    """Invoices whose years are over at that moment."""
    first = timezone.localdate(at).year - (settings.current().invoice_years if years is None else years)
    zone = timezone.get_current_timezone()
    return Invoice.objects.filter(made_at__lt=datetime.datetime(first, 1, 1, tzinfo=zone))


def _names(invoice: Invoice) -> bool:
    return bool(invoice.lines.get("customer") != erased_name(invoice.job.customer))


def _unname(invoice: Invoice, name: str) -> None:
    parts = [part | ({"name": name} if "name" in part else {}) for part in invoice.lines.get("parts", [])]
    lines = invoice.lines | {"customer": name, "parts": parts}
    Invoice.objects.filter(pk=invoice.pk).update(lines=lines)


def _with_words(jobs: tuple[int, ...]) -> Iterator[tuple["QuerySet[Any]", str]]:
    """Where somebody may have written a name among words about the work."""
    yield Payment.objects.filter(job__in=jobs), "note"
    yield ExpectedParts.objects.filter(job__in=jobs), "note"
    yield Check.objects.filter(job__in=jobs), "note"
    yield Step.objects.filter(job__in=jobs), "reason"
    yield Tick.objects.filter(step__job__in=jobs), "reason"
    yield Use.objects.filter(job__in=jobs), "reason"


def _of(model: Any, jobs: list[int]) -> list[Any]:
    return list(model.objects.filter(job__in=jobs).select_related("job").order_by("pk"))


def _with_job(record: Any, names: str) -> Row:
    return {"job": record.job.number} | row(record, names)


def _step(step: Step) -> Row:
    return _with_job(step, "text state reason done_at")


def _test(test: HoldTest) -> Row:
    said = {"verdict": HoldTest.Verdict(test.verdict).label}
    return _with_job(test, "tube_key pressure_typed began_at decided_at") | said


def _invoice(invoice: Invoice) -> Row:
    credits = invoice.credits.number if invoice.credits else None
    return _with_job(invoice, "number made_at total currency lines") | {"credits": credits}


PART = Part(tell=tell, refuse=refuse, know=know, erase=erase)
KIND = Kind(
    field="invoice_years",
    what=gettext_lazy("Names on invoices, of customers who were erased"),
    unit="years",
    fewest=0,
    most=50,
    then=gettext_lazy(
        "The name goes; number, sums and date stay for good. Counted from the end of the invoice’s year. "
        "The law says how long: ask your tax adviser; ten is common."
    ),
    one="invoice",
    many="invoices",
    due=lambda years, now: len(due(now, years)),
)
