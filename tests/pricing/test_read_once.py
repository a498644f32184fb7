"""A page reads the quotes of a job once; whoever changes something reads them anew."""

from collections.abc import Callable
from typing import Any

import pytest

from shoprepair.jobs.models import Job, Stage
from shoprepair.jobs.reading import live_damages, read_once
from shoprepair.pricing import quotes
from shoprepair.pricing.models import Quote
from shoprepair.pricing.quotes import finding
from shoprepair.shop.models import Staff
from tests.factories import DamageFactory, QuoteFactory, QuoteLineFactory, agreed
from tests.pricing.quoting import assessed, repair_of

pytestmark = pytest.mark.django_db
State = Quote.State
ASKED: list[Callable[[Job], Any]] = [
    finding.of,
    finding.current,
    finding.open_draft,
    finding.out,
    finding.agreed,
    finding.agreements,
    finding.waiting_addition,
    finding.declined_additions,
    finding.whole,
    finding.taken_lines,
    quotes.not_quoted,
    quotes.declined_damages,
    quotes.found_inside,
    live_damages,
]


@pytest.fixture
def job(owner: Staff) -> Job:
    """A job at the bench: agreed, then one addition declined and another out, and a draft begun."""
    found = assessed()
    base = agreed(found, owner)
    for number, states in enumerate(((State.OUT, State.DECLINED), (State.OUT,), ()), start=2):
        damage = DamageFactory(job=found, number=number)
        more = QuoteFactory(job=found, number=number, addition_to=base)
        QuoteLineFactory(quote=more, damages=[damage.number], repair=repair_of(found))
        for state in states:
            Quote.objects.filter(pk=more.pk).update(state=state)
    DamageFactory(job=found, number=9)
    Job.objects.filter(pk=found.pk).update(stage=Stage.BENCH)
    return Job.objects.get(pk=found.pk)


def test_what_was_read_once_answers_as_what_is_read_anew(job: Job) -> None:
    anew = [ask(job) for ask in ASKED]

    with read_once(job, "damages"), quotes.read_all_once(job):
        assert [ask(job) for ask in ASKED] == anew

    assert all(anew)


def test_whatever_a_page_asks_of_quotes_costs_two_statements(job: Job, django_assert_num_queries) -> None:
    with django_assert_num_queries(2), quotes.read_all_once(job):
        for ask in ASKED[:10]:
            ask(job)
        assert [line.text for quote in quotes.of(job) for line in quote.lines.all()]


def test_after_the_page_and_for_whoever_finds_the_job_meanwhile_the_newest_counts(job: Job) -> None:
    with read_once(job, "damages"), quotes.read_all_once(job):
        Quote.objects.filter(state=State.OUT).update(state=State.WITHDRAWN)
        DamageFactory(job=Job.objects.get(pk=job.pk), number=10)
        assert finding.out(job)
        assert finding.out(Job.objects.get(pk=job.pk)) is None

    assert finding.out(job) is None
    assert live_damages(job)[-1].number == 10


def test_a_page_within_a_page_reads_nothing_again(job: Job, django_assert_num_queries) -> None:
    with quotes.read_all_once(job), django_assert_num_queries(0), quotes.read_all_once(job):
        assert finding.agreed(job)
