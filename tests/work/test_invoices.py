from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal

import pytest
from django.db import DatabaseError, connection, transaction
from django.utils import timezone
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing.models import Quote
from shoprepair.shop import journal
from shoprepair.shop.models import Counter, Shop, Staff
from shoprepair.work import invoices, payments
from shoprepair.work.invoices import InvoiceRefused, Owed
from shoprepair.work.models import Invoice
from tests.factories import (
    DamageFactory,
    JobFactory,
    QuoteFactory,
    QuoteLineFactory,
    StaffFactory,
    agreed,
    ready,
)
from tests.work.benching import put_in_force

pytestmark = pytest.mark.django_db


def a_job(**facts: object) -> Job:
    job = JobFactory(stage=Stage.ASSESSED, terms_agreed_at="2026-05-04T09:00:00Z", **facts)
    DamageFactory(job=job)
    return job


def addition(job: Job, amount: str = "40.00", **facts: object) -> Quote:
    """More that was found and agreed: a second quote in force beside the first."""
    first = Quote.objects.get(job=job, state="accepted", addition_to=None)
    quote = QuoteFactory(job=job, addition_to=first)
    line = QuoteLineFactory(quote=quote, amount=Decimal(amount), text="Valve changed")
    quote = put_in_force(quote)
    lines = [{"id": line.pk, "taken": True, "text": line.text, "detail": "", "damages": [], "amount": amount}]
    return with_agreed(quote, lines, amount, **facts)


def with_agreed(quote: Quote, lines: list[dict[str, object]], total: str, **facts: object) -> Quote:
    quote.agreed = {"lines": lines, "total": total, "net": total, "tax": "0.00"}
    Quote.objects.filter(pk=quote.pk).update(state="replaced")
    other = QuoteFactory(job=quote.job, addition_to=quote.addition_to, **facts)
    Quote.objects.filter(pk=other.pk).update(state="out")
    Quote.objects.filter(pk=other.pk).update(state="accepted", agreed=quote.agreed)
    return Quote.objects.get(pk=other.pk)


def test_nothing_is_owed_before_anything_is_agreed() -> None:
    owing = invoices.owed(a_job())
    assert (owing.total, owing.paid, owing.due) == (0, 0, 0)
    assert all(isinstance(each, Decimal) for each in (owing.total, owing.paid, owing.deposit))


def test_what_was_agreed_is_owed_to_the_cent() -> None:
    job = ready(a_job())
    assert invoices.owed(job).due == Decimal("110.00")


def test_an_addition_is_owed_beside_what_was_agreed_first(counter: Staff) -> None:
    job = ready(a_job())
    addition(job)
    assert invoices.owed(job).total == Decimal("150.00")
    made = invoices.make(job, who=counter)
    assert made.total == Decimal("150.00")
    assert [line["text"] for part in made.lines["parts"] for line in part["lines"]] == [
        "Casing patch",
        "Valve changed",
    ]


def test_warranty_work_counts_nothing(counter: Staff) -> None:
    job = ready(a_job(), warranty=True)
    made = invoices.make(job, who=counter)
    assert (made.total, invoices.owed(job).due) == (0, 0)
    assert made.lines["parts"][0]["lines"][0]["amount"] == "0.00"


def test_a_deposit_stands_as_asked_until_it_came_in(counter: Staff) -> None:
    job = a_job()
    agreed(job, deposit_percent=Decimal(30), deposit_from=Decimal(1))
    assert invoices.owed(job).deposit_due == Decimal("33.00")
    payments.take(job, Decimal("33.00"), "card", who=counter, is_deposit=True)
    owing = invoices.owed(job)
    assert (owing.deposit_due, owing.due) == (0, Decimal("77.00"))


def test_the_invoice_says_what_was_agreed_and_to_whom(counter: Staff) -> None:
    job = ready(a_job(customer__name="Ilka Sandvoort"))
    made = invoices.make(job, who=counter)
    assert (made.number, made.currency, made.total) == (1, "USD", Decimal("110.00"))
    assert made.lines["customer"] == "Ilka Sandvoort"
    assert made.lines["tax"] == "10.00"
    assert journal.entries(job).first().text == "Made invoice 0001: $110.00."


def test_what_an_invoice_says_for_good_is_all_that_was_agreed(counter: Staff) -> None:
    job = ready(a_job(customer__name="Ilka Sandvoort"))
    made = invoices.make(job, who=counter)
    quote, gear = invoices.agreements(job)[0], job.inflatable
    assert {name: made.lines[name] for name in made.lines if name != "parts"} == {
        "customer": "Ilka Sandvoort",
        "gear": str(gear.pattern),
        "serial": gear.serial,
        "net": "100.00",
        "tax": "10.00",
        "total": "110.00",
    }
    [part] = made.lines["parts"]
    [line] = part.pop("lines")
    assert (line["text"], line["amount"], line["cover"]) == ("Casing patch", "100.00", {})
    assert set(line) == {"text", "detail", "damages", "amount", "cover"}
    assert part == {
        "quote": quote.number,
        **{name: quote.agreed[name] for name in invoices._AS_AGREED if name in quote.agreed},
    }
    assert (part["total"], part["tax_name"]) == ("110.00", quote.tax_name)
    assert (made.made_by, list(made.quotes.all())) == (counter, [quote])
    assert abs(timezone.now() - made.made_at).total_seconds() < 60


def test_what_the_customer_left_out_is_not_on_the_invoice(counter: Staff) -> None:
    job = ready(a_job())
    quote = invoices.agreements(job)[0]
    lines = [*quote.agreed["lines"], {"id": 0, "taken": False, "text": "New bladder", "amount": "80.00"}]
    with_agreed(quote, lines, "110.00")
    made = invoices.make(job, who=counter)
    assert [line["text"] for line in made.lines["parts"][0]["lines"]] == ["Casing patch"]


def test_a_credit_says_which_invoice_it_takes_back_and_why(owner: Staff) -> None:
    made = invoices.make(ready(a_job()), who=owner)
    taken = invoices.credit(made, who=owner, reason="  Made out   to the wrong person. ")
    reason = "Made out to the wrong person."
    assert taken.lines == {**made.lines, "credits": 1, "reason": reason}
    assert (taken.job, taken.currency, taken.made_by) == (made.job, made.currency, owner)
    entry = journal.entries(made.job).first()
    text = f"Credit 0002 takes invoice 0001 back: {reason}"
    assert (entry.verb, entry.text, entry.who) == ("invoice.credited", text, owner)


def test_a_reason_is_two_hundred_letters_and_no_more(owner: Staff) -> None:
    made = invoices.make(ready(a_job()), who=owner)
    with pytest.raises(InvoiceRefused, match="in 200 letters or fewer; these are 201"):
        invoices.credit(made, who=owner, reason="x" * 201)
    assert invoices.credit(made, who=owner, reason="x" * 200).credits == made


def test_an_agreement_from_before_its_lines_were_kept_is_on_the_invoice_without_any() -> None:
    quote = QuoteFactory()
    assert invoices.parts([quote]) == [{"quote": quote.number, "lines": []}]


def test_the_invoices_of_a_job_come_with_what_they_take_back_and_who_made_them(
    owner: Staff, django_assert_num_queries
) -> None:
    job = ready(a_job())
    made = invoices.make(job, who=owner)
    taken = invoices.credit(made, who=owner, reason="Wrong name.")
    with django_assert_num_queries(1):
        told = [
            (each, each.credits, getattr(each, "credited_by", None), each.made_by)
            for each in invoices.of(job)
        ]
    assert told == [(taken, made, None, owner), (made, None, taken, owner)]


def test_an_invoice_that_what_was_agreed_went_past_says_so(counter: Staff) -> None:
    job = ready(a_job())
    invoices.make(job, who=counter)
    addition(job)
    newest = invoices.make(job, who=counter)
    other = invoices.make(ready(a_job()), who=counter)
    credit = Invoice.objects.get(number=2)
    assert (credit.lines["reason"], credit.made_by) == ("What was agreed has changed.", counter)
    assert [made.number for made in invoices.of(job)] == [3, 2, 1]
    assert (invoices.standing(job), invoices.standing(other.job)) == (newest, other)
    made = journal.entries(job).first()
    assert (made.verb, made.text, made.who) == ("invoice.made", "Made invoice 0003: $150.00.", counter)


def test_one_invoice_is_in_one_currency(counter: Staff) -> None:
    job = ready(a_job())
    addition(job, currency="EUR")
    with pytest.raises(InvoiceRefused, match="are in different currencies"):
        invoices.make(job, who=counter)


def test_what_came_in_beyond_what_is_owed_is_said_to_go_back() -> None:
    owing = Owed(currency="EUR", total=Decimal(50), paid=Decimal("62.50"), deposit=Decimal(20))
    assert (owing.due, owing.over, owing.deposit_due) == (Decimal("-12.50"), Decimal("12.50"), 0)
    less = Owed(currency="EUR", total=Decimal(50), paid=Decimal(10), deposit=Decimal(80))
    assert (less.over, less.deposit_due, less.said(less.due)) == (0, Decimal(40), "\u20ac40.00")


def test_a_shop_that_agreed_to_nothing_yet_counts_in_its_own_currency() -> None:
    Shop.objects.update_or_create(pk=1, defaults={"currency": "NOK"})
    assert invoices.owed(a_job()).currency == "NOK"
    assert invoices.owed(ready(a_job())).currency == "USD"


def test_made_twice_it_is_the_same_invoice(counter: Staff) -> None:
    job = ready(a_job())
    assert invoices.make(job, who=counter) == invoices.make(job, who=counter)
    assert Invoice.objects.count() == 1


def test_after_an_addition_the_old_one_is_credited_and_a_new_one_made(counter: Staff) -> None:
    job = ready(a_job())
    first = invoices.make(job, who=counter)
    addition(job)
    second = invoices.make(job, who=counter)
    assert [(made.number, made.total) for made in Invoice.objects.order_by("number")] == [
        (1, Decimal("110.00")),
        (2, Decimal("-110.00")),
        (3, Decimal("150.00")),
    ]
    assert first.credited_by.number == 2
    assert invoices.standing(job) == second


def test_nothing_agreed_is_not_invoiced(counter: Staff) -> None:
    with pytest.raises(InvoiceRefused) as refusal:
        invoices.make(a_job(), who=counter)
    assert str(refusal.value) == "Nothing was agreed for this job, so there is nothing to invoice."
    assert not Counter.objects.filter(name="invoice").exists()


def test_the_owner_takes_an_invoice_back_once_and_says_why(owner: Staff, counter: Staff) -> None:
    made = invoices.make(ready(a_job()), who=counter)
    with pytest.raises(InvoiceRefused, match="Only the owner"):
        invoices.credit(made, who=counter, reason="Wrong.")
    with pytest.raises(InvoiceRefused, match="Say why"):
        invoices.credit(made, who=owner, reason="  ")
    taken = invoices.credit(made, who=owner, reason="Made out to the wrong person.")
    assert (taken.credits, taken.total, taken.number) == (made, Decimal("-110.00"), 2)
    with pytest.raises(InvoiceRefused, match="Credit 0002 has taken it back already"):
        invoices.credit(made, who=owner, reason="Again.")
    with pytest.raises(InvoiceRefused) as refusal:
        invoices.credit(taken, who=owner, reason="Again.")
    assert str(refusal.value) == "This is itself a credit. Make a new invoice instead."
    assert invoices.standing(made.job) is None
    assert sum(Invoice.objects.values_list("total", flat=True)) == 0


def test_after_a_credit_the_next_invoice_has_the_next_number(owner: Staff) -> None:
    job = ready(a_job())
    invoices.credit(invoices.make(job, who=owner), who=owner, reason="Wrong name.")
    assert invoices.make(job, who=owner).number == 3


@pytest.mark.parametrize(
    "statement",
    ["UPDATE work_invoice SET total = 0", "DELETE FROM work_invoice_quotes", "DELETE FROM work_invoice"],
)
def test_the_database_refuses_to_change_an_invoice(statement: str, counter: Staff) -> None:
    invoices.make(ready(a_job()), who=counter)
    with pytest.raises(DatabaseError, match="never changed"), transaction.atomic():
        connection.cursor().execute(statement)


def test_a_failed_invoice_gives_its_number_back(counter: Staff) -> None:
    job = ready(a_job())
    with transaction.atomic():
        invoices.make(job, who=counter)
        transaction.set_rollback(True)
    assert invoices.make(job, who=counter).number == 1


@pytest.mark.django_db(transaction=True)
def test_numbers_have_no_gaps_when_many_are_made_at_once() -> None:
    who = StaffFactory()
    jobs = [ready(a_job(), who) for _ in range(6)]

    def make(job: Job) -> int:
        try:
            return invoices.make(job, who=who).number
        finally:
            connection.close()

    with ThreadPoolExecutor(6) as pool:
        # Each is asked for twice at once, as by two tablets.
        numbers = list(pool.map(make, [*jobs, *jobs]))
    assert sorted(set(numbers)) == [1, 2, 3, 4, 5, 6]
    assert numbers[:6] == numbers[6:]


@pytest.mark.django_db(transaction=True)
def test_an_invoice_that_two_take_back_at_once_is_taken_back_once() -> None:
    who = StaffFactory(role="owner")
    made = invoices.make(ready(a_job(), who), who=who)

    def take_back(_: int) -> bool:
        try:
            invoices.credit(made, who=who, reason="Wrong name.")
        except InvoiceRefused:
            return False
        finally:
            connection.close()
        return True

    with ThreadPoolExecutor(2) as pool:
        assert sum(pool.map(take_back, range(2))) == 1
    assert sorted(Invoice.objects.values_list("number", flat=True)) == [1, 2]


money = st.decimals(0, 5000, places=2)


class TestMoneyAddsUp(TestCase):
    @settings(max_examples=25, deadline=None)
    @given(steps=st.lists(st.tuples(st.booleans(), money), max_size=8))
    def test_paid_and_due_are_always_the_total(self, steps: list[tuple[bool, Decimal]]) -> None:
        owner = StaffFactory(role="owner")
        job = ready(a_job(), owner)
        for comes_in, amount in steps:
            try:
                if comes_in:
                    payments.take(job, amount, "cash", who=owner)
                else:
                    payments.refund(job, amount, "cash", who=owner, note="Wrong.")
            except payments.PaymentRefused:
                pass
            owing = invoices.owed(job)
            assert owing.paid + owing.due == owing.total == Decimal("110.00")
            assert 0 <= owing.paid <= owing.total


@given(total=money, paid=money, deposit=money)
def test_a_deposit_never_asks_for_more_than_is_due(total: Decimal, paid: Decimal, deposit: Decimal) -> None:
    owing = Owed(currency="USD", total=total, paid=paid, deposit=deposit)
    assert owing.paid + owing.due == owing.total
    assert 0 <= owing.deposit_due <= max(owing.due, 0)
