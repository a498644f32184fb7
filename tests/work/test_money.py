import datetime
import re
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from shoprepair.jobs.models import Job
from shoprepair.pricing.models import Quote
from shoprepair.pricing.sums import add_up
from shoprepair.shop.models import Shop
from shoprepair.shop.numbers import next_number
from shoprepair.shop.weeks import IsoWeek, up_to
from shoprepair.work import money, used_hours
from shoprepair.work.models import Invoice, Payment
from shoprepair.work.money import Kind
from tests.factories import (
    DamageFactory,
    JobFactory,
    QuoteFactory,
    QuoteLineFactory,
    StaffFactory,
    handed_back,
    ready,
)
from tests.office import years

pytestmark = pytest.mark.django_db
THIS, BEFORE = IsoWeek(2026, 48), IsoWeek(2026, 47)
MONDAY = datetime.datetime(2026, 11, 23, 10, tzinfo=datetime.UTC)
WEEK = datetime.timedelta(weeks=1)


def sent(at: datetime.datetime, amount: str = "100", job: Job | None = None, currency: str = "USD") -> Quote:
    """A quote without tax that went out then."""
    quote = QuoteFactory(job=job or JobFactory(), tax_percent=0, currency=currency)
    QuoteLineFactory(quote=quote, amount=Decimal(amount))
    Quote.objects.filter(pk=quote.pk).update(state="out", sent_at=at)
    return quote


def agreed(at: datetime.datetime, total: str, **facts: object) -> Quote:
    quote = sent(at, total, **facts)
    lines = [{"id": line.pk, "taken": True} for line in quote.lines.all()]
    Quote.objects.filter(pk=quote.pk).update(
        state="accepted", answered_at=at, agreed={"total": total, "lines": lines}
    )
    return quote


def paid(job: Job, amount: str, at: datetime.datetime, **facts: object) -> Payment:
    return Payment.objects.create(
        job=job, amount=Decimal(amount), method="cash", who=StaffFactory(), at=at, **facts
    )


def invoiced(job: Job, total: str, at: datetime.datetime, **facts: object) -> Invoice:
    return Invoice.objects.create(
        number=next_number("invoice"),
        job=job,
        lines={},
        total=Decimal(total),
        made_by=StaffFactory(),
        made_at=at,
        **{"currency": "USD", **facts},
    )


def of(kind: Kind, week: IsoWeek = THIS) -> dict[str, str]:
    return {currency: str(amount) for currency, amount in money.by_week([week])[0].of(kind).items()}


def test_a_quote_counts_in_the_week_it_went_out_and_its_answer_in_the_week_it_came():
    quote = sent(MONDAY - WEEK, "80")
    Quote.objects.filter(pk=quote.pk).update(
        state="accepted", answered_at=MONDAY, agreed={"total": "60.00", "lines": []}
    )

    assert (of(Kind.QUOTED, BEFORE), of(Kind.QUOTED)) == ({"USD": "80.00"}, {})
    assert (of(Kind.AGREED, BEFORE), of(Kind.AGREED)) == ({}, {"USD": "60.00"})


def test_a_quote_that_a_newer_one_replaced_counts_with_the_newer_one():
    old = sent(MONDAY, "80")
    Quote.objects.filter(pk=old.pk).update(state="replaced")
    sent(MONDAY, "90", job=old.job)
    withdrawn = sent(MONDAY, "70")
    Quote.objects.filter(pk=withdrawn.pk).update(state="withdrawn")

    assert of(Kind.QUOTED) == {"USD": "90.00"}


def test_a_credit_counts_against_the_week_in_which_it_was_made():
    made = invoiced(JobFactory(), "110.00", MONDAY - WEEK)
    invoiced(made.job, "-110.00", MONDAY, credits=made)
    invoiced(made.job, "95.50", MONDAY)

    assert of(Kind.DONE, BEFORE) == {"USD": "110.00"}
    assert of(Kind.DONE) == {"USD": "-14.50"}


def test_deposits_count_as_paid_and_what_went_back_does_not():
    job = agreed(MONDAY, "110.00").job
    paid(job, "33.00", MONDAY, is_deposit=True)
    paid(job, "77.00", MONDAY)
    paid(job, "-10.00", MONDAY)

    assert of(Kind.PAID) == {"USD": "100.00"}
    whats = [entry.what for entry in money.entries(THIS, THIS) if entry.kind == Kind.PAID]
    assert whats == ["Deposit, cash", "Payment, cash", "Given back, cash"]


def test_a_payment_is_in_the_currency_of_what_was_agreed_whatever_the_shop_counts_in_now():
    Shop.objects.update_or_create(pk=1, defaults={"currency": "USD"})
    for currency in ("NOK", "USD"):
        paid(agreed(MONDAY, "50.00", currency=currency).job, "50.00", MONDAY)
    paid(JobFactory(), "5.00", MONDAY)

    assert of(Kind.PAID) == {"NOK": "50.00", "USD": "55.00"}
    assert money.currencies(money.by_week([THIS])) == ["NOK", "USD"]


def test_late_on_sunday_in_the_shop_is_still_this_week():
    job = agreed(MONDAY, "10.00").job
    paid(job, "4.00", datetime.datetime(2026, 11, 30, 3, 30, tzinfo=datetime.UTC))

    with timezone.override("America/New_York"):
        assert of(Kind.PAID) == {"USD": "4.00"}
    with timezone.override("Asia/Tokyo"):
        assert of(Kind.PAID) == {}


def test_what_the_rules_of_the_shop_write_is_what_the_week_shows():
    handed_back(ready(DamageFactory(job__stage="assessed").job))

    week = IsoWeek.of(timezone.now())
    assert [of(kind, week) for kind in Kind] == [{"USD": "110.00"}] * 4


def test_a_week_of_ten_years_costs_what_a_first_week_costs(django_assert_num_queries):
    now = timezone.now()
    years.ten_years(jobs=120, now=now)
    weeks = up_to(IsoWeek.of(now), 8)

    with django_assert_num_queries(4):
        found = money.by_week(weeks)

    assert sum(bool(week.sums) for week in found) > 3
    for week in found:
        for kind in Kind:
            entries = [entry for entry in money.entries(week.week, week.week) if entry.kind == kind]
            assert add_up(entry.money for entry in entries) == week.of(kind)


def test_a_week_is_sought_by_its_days_not_among_all_the_years():
    with CaptureQueriesContext(connection) as asked:
        money.by_week([BEFORE, THIS])
        used_hours.of_week(THIS, MONDAY)

    embedded, plans = connection.vendor == "sqlite", []
    with connection.cursor() as cursor:
        if not embedded:
            # With so few rows it would read them all.
            cursor.execute("SET LOCAL enable_seqscan = off")
        for statement in asked.captured_queries:
            cursor.execute(f"EXPLAIN {'QUERY PLAN ' * embedded}{statement['sql']}")
            plans += [row[-1] for row in cursor.fetchall()]
    for table in ("pricing_quote", "work_invoice", "work_payment", "work_stint"):
        read_whole = rf"SCAN {table}\b|Seq Scan on {table}\b"
        assert not [plan for plan in plans if re.match(rf"\W*({read_whole})", plan)]
    for index in ("quotes_by_day_sent", "quotes_by_day_answered", "invoices_by_day", "payments_by_day"):
        assert [plan for plan in plans if index in plan], plans
