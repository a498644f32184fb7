"""What the database itself refuses: a quote that is out stays as it was sent."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from django.db import DatabaseError, transaction

from shoprepair.pricing import rules
from shoprepair.pricing.models import Quote, QuoteLine
from shoprepair.shop.models import Staff
from tests.factories import (
    JobFactory,
    OperationFactory,
    QuoteFactory,
    QuoteLineFactory,
    agreed,
    quoted,
)
from tests.pricing.quoting import assessed, repair_of

pytestmark = pytest.mark.django_db
State = Quote.State

FIXED: dict[str, Any] = {
    "number": 9,
    "currency": "EUR",
    "tax_name": "VAT",
    "tax_percent": 25,
    "rounding": Decimal("0.05"),
    "minimum_charge": 99,
    "discount_percent": 50,
    "deposit_percent": 50,
    "deposit_from": 1,
    "warranty": True,
    "valid_until": "2031-01-01",
    "note": "Cheaper now.",
    "terms": "None.",
    "worth": 1,
    "sent_at": None,
}
LINE: dict[str, Any] = {
    "position": 9,
    "kind": "extra",
    "text": "Another patch",
    "detail": "In gold.",
    "operation_code": "gold",
    "damages": [9],
    "minutes": 1,
    "cost": 1,
    "amount": 1,
    "optional": True,
    "choice": "1 bladder",
    "taken": False,
    "by_hand": True,
}


def refused(change: Callable[[], Any]) -> None:
    """The change is refused by the database, whoever makes it."""
    with pytest.raises(DatabaseError, match="can no longer be changed"), transaction.atomic():
        change()


@pytest.mark.parametrize("name", FIXED)
def test_nothing_that_was_sent_changes_afterwards(name: str) -> None:
    quote = quoted(assessed())
    before = Quote.objects.values().get()
    refused(lambda: Quote.objects.filter(pk=quote.pk).update(**{name: FIXED[name]}))
    assert Quote.objects.values().get() == before


@pytest.mark.parametrize("name", LINE)
def test_no_line_that_was_sent_changes_afterwards(name: str) -> None:
    quote = quoted(assessed())
    before = QuoteLine.objects.values().get()
    refused(lambda: quote.lines.update(**{name: LINE[name]}))
    assert QuoteLine.objects.values().get() == before


def test_every_field_of_a_quote_is_fixed_or_belongs_to_its_answer() -> None:
    answer = {"state", "answered_at", "answered_name", "agreed", "version"}
    assert {field.name for field in Quote._meta.concrete_fields} == {
        *FIXED,
        *answer,
        "id",
        "job",
        "addition_to",
    }
    assert {field.name for field in QuoteLine._meta.concrete_fields} == {*LINE, "id", "quote", "repair"}


def test_a_quote_that_is_out_keeps_its_job_and_its_lines() -> None:
    quote, other = quoted(assessed()), JobFactory()
    draft = QuoteFactory(job=other)
    refused(lambda: Quote.objects.filter(pk=quote.pk).update(job=other))
    refused(lambda: Quote.objects.filter(pk=quote.pk).update(addition_to=quote))
    refused(lambda: quote.lines.update(quote=draft))
    refused(lambda: QuoteLineFactory(quote=quote))
    refused(quote.lines.all().delete)
    refused(lambda: QuoteLineFactory(quote=draft) and QuoteLine.objects.update(quote=quote))


def test_what_was_sent_is_not_deleted_with_or_without_its_job() -> None:
    quote = quoted(assessed())
    refused(quote.delete)
    refused(Quote.objects.all().delete)
    refused(quote.job.delete)
    assert quote.lines.count() == 1


def test_a_draft_may_still_be_changed_and_thrown_away() -> None:
    line = QuoteLineFactory()
    Quote.objects.update(**{name: value for name, value in FIXED.items() if name != "number"})
    QuoteLine.objects.update(**LINE)
    line.quote.delete()
    assert not QuoteLine.objects.exists()


@pytest.mark.parametrize("state", [State.ACCEPTED, State.DECLINED, State.REPLACED, State.WITHDRAWN])
def test_a_draft_becomes_nothing_but_a_quote_that_is_out(state: State) -> None:
    QuoteFactory()
    refused(lambda: Quote.objects.update(state=state))


WAYS = {
    State.OUT: {State.ACCEPTED, State.DECLINED, State.REPLACED, State.WITHDRAWN},
    State.ACCEPTED: {State.REPLACED},
    State.DECLINED: {State.REPLACED},
    State.REPLACED: set(),
    State.WITHDRAWN: set(),
}


@pytest.mark.parametrize("start", WAYS)
@pytest.mark.parametrize("to", State)
def test_a_quotes_state_goes_its_way_and_never_back(start: State, to: State) -> None:
    quote = QuoteFactory(state=State.OUT)
    if start != State.OUT:
        Quote.objects.update(state=start)
    if to == start or to in WAYS[start]:
        Quote.objects.filter(pk=quote.pk).update(state=to)
    else:
        refused(lambda: Quote.objects.filter(pk=quote.pk).update(state=to))


@pytest.mark.parametrize(
    ("name", "value"), [("answered_name", "Somebody"), ("answered_at", None), ("agreed", {"total": "1.00"})]
)
def test_an_answer_is_written_once(name: str, value: Any) -> None:
    quote = agreed(assessed())
    refused(lambda: Quote.objects.filter(pk=quote.pk).update(**{name: value}))
    refused(lambda: Quote.objects.filter(pk=quote.pk).update(state=State.REPLACED, **{name: value}))


def test_no_answer_is_written_beside_an_answer() -> None:
    quote = quoted(assessed())
    refused(lambda: Quote.objects.filter(pk=quote.pk).update(answered_name="Somebody"))
    refused(lambda: Quote.objects.filter(pk=quote.pk).update(state=State.REPLACED, agreed={"a": 1}))


def test_a_dropped_repair_leaves_the_line_as_it_was_sent() -> None:
    job = assessed()
    repair = repair_of(job)
    quote = QuoteFactory(job=job)
    line = QuoteLineFactory(quote=quote, repair=repair)
    Quote.objects.update(state=State.OUT)
    another = repair_of(job)
    refused(lambda: QuoteLine.objects.update(repair=another))
    repair.delete()
    line.refresh_from_db()
    assert (line.repair, line.text, line.amount) == (None, "Casing patch", 100)


def test_new_prices_touch_no_quote_that_is_out(owner: Staff) -> None:
    quote = quoted(assessed(), owner)
    before = (Quote.objects.values().get(), list(QuoteLine.objects.values()))
    rules.change(
        rules.current(),
        who=owner,
        version=1,
        hourly_rate=Decimal(500),
        tax_percent=Decimal(25),
        minimum_charge=Decimal(900),
        rounding="1.00",
    )
    OperationFactory.create_batch(2, set_up_minutes=900)
    assert (Quote.objects.values().get(), list(QuoteLine.objects.values())) == before
    assert quote.lines.get().amount == 100
