"""The shop agrees in its own name to what it mends at nought, and to nothing else."""

import pytest

from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import answers, quotes
from shoprepair.pricing.answers import AnswerRefused
from shoprepair.pricing.models import Quote
from shoprepair.shop import journal, outbox
from shoprepair.shop.models import Staff
from tests.factories import QuoteFactory, QuoteLineFactory, quoted
from tests.pricing.quoting import answered, assessed

pytestmark = pytest.mark.django_db


def test_what_is_ours_to_mend_is_agreed_without_asking_anybody(owner: Staff) -> None:
    quote = quoted(assessed(), warranty=True)
    answers.agree_ourselves(quote, who=owner)
    job = Job.objects.get()
    assert (quote.state, quote.agreed["total"], job.stage) == ("accepted", "0.00", Stage.GO_AHEAD)
    told = journal.entries(job).get(verb="quote.accepted").text
    assert told == "Accepted quote 1 in the shop’s name, as ours to mend: $0.00."
    gone_on = journal.entries(job).get(verb="stage.changed", changes__stage__1="Go-ahead").text
    assert gone_on == "Go-ahead in the shop’s own name: quote 1.", "no customer said so"
    assert [letter.code for letter in outbox.letters(job)] == ["quote-out"], "nobody is thanked"


def test_nothing_that_costs_the_customer_is_agreed_in_the_shops_name(owner: Staff) -> None:
    quote = quoted(assessed())
    with pytest.raises(AnswerRefused, match="Only what costs the customer nothing"):
        answers.agree_ourselves(quote, who=owner)
    assert Quote.objects.get().state == "out"


def test_an_addition_to_what_is_no_longer_in_force_is_not_answered(owner: Staff) -> None:
    job = assessed()
    first = answered(quoted(job), *quoted_lines(job))
    Job.objects.update(stage=Stage.BENCH)
    more = quoted_addition(first, owner)
    Quote.objects.filter(pk=first.pk).update(state="replaced")
    more.refresh_from_db()
    with pytest.raises(AnswerRefused, match="Quote 1, which this adds to, is no longer in force"):
        answered(more)
    with pytest.raises(quotes.NotInForce, match="Quote 1, which this added to, is no longer in force"):
        quotes.revise(more, who=owner)


def quoted_lines(job: Job) -> list:
    return list(job.quotes.get().lines.all())


def quoted_addition(first: Quote, who: Staff) -> Quote:
    """An addition with one line, sent out."""
    more = QuoteFactory(job=first.job, addition_to=first)
    QuoteLineFactory(quote=more)
    return quotes.send(more, who=who, version=1, base_url="https://loft.example")
