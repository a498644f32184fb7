from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal

import pytest
from django.db import DatabaseError, connection, transaction

from shoprepair.jobs.models import Job, Stage
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.work import invoices, payments
from shoprepair.work.models import Payment
from shoprepair.work.payments import PaymentRefused, refund, take
from tests.factories import JobFactory, StaffFactory, ready
from tests.work.test_invoices import a_job

pytestmark = pytest.mark.django_db


@pytest.fixture
def job() -> Job:
    """Ready, with $110.00 to pay."""
    return ready(a_job())


def test_a_payment_is_written_down_with_how_it_was_paid(job: Job, counter: Staff) -> None:
    taken = take(job, Decimal("60.00"), "card", who=counter, note=" by her  brother ")
    assert (taken.amount, taken.get_method_display(), taken.note) == (
        Decimal("60.00"),
        "Card",
        "by her brother",
    )
    assert journal.entries(job).first().text == "Took $60.00 by card."
    assert invoices.owed(job).due == Decimal("50.00")


def test_a_deposit_is_set_off(job: Job, counter: Staff) -> None:
    take(job, Decimal("33.00"), "transfer", who=counter, is_deposit=True)
    assert journal.entries(job).first().text == "Took a deposit of $33.00 by transfer."
    assert invoices.owed(job).due == Decimal("77.00")


def test_more_than_is_due_is_refused_with_what_is_due(job: Job, counter: Staff) -> None:
    with pytest.raises(PaymentRefused) as refusal:
        take(job, Decimal("110.01"), "cash", who=counter)
    assert str(refusal.value) == "Only $110.00 is still due; $110.01 would be too much."
    take(job, Decimal("109.99"), "cash", who=counter)
    take(job, Decimal("0.01"), "cash", who=counter)
    assert journal.entries(job).first().verb == "payment.taken"
    with pytest.raises(PaymentRefused) as refusal:
        take(job, Decimal("0.01"), "cash", who=counter)
    assert str(refusal.value) == "Nothing is due for this job, so there is nothing to take."


def test_nothing_is_taken_for_what_nobody_agreed_to(counter: Staff) -> None:
    with pytest.raises(PaymentRefused, match="Nothing is due"):
        take(JobFactory(stage=Stage.READY), Decimal(5), "cash", who=counter)


@pytest.mark.parametrize("amount", ["0", "-5", "NaN", "Infinity", "1.001", "1e20"])
def test_an_amount_that_is_none_is_refused(amount: str, job: Job, counter: Staff) -> None:
    with pytest.raises(PaymentRefused) as refusal:
        take(job, Decimal(amount), "cash", who=counter)
    assert str(refusal.value) == "Write an amount above nought, with two decimals or none."
    assert not Payment.objects.exists()


def test_a_payment_names_one_of_the_ways_to_pay(job: Job, counter: Staff) -> None:
    with pytest.raises(PaymentRefused) as refusal:
        take(job, Decimal(5), "shells", who=counter)
    assert str(refusal.value) == "Choose how it was paid: cash, card or transfer."
    assert refusal.value.field == "method"


def test_a_note_of_a_thousand_letters_is_refused(job: Job, counter: Staff) -> None:
    with pytest.raises(PaymentRefused) as refusal:
        take(job, Decimal(5), "cash", who=counter, note="x" * 1000)
    assert str(refusal.value) == "Say it in 200 letters or fewer; these are 1000."


def test_no_cent_of_a_yen_is_taken(counter: Staff) -> None:
    job = ready(a_job(), currency="JPY", rounding=Decimal(1))
    with pytest.raises(PaymentRefused, match="smaller coins than JPY knows"):
        take(job, Decimal("10.50"), "cash", who=counter)


def test_the_owner_gives_money_back_with_a_note(job: Job, owner: Staff, counter: Staff) -> None:
    take(job, Decimal("110.00"), "cash", who=counter)
    for who, note, sentence in (
        (counter, "Late.", "Only the owner gives money back."),
        (owner, " ", "Say why the money goes back, in a few words."),
    ):
        with pytest.raises(PaymentRefused) as refusal:
            refund(job, Decimal("10.00"), "cash", who=who, note=note)
        assert str(refusal.value) == sentence
    back = refund(job, Decimal("10.00"), "cash", who=owner, note="Late.")
    assert back.amount == Decimal("-10.00")
    assert journal.entries(job).first().text == "Gave $10.00 back in cash: Late."
    assert invoices.owed(job).due == Decimal("10.00")


def test_no_more_goes_back_than_came_in(job: Job, owner: Staff) -> None:
    take(job, Decimal("20.00"), "cash", who=owner)
    with pytest.raises(PaymentRefused, match=r"Only \$20.00 came in for this job; \$20.01 cannot go back"):
        refund(job, Decimal("20.01"), "cash", who=owner, note="Late.")


def test_a_refusal_says_which_field_it_is_about(job: Job, counter: Staff, owner: Staff) -> None:
    cases = [
        (take, counter, "200.00", "cash", "", "amount"),
        (take, counter, "0", "cash", "", "amount"),
        (take, counter, "5.00", "shells", "", "method"),
        (take, counter, "5.00", "cash", "x" * 201, "note"),
        (refund, counter, "5.00", "cash", "Late.", ""),
        (refund, owner, "0", "cash", "Late.", "amount"),
        (refund, owner, "5.00", "shells", "Late.", "method"),
        (refund, owner, "5.00", "cash", "x" * 201, "note"),
        (refund, owner, "5.00", "cash", "  ", "note"),
        (refund, owner, "5.00", "cash", "Late.", "amount"),
    ]
    for move, who, amount, method, note, field in cases:
        with pytest.raises(PaymentRefused) as refusal:
            move(job, Decimal(amount), method, who=who, note=note)
        assert refusal.value.field == field, (move, amount, note)
        assert str(refusal.value)


def test_what_came_in_and_went_back_is_kept_with_who_when_and_why(
    job: Job, counter: Staff, owner: Staff
) -> None:
    deposit = take(job, Decimal("33.00"), "transfer", who=counter, is_deposit=True)
    take(job, Decimal("77.00"), "card", who=counter)
    back = refund(job, Decimal("110.00"), "cash", who=owner, note="  Torn  again. ")
    kept = [(each.amount, each.method, each.is_deposit, each.note, each.who) for each in payments.of(job)]
    assert kept == [
        (Decimal("33.00"), "transfer", True, "", counter),
        (Decimal("77.00"), "card", False, "", counter),
        (Decimal("-110.00"), "cash", False, "Torn again.", owner),
    ]
    assert abs(back.at - deposit.at).total_seconds() < 60
    told = [(entry.verb, entry.text, entry.who) for entry in journal.entries(job)[:3]]
    assert told == [
        ("payment.refunded", "Gave $110.00 back in cash: Torn  again.", owner),
        ("payment.taken", "Took $77.00 by card.", counter),
        ("payment.taken", "Took a deposit of $33.00 by transfer.", counter),
    ]


def test_the_payments_of_a_job_are_its_own_and_come_with_who_took_them(
    job: Job, counter: Staff, django_assert_num_queries
) -> None:
    taken = take(job, Decimal("20.00"), "cash", who=counter, note="x" * 200)
    take(ready(a_job()), Decimal("10.00"), "cash", who=counter)
    with django_assert_num_queries(1):
        assert [(each, each.who.first_name) for each in payments.of(job)] == [(taken, "Maja")]


@pytest.mark.parametrize("statement", ["UPDATE work_payment SET amount = 0", "DELETE FROM work_payment"])
def test_the_database_refuses_to_change_a_payment(statement: str, job: Job, counter: Staff) -> None:
    take(job, Decimal("20.00"), "cash", who=counter)
    with pytest.raises(DatabaseError, match="never changed"), transaction.atomic():
        connection.cursor().execute(statement)


@pytest.mark.django_db(transaction=True)
def test_two_tablets_at_once_never_take_more_than_is_due() -> None:
    who = StaffFactory()
    job = ready(a_job(), who)

    def pay(_: int) -> bool:
        try:
            take(job, Decimal("60.00"), "cash", who=who)
        except PaymentRefused:
            return False
        finally:
            connection.close()
        return True

    with ThreadPoolExecutor(4) as pool:
        assert sum(pool.map(pay, range(4))) == 1
    assert invoices.owed(job).paid == Decimal("60.00")
    assert payments.of(job).count() == 1


@pytest.mark.django_db(transaction=True)
def test_two_tablets_at_once_never_give_back_more_than_came_in() -> None:
    who = StaffFactory(role="owner")
    job = ready(a_job(), who)
    take(job, Decimal("60.00"), "cash", who=who)

    def give_back(_: int) -> bool:
        try:
            refund(job, Decimal("40.00"), "cash", who=who, note="Torn again.")
        except PaymentRefused:
            return False
        finally:
            connection.close()
        return True

    with ThreadPoolExecutor(4) as pool:
        assert sum(pool.map(give_back, range(4))) == 1
    assert invoices.owed(job).paid == Decimal("20.00")
