import datetime
from decimal import Decimal

import pytest
from django.utils import timezone

from shoprepair.jobs.models import Job
from shoprepair.pricing.models import Quote
from shoprepair.pricing.waiting import quotes_out
from tests.factories import JobFactory, QuoteFactory, QuoteLineFactory

pytestmark = pytest.mark.django_db
DAY = datetime.timedelta(days=1)


def out(days: int, amount: int = 100, **facts: object) -> Quote:
    """A quote that went out so many days ago, with 10 % tax."""
    quote = QuoteFactory(job=facts.pop("job", None) or JobFactory(stage="quote-out"), **facts)
    QuoteLineFactory(quote=quote, amount=amount)
    Quote.objects.filter(pk=quote.pk).update(state="out", sent_at=timezone.now() - days * DAY)
    return quote


def test_quotes_wait_from_the_day_on_which_they_went_out_the_longest_first():
    today, week = out(0), out(7)

    found = quotes_out(timezone.localdate())

    assert [(each.quote, each.days) for each in found] == [(week, 7), (today, 0)]


def test_what_waits_is_counted_as_the_shop_advises_it():
    quote = QuoteFactory(job=JobFactory(stage="quote-out"))
    QuoteLineFactory(quote=quote, amount=100)
    QuoteLineFactory(quote=quote, amount=40, optional=True, taken=False)
    QuoteLineFactory(quote=quote, amount=20, optional=True)
    Quote.objects.filter(pk=quote.pk).update(state="out", sent_at=timezone.now())

    assert [each.money for each in quotes_out(timezone.localdate())] == [("USD", Decimal("132.00"))]


def test_a_quote_whose_last_day_is_over_still_waits_and_has_run_out():
    today = timezone.localdate()
    over, last = out(20, valid_until=today - DAY), out(14, valid_until=today)

    assert {each.quote: each.expired for each in quotes_out(today)} == {over: True, last: False}


def test_a_quote_is_about_to_run_out_from_three_days_before_its_last_one():
    today = timezone.localdate()
    quotes = [out(9, valid_until=today + left * DAY) for left in (-1, 0, 3, 4)]

    soon = {each.quote: each.soon for each in quotes_out(today)}

    assert [soon[quote] for quote in quotes] == [False, True, True, False]


def test_an_addition_waits_as_any_quote_and_is_told_apart():
    first = out(5)
    Quote.objects.filter(pk=first.pk).update(state="accepted", answered_at=timezone.now())
    Job.objects.filter(pk=first.job_id).update(stage="bench")
    added = out(1, job=first.job, version=2, addition_to=first)

    assert [(each.quote, each.addition) for each in quotes_out(timezone.localdate())] == [(added, True)]


def test_nobody_waits_for_a_draft_an_answer_or_a_job_that_is_over():
    out(1, job=JobFactory(stage="withdrawn", is_open=False))
    QuoteLineFactory(quote=QuoteFactory())
    answered = out(1)
    Quote.objects.filter(pk=answered.pk).update(state="declined", answered_at=timezone.now())

    assert quotes_out(timezone.localdate()) == []


@pytest.mark.parametrize("count", [1, 3])
def test_it_costs_the_same_for_one_as_for_many(count, django_assert_num_queries):
    for _ in range(count):
        out(1)
    assert Job.objects.count() == count
    with django_assert_num_queries(2):
        [
            (each.quote.job.customer.name, each.quote.job.inflatable.pattern.name)
            for each in quotes_out(timezone.localdate())
        ]
