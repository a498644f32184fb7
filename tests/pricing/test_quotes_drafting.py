import datetime
from decimal import Decimal

import pytest
import time_machine
from django.db import IntegrityError, transaction
from django.utils import timezone

from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import catalogue, estimate, quotes, rules
from shoprepair.pricing.models import Operation, Quote
from shoprepair.shop import journal, settings
from shoprepair.shop.models import Staff
from tests.factories import JobFactory, QuoteFactory, QuoteLineFactory, accepted, quoted
from tests.pricing.quoting import answered, assessed, with_choices

pytestmark = pytest.mark.django_db
State = Quote.State


@pytest.fixture
def priced() -> None:
    """The catalogue as it comes with the program."""
    catalogue.load()


def prices(quote: Quote) -> list[tuple[str, Decimal]]:
    return [(line.text, line.amount) for line in quote.lines.all()]


@pytest.mark.usefixtures("priced")
def test_a_draft_begins_with_all_that_the_repairs_need(owner: Staff) -> None:
    job = assessed()
    quote = quotes.draft(job, who=owner)
    now = rules.current()
    lines = estimate.lines_for(job, now)
    assert [line.text for line in quote.lines.all()] == [line.text for line in lines]
    assert {line.kind for line in lines} >= {"repair", "access"}
    assert (quote.number, quote.state, quote.tax_percent) == (1, State.DRAFT, now.tax_percent)
    assert quote.valid_until == timezone.localdate() + datetime.timedelta(days=14)
    assert [entry.text for entry in journal.entries(job)] == ["Quote 1 was begun."]


@pytest.mark.usefixtures("priced")
def test_a_draft_takes_currency_terms_and_worth_as_they_are_that_day(owner: Staff) -> None:
    shop = settings.current()
    shop.currency, shop.terms = "JPY", "Fetched within 30 days."
    shop.save()
    job = assessed()
    job.inflatable.new_price, job.inflatable.bought_year = Decimal(1000), timezone.localdate().year - 1
    job.inflatable.save()
    quote = quotes.draft(job, who=owner)
    assert (quote.currency, quote.terms, quote.worth) == ("JPY", "Fetched within 30 days.", 780)
    assert all(amount % 1 == 0 for _, amount in prices(quote))


def test_a_job_has_one_draft_however_often_it_is_begun(owner: Staff, counter: Staff) -> None:
    job = assessed()
    assert quotes.draft(job, who=owner) == quotes.draft(job, who=counter)
    with pytest.raises(IntegrityError), transaction.atomic():
        QuoteFactory(job=job)


@pytest.mark.parametrize("stage", [Stage.WITHDRAWN, Stage.HANDED_BACK])
def test_nothing_is_quoted_for_a_job_that_has_left(stage: Stage, owner: Staff) -> None:
    job = JobFactory(stage=stage, is_open=False)
    with pytest.raises(quotes.JobClosed, match="nothing is quoted"):
        quotes.draft(job, who=owner)


@pytest.mark.usefixtures("priced")
def test_reckoning_anew_takes_todays_prices_and_keeps_what_a_person_wrote(owner: Staff) -> None:
    job = assessed()
    quote = quotes.draft(job, who=owner)
    patch, access = quote.lines.filter(kind="repair").first(), quote.lines.get(kind="access")
    quotes.change_line(quote, patch, who=owner, version=quote.version, amount=Decimal(77))
    quotes.add_line(quote, who=owner, version=quote.version, text="Courier", amount=Decimal(15))
    rules.change(rules.current(), who=owner, version=1, hourly_rate=Decimal(144), tax_percent=Decimal(20))
    quotes.refresh(quote, who=owner, version=quote.version)
    kept = dict(prices(quote))
    assert (kept[patch.text], kept["Courier"], kept[access.text]) == (77, 15, 2 * access.amount)
    assert quote.tax_percent == 20
    entry = journal.entries(quotes.subject(quote)).first()
    assert entry.changes[access.text] == [f"${access.amount}", f"${2 * access.amount}"]
    assert patch.text not in entry.changes


@pytest.mark.usefixtures("priced")
def test_reckoning_anew_takes_in_what_was_found_since_and_keeps_the_order(owner: Staff) -> None:
    job = assessed()
    quote = quotes.draft(job, who=owner)
    quotes.add_line(quote, who=owner, version=quote.version, text="Courier", amount=Decimal(15))
    last = quote.lines.filter(kind="repair").last()
    quotes.change_line(quote, last, who=owner, version=quote.version, detail="As agreed on the phone")
    number = assessed_again(job)
    quotes.refresh(quote, who=owner, version=quote.version)
    reckoned = [line.text for line in estimate.lines_for(job, rules.current())]
    assert [line.text for line in quote.lines.all()] == [*reckoned, "Courier"]
    assert quote.lines.filter(kind="repair", text__endswith=f"damage {number}").exists()
    assert quote.lines.get(pk=last.pk).detail == "As agreed on the phone"
    assert [line.position for line in quote.lines.all()] == list(range(1, len(reckoned) + 2))


def assessed_again(job: Job) -> int:
    """A second damage on the other side, found later; answers its number."""
    first = job.damages.get()
    first.pk, first.number, first.x_m, first.side, first.station = None, 2, -1.2, "left", 0.7
    first.save()
    return 2


@pytest.mark.usefixtures("priced")
def test_an_opening_whose_price_a_person_set_is_not_charged_twice_when_it_serves_another(
    owner: Staff,
) -> None:
    job = assessed()
    quote = quotes.draft(job, who=owner)
    access = quote.lines.get(kind="access")
    quotes.change_line(quote, access, who=owner, version=quote.version, amount=Decimal(40))
    first = job.damages.get()
    first.pk, first.number, first.x_m = None, 2, first.x_m + 0.05
    first.save()
    quotes.refresh(quote, who=owner, version=quote.version)
    assert quote.lines.get(kind="access").amount == 40


@pytest.mark.usefixtures("priced")
def test_reckoning_anew_twice_changes_nothing_more(owner: Staff) -> None:
    quote = quotes.draft(assessed(), who=owner)
    before = prices(quote)
    for _ in range(2):
        quotes.refresh(quote, who=owner, version=quote.version)
    assert prices(quote) == before


@pytest.mark.usefixtures("priced")
def test_new_catalogue_prices_reach_a_draft_only_when_it_is_reckoned_anew(owner: Staff) -> None:
    quote = quotes.draft(assessed(), who=owner)
    before = prices(quote)
    Operation.objects.update(set_up_minutes=999)
    assert prices(quote) == before
    quotes.refresh(quote, who=owner, version=quote.version)
    assert prices(quote) != before


def test_a_new_version_begins_with_what_the_last_one_said(owner: Staff) -> None:
    job = assessed()
    first, _ = with_choices(job, discount_percent=Decimal(10), note="With regards.")
    quotes.add_line(
        first, who=owner, version=first.version, text="Courier", amount=Decimal(15), optional=True
    )
    quotes.send(first, who=owner, version=first.version, base_url="https://loft.example")
    second = quotes.revise(first, who=owner)
    assert (second.number, second.state, second.discount_percent) == (2, State.DRAFT, 10)
    assert second.note == "With regards."
    assert prices(second) == prices(first)
    assert second.lines.get(text="Courier").by_hand
    first.refresh_from_db()
    assert first.state == State.OUT
    assert quotes.revise(first, who=owner) == second


def test_a_new_version_of_an_accepted_quote_begins_with_what_was_agreed(owner: Staff) -> None:
    quote, lines = with_choices(assessed())
    quotes.send(quote, who=owner, version=quote.version, base_url="https://loft.example")
    answered(quote, lines["mend"])
    second = quotes.revise(quote, who=owner)
    assert [line.text for line in second.lines.filter(taken=True)] == ["Casing patch", "Bladder patch"]


def test_an_expired_quote_is_written_anew_with_another_last_day(owner: Staff) -> None:
    quote = quoted(assessed(), owner)
    with time_machine.travel(timezone.now() + datetime.timedelta(days=30), tick=False):
        assert quotes.expired(quote)
        second = quotes.revise(quote, who=owner)
        assert second.valid_until == timezone.localdate() + datetime.timedelta(days=14)


def test_a_draft_that_nobody_wants_is_thrown_away(owner: Staff) -> None:
    quote = QuoteLineFactory(quote__job=assessed()).quote
    quotes.discard(quote, who=owner, version=1)
    assert not Quote.objects.exists()
    assert journal.entries(quote.job).get().text == "The draft of quote 1 was thrown away."
    with pytest.raises(quotes.NotADraft, match="thrown away meanwhile"):
        quotes.change(quote, who=owner, version=1, note="Too late.")


def test_the_customer_sees_the_newest_that_was_sent(owner: Staff) -> None:
    job = assessed()
    assert quotes.current(job) is None
    first = quoted(job, owner)
    second = quotes.revise(first, who=owner)
    assert quotes.current(job) == first
    quotes.send(second, who=owner, version=second.version, base_url="https://loft.example")
    assert quotes.current(job) == second
    assert [quote.number for quote in quotes.versions(job)] == [2, 1]
    accepted(second, job)
    third = quotes.revise(second, who=owner)
    quotes.send(third, who=owner, version=third.version, base_url="https://loft.example")
    assert (quotes.current(job), quotes.agreed(job)) == (third, second)
