"""An addition that went out: answered, replaced, taken back, refused, and two at once."""

import datetime
from collections.abc import Callable
from decimal import Decimal

import pytest
import time_machine
from django.utils import timezone

from shoprepair.jobs import stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import quotes, totals
from shoprepair.pricing.answers import AnswerRefused
from shoprepair.pricing.models import Quote
from shoprepair.shop import journal, outbox
from shoprepair.shop.models import Staff
from shoprepair.work import steps
from shoprepair.work.models import Step
from tests import again
from tests.factories import StaffFactory
from tests.pricing.adding import BASE, State, found, in_work, out, said, send
from tests.pricing.mending import stocked
from tests.pricing.test_answers_at_once import at_once
from tests.work.benching import named, tap

pytestmark = pytest.mark.django_db


ENDS = (Step.Kind.REFIT, Step.Kind.CLOSE, Step.Kind.CHECK)


@pytest.fixture
def job(owner: Staff) -> Job:
    """A wing on the bench for an agreed cut near the centre of its leading edge."""

    def make() -> Job:
        stocked()
        return in_work(owner)

    return again.once(f"a wing on the bench of {owner.pk}", make)


def stage(job: Job) -> str:
    return Job.objects.get(pk=job.pk).stage


def states(job: Job) -> list[str]:
    return [quote.state for quote in quotes.versions(job).order_by("number")]


# Sent and answered


def test_it_goes_out_without_moving_the_job_or_touching_what_was_agreed(job: Job, owner: Staff) -> None:
    first = Quote.objects.values().get()
    found(job)
    addition = out(job, owner)
    assert (addition.state, stage(job)) == (State.OUT, Stage.BENCH)
    assert Quote.objects.values().get(number=1) == first
    letter = outbox.letters(job)[0]
    assert letter.code == "addition-out"
    assert "What you agreed before holds either way" in letter.body
    every = quotes.together(addition, totals.of(addition).total)
    assert f"Together with what you agreed: ${every:,.2f}" in letter.body


def test_accepting_it_keeps_both_in_force_and_the_job_where_it_is(job: Job, owner: Staff) -> None:
    first = quotes.agreed(job)
    found(job)
    addition = said(out(job, owner))
    assert states(job) == [State.ACCEPTED, State.ACCEPTED]
    assert (quotes.agreed(job), quotes.agreements(job)) == (first, [first, addition])
    assert stage(job) == Stage.BENCH
    assert outbox.letters(job)[0].code == "addition-agreed"
    entry = journal.entries(job).first()
    assert entry.text.startswith("Accepted quote 2, in addition to quote 1: $")


def test_accepting_it_makes_its_steps_before_what_closes(job: Job, owner: Staff) -> None:
    tap(named(job, "Unpick"), "done", owner)
    before = {step.pk for step in steps.of(job)}
    new = found(job)
    addition = out(job, owner)
    assert {step.pk for step in steps.of(job)} == before
    said(addition)
    after = steps.of(job)
    assert before < {step.pk for step in after}
    mine = [step.position for step in after if step.damages == [new.number]]
    assert max(mine) < min(step.position for step in after if step.kind in ENDS)
    assert [step.kind for step in after].count(Step.Kind.OPEN) == 1


def test_declining_it_leaves_the_agreed_work_and_the_damage_in_sight(job: Job, owner: Staff) -> None:
    before = [(step.pk, step.version) for step in steps.of(job)]
    new = found(job)
    said(out(job, owner), yes=False)
    job.refresh_from_db()
    assert states(job) == [State.ACCEPTED, State.DECLINED]
    assert (job.stage, job.is_open) == (Stage.BENCH, True)
    assert [(step.pk, step.version) for step in steps.of(job)] == before
    assert quotes.declined_damages(job) == {new.number}
    assert quotes.not_quoted(job) == []
    assert job.damages.filter(removed_at=None, number=new.number).exists()


def test_what_was_declined_is_not_asked_again_with_what_is_found_next(job: Job, owner: Staff) -> None:
    found(job)
    declined = said(out(job, owner), yes=False)
    more = found(job, 0.6, side="left")
    addition = out(job, owner)
    assert {number for line in addition.lines.all() for number in line.damages} == {more.number}
    declined.refresh_from_db()
    assert declined.state == State.DECLINED


def test_whoever_thinks_again_is_sent_the_declined_addition_anew(job: Job, owner: Staff) -> None:
    found(job)
    declined = said(out(job, owner), yes=False)
    again = quotes.revise(declined, who=owner)
    assert again.addition_to == quotes.agreed(job)
    said(send(again, owner))
    assert states(job) == [State.ACCEPTED, State.DECLINED, State.ACCEPTED]
    assert quotes.declined_damages(job) == set()


def test_a_newer_addition_takes_the_place_of_the_one_that_is_out(job: Job, owner: Staff) -> None:
    found(job)
    older = out(job, owner)
    found(job, 0.6, side="left")
    newer = out(job, owner)
    assert states(job) == [State.ACCEPTED, State.REPLACED, State.OUT]
    assert {number for line in newer.lines.all() for number in line.damages} == {2, 3}
    older.refresh_from_db()
    with pytest.raises(AnswerRefused, match="There is a newer quote in place of this one"):
        said(older)


def test_a_new_version_of_all_that_was_agreed_holds_the_additions_too(job: Job, owner: Staff) -> None:
    found(job)
    first, addition = quotes.agreed(job), said(out(job, owner))
    whole = quotes.revise(addition, who=owner)
    assert whole.addition_to is None
    assert whole.lines.count() == first.lines.count() + addition.lines.count()
    said(send(whole, owner))
    assert states(job) == [State.REPLACED, State.REPLACED, State.ACCEPTED]


def test_an_addition_to_what_is_no_longer_agreed_is_not_sent(job: Job, owner: Staff) -> None:
    first = quotes.agreed(job)
    whole = quotes.revise(first, who=owner)
    send(whole, owner)
    found(job)
    draft = quotes.draft(job, who=owner)
    with pytest.raises(quotes.NotSendable, match=r"Quote 2 still awaits its answer .* Take it back first"):
        send(draft, owner)
    said(whole)
    draft.refresh_from_db()
    with pytest.raises(quotes.NotSendable, match="Quote 1, which this adds to, is no longer in force"):
        send(draft, owner)


def test_nothing_is_added_to_work_that_went_back_to_the_assessment(job: Job, owner: Staff) -> None:
    found(job)
    draft = quotes.draft(job, who=owner)
    stages.move(job, Stage.ASSESSED, who=owner, reason="All anew.")
    with pytest.raises(quotes.NotSendable, match="The job is at “Assessed”"):
        send(draft, owner)


def test_a_declined_addition_stands_in_no_way_of_the_agreed_work(job: Job, owner: Staff) -> None:
    found(job)
    said(out(job, owner), yes=False)
    stages.move(job, Stage.ASSESSED, who=owner, reason="A look at it.")
    for to in (Stage.QUOTE_OUT, Stage.GO_AHEAD):
        stages.move(job, to, who=owner)
    assert stage(job) == Stage.GO_AHEAD


def test_it_is_taken_back_without_moving_the_job(job: Job, owner: Staff) -> None:
    found(job)
    quotes.withdraw(out(job, owner), who=owner, reason="It was dirt.")
    assert (stage(job), states(job)) == (Stage.BENCH, [State.ACCEPTED, State.WITHDRAWN])
    assert quotes.not_quoted(job) == [2]


def test_the_job_is_not_ready_while_an_addition_awaits_its_answer(job: Job, owner: Staff) -> None:
    found(job)
    addition = out(job, owner)
    Job.objects.filter(pk=job.pk).update(stage=Stage.HOLD_TEST)
    job.refresh_from_db()
    waits = "The addition, quote 2, still awaits its answer. Write that down, or take it back."
    assert waits in stages.refusals(job, Stage.READY)
    said(addition, yes=False)
    assert waits not in stages.refusals(job, Stage.READY)


# Refused
def refusal(do: Callable[[], object]) -> str:
    before = list(Quote.objects.values())
    with pytest.raises(AnswerRefused) as refused:
        do()
    assert list(Quote.objects.values()) == before
    return str(refused.value)


def test_an_expired_addition_is_answered_no_more(job: Job, owner: Staff) -> None:
    found(job)
    addition = out(job, owner)
    late = timezone.now() + datetime.timedelta(days=40)
    with time_machine.travel(late, tick=False):
        assert "This quote was valid until" in refusal(lambda: said(addition))


def test_another_total_than_the_page_showed_is_refused(job: Job, owner: Staff) -> None:
    found(job)
    addition = out(job, owner)
    assert "The page showed $1.00" in refusal(lambda: said(addition, total_shown=Decimal(1)))


def test_the_same_answer_again_is_the_one_on_record_and_another_is_refused(job: Job, owner: Staff) -> None:
    found(job)
    addition = out(job, owner)
    seen = addition.version
    said(addition)
    made = [step.pk for step in steps.of(job)]
    said(addition, version=seen)
    assert [step.pk for step in steps.of(job)] == made
    assert "already accepted by Ilka Sandvoort" in refusal(lambda: said(addition, yes=False))


def test_gear_that_left_the_shop_gets_no_addition(job: Job, owner: Staff) -> None:
    found(job)
    addition = out(job, owner)
    Job.objects.filter(pk=job.pk).update(stage=Stage.WITHDRAWN, is_open=False)
    assert "The job is at “Withdrawn”" in refusal(lambda: said(addition))


# At once


@pytest.mark.django_db(transaction=True)
def test_of_a_yes_and_a_no_at_the_same_moment_one_stands_and_the_agreement_in_any_case() -> None:
    stocked()
    who = StaffFactory()
    job = in_work(who)
    found(job)
    addition = out(job, who)
    yes, no = at_once(
        lambda: said(Quote.objects.get(pk=addition.pk)),
        lambda: said(Quote.objects.get(pk=addition.pk), yes=False),
    )
    assert [yes, no].count(None) == 1
    assert states(job) == [State.ACCEPTED, State.ACCEPTED if yes is None else State.DECLINED]


@pytest.mark.django_db(transaction=True)
def test_when_it_is_accepted_while_a_newer_one_is_sent_one_of_them_wins() -> None:
    stocked()
    who = StaffFactory()
    job = in_work(who)
    found(job)
    older = out(job, who)
    newer = quotes.revise(older, who=who)
    customer, shop = at_once(
        lambda: said(Quote.objects.get(pk=older.pk)),
        lambda: quotes.send(newer, who=who, version=1, base_url=BASE),
    )
    if customer is None:
        assert isinstance(shop, quotes.Stale)
        assert states(job) == [State.ACCEPTED, State.ACCEPTED, State.DRAFT]
    else:
        assert shop is None
        assert states(job) == [State.ACCEPTED, State.REPLACED, State.OUT]
