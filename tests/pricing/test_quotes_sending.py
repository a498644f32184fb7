import datetime

import pytest
import time_machine
from django.utils import timezone

from shoprepair.jobs import links, stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.jobs.stages import StageRefused, refusals
from shoprepair.pricing import quotes
from shoprepair.pricing.models import Quote
from shoprepair.shop import journal, outbox
from shoprepair.shop.models import Letter, Staff
from tests.factories import CustomerFactory, JobFactory, QuoteFactory, QuoteLineFactory, agreed, quoted
from tests.pricing.quoting import answered, assessed

pytestmark = pytest.mark.django_db
State = Quote.State
BASE = "https://loft.example"


def send(quote: Quote, who: Staff) -> Quote:
    return quotes.send(quote, who=who, version=quote.version, base_url=BASE)


def another(job: Job, who: Staff) -> Quote:
    """A newer quote for the same job, still a draft."""
    current = quotes.current(job)
    assert current is not None
    return quotes.revise(current, who=who)


def test_a_quote_goes_out_with_stage_link_letter_and_journal(owner: Staff) -> None:
    job = assessed()
    quote = quoted(job, owner)
    assert (quote.state, quote.version) == (State.OUT, 2)
    assert quote.sent_at is not None
    assert job.stage == Stage.QUOTE_OUT
    link = links.current(job)
    assert link is not None
    [letter] = outbox.letters(job)
    assert (letter.code, letter.to) == ("quote-out", "ilka@sandvoort.example")
    assert links.url(link, BASE) in letter.body
    assert "$110.00" in letter.body
    assert [entry.verb for entry in journal.entries(job)] == ["link.made", "stage.changed", "quote.sent"]
    assert journal.entries(job).last().text == "Quote 1 was sent out: $110.00."


def test_a_customer_without_an_address_gets_no_letter(owner: Staff) -> None:
    job = assessed(customer=CustomerFactory())
    quoted(job, owner)
    assert links.current(job)
    assert not Letter.objects.exists()


def test_a_newer_quote_takes_the_place_of_the_one_that_is_out(owner: Staff) -> None:
    job = assessed()
    first = quoted(job, owner)
    link = links.current(job)
    second = send(another(job, owner), owner)
    first.refresh_from_db()
    assert (first.state, second.state, quotes.current(job)) == (State.REPLACED, State.OUT, second)
    assert links.current(job) == link
    assert [letter.code for letter in outbox.letters(job)] == ["quote-replaced", "quote-out"]


def test_what_was_agreed_stands_until_the_newer_quote_is_accepted(owner: Staff) -> None:
    job = assessed()
    first = agreed(job, owner)
    stages.move(job, Stage.BENCH, who=owner)
    second = send(another(job, owner), owner)
    job.refresh_from_db()
    assert (job.stage, quotes.agreed(job), quotes.current(job)) == (Stage.BENCH, first, second)
    answered(second)
    first.refresh_from_db()
    job.refresh_from_db()
    assert (first.state, quotes.agreed(job), job.stage) == (State.REPLACED, second, Stage.BENCH)
    assert first.agreed["total"] == "110.00"


def test_a_newer_quote_declined_on_the_bench_leaves_what_was_agreed(owner: Staff) -> None:
    job = assessed()
    first = agreed(job, owner)
    second = send(another(job, owner), owner)
    answered(second, accepted=False)
    job.refresh_from_db()
    assert (job.stage, quotes.agreed(job)) == (Stage.GO_AHEAD, first)


def test_a_declined_job_is_quoted_again(owner: Staff) -> None:
    job = assessed()
    answered(quoted(job, owner), accepted=False)
    job.refresh_from_db()
    assert job.stage == Stage.DECLINED
    send(another(job, owner), owner)
    job.refresh_from_db()
    assert (job.stage, job.is_open) == (Stage.QUOTE_OUT, True)
    assert [quote.state for quote in quotes.versions(job)] == [State.OUT, State.REPLACED]


@pytest.mark.parametrize("stage", [Stage.ENQUIRY, Stage.CHECKED_IN])
def test_nothing_goes_out_before_the_damage_is_assessed(stage: Stage, owner: Staff) -> None:
    job = assessed(stage=stage)
    quote = QuoteLineFactory(quote__job=job).quote
    with pytest.raises(StageRefused, match="cannot jump"):
        send(quote, owner)
    quote.refresh_from_db()
    assert (quote.state, quote.sent_at) == (State.DRAFT, None)
    assert not links.current(job)
    assert not journal.entries(job).exists()


def test_a_quote_that_cannot_be_sent_changes_nothing_at_all(owner: Staff) -> None:
    job = assessed()
    first = quoted(job, owner)
    second = another(job, owner)
    second.lines.all().delete()
    with pytest.raises(quotes.NotSendable, match="Add a line first"):
        send(second, owner)
    first.refresh_from_db()
    assert first.state == State.OUT
    assert len(outbox.letters(job)) == 1


def test_a_draft_that_lay_too_long_needs_another_last_day(owner: Staff) -> None:
    quote = QuoteLineFactory(quote__job=assessed()).quote
    late = timezone.now() + datetime.timedelta(days=15)
    with time_machine.travel(late, tick=False), pytest.raises(quotes.NotSendable, match="Set another day"):
        send(quote, owner)


def test_a_quote_is_taken_back_with_a_reason_and_the_job_assessed_again(owner: Staff) -> None:
    job = assessed()
    quote = quoted(job, owner)
    quotes.withdraw(quote, who=owner, reason="The valve is broken too.")
    job.refresh_from_db()
    assert (quote.state, job.stage, quotes.current(job)) == (State.WITHDRAWN, Stage.ASSESSED, None)
    assert journal.entries(job).filter(verb="quote.withdrawn").get().text == (
        "Quote 1 was withdrawn: The valve is broken too."
    )


def test_a_quote_is_not_taken_back_without_a_reason_or_twice(owner: Staff) -> None:
    quote = quoted(assessed(), owner)
    with pytest.raises(quotes.NotSendable, match="Say why"):
        quotes.withdraw(quote, who=owner, reason=" \0")
    quotes.withdraw(quote, who=owner, reason="Wrong wing.")
    with pytest.raises(quotes.NotOut, match="does not await an answer: withdrawn"):
        quotes.withdraw(quote, who=owner, reason="Wrong wing.")


def test_a_draft_is_not_taken_back(owner: Staff) -> None:
    with pytest.raises(quotes.NotOut, match="draft"):
        quotes.withdraw(QuoteFactory(), who=owner, reason="Why not.")


def test_a_job_goes_to_quote_out_only_with_a_quote_out(owner: Staff) -> None:
    job = assessed()
    assert refusals(job, Stage.QUOTE_OUT) == ["No quote is out yet. Write it and send it."]
    QuoteLineFactory(quote__job=job)
    assert refusals(job, Stage.QUOTE_OUT) == ["No quote is out yet. Write it and send it."]


def test_a_job_goes_ahead_only_with_an_accepted_quote(owner: Staff) -> None:
    assert refusals(JobFactory(stage=Stage.QUOTE_OUT), Stage.GO_AHEAD) == [
        "There is no quote that the customer could have accepted."
    ]
    job = assessed()
    quoted(job, owner)
    assert refusals(job, Stage.GO_AHEAD) == ["The customer has not accepted quote 1 yet."]


def test_an_older_agreement_is_no_go_ahead_for_a_newer_quote(owner: Staff) -> None:
    job = assessed()
    agreed(job, owner)
    stages.move(job, Stage.ASSESSED, who=owner, reason="Another cut.")
    send(another(job, owner), owner)
    job.refresh_from_db()
    assert refusals(job, Stage.GO_AHEAD) == ["The customer has not accepted quote 2 yet."]


def test_where_nothing_more_is_to_be_quoted_the_older_agreement_leads_ahead(owner: Staff) -> None:
    job = assessed()
    agreed(job, owner)
    stages.move(job, Stage.ASSESSED, who=owner, reason="Another cut, perhaps.")
    for stage in (Stage.QUOTE_OUT, Stage.GO_AHEAD):
        stages.move(job, stage, who=owner)
    assert job.stage == Stage.GO_AHEAD


def test_a_declined_quote_leads_nowhere(owner: Staff) -> None:
    job = assessed()
    answered(quoted(job, owner), accepted=False)
    job.refresh_from_db()
    stages.move(job, Stage.ASSESSED, who=owner, reason="They called again.")
    assert refusals(job, Stage.QUOTE_OUT) == ["No quote is out yet. Write it and send it."]


@pytest.mark.parametrize("to", [Stage.ASSESSED, Stage.DECLINED])
def test_a_quote_that_awaits_its_answer_is_not_passed_over(to: Stage, owner: Staff) -> None:
    job = assessed()
    quoted(job, owner)
    assert refusals(job, to) == ["Quote 1 still awaits its answer. Write that down, or take it back."]
