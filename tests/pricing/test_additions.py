"""More is found while the work goes on: what is new is quoted in addition to what was agreed."""

import datetime
from collections.abc import Callable
from decimal import Decimal

import pytest
import time_machine
from django.utils import timezone

from shoprepair.jobs import damages, stages
from shoprepair.jobs.models import Customer, Damage, Job, Stage
from shoprepair.jobs.reading import read_once
from shoprepair.pricing import access, quotes, rules, totals
from shoprepair.pricing.answers import AnswerRefused
from shoprepair.pricing.models import Quote
from shoprepair.shop import journal, outbox
from shoprepair.shop.models import Staff
from shoprepair.work import steps
from shoprepair.work.models import Step
from tests import again
from tests.factories import StaffFactory, accepted
from tests.pricing.mending import a_job, on_the_canopy, on_the_edge, stocked
from tests.pricing.quoting import answered
from tests.pricing.test_answers_at_once import at_once
from tests.work.benching import named, tap

pytestmark = pytest.mark.django_db
State = Quote.State
BASE = "https://loft.example"
ENDS = (Step.Kind.REFIT, Step.Kind.CLOSE, Step.Kind.CHECK)


@pytest.fixture
def job(owner: Staff) -> Job:
    """A wing on the bench for an agreed cut near the centre of its leading edge."""

    def make() -> Job:
        stocked()
        return in_work(owner)

    return again.once(f"a wing on the bench of {owner.pk}", make)


def in_work(owner: Staff) -> Job:
    job = a_job()
    on_the_edge(job, 0.1, "cut", mm=40)
    Customer.objects.filter(pk=job.customer_id).update(email="ilka@sandvoort.example")
    Job.objects.filter(pk=job.pk).update(stage=Stage.ASSESSED)
    job = Job.objects.get(pk=job.pk)
    accepted(send(quotes.draft(job, who=owner), owner), job)
    stages.move(job, Stage.BENCH, who=owner)
    return job


def send(quote: Quote, who: Staff) -> Quote:
    return quotes.send(quote, who=who, version=quote.version, base_url=BASE)


def found(job: Job, station: float = 0.12, **facts) -> Damage:
    """A cut that only shows once the tube is open."""
    return on_the_edge(job, station, "cut", **{"mm": 20, **facts})


def out(job: Job, who: Staff) -> Quote:
    """The addition for what was found, sent out."""
    return send(quotes.draft(job, who=who), who)


def said(quote: Quote, *, yes: bool = True, **changes) -> Quote:
    """The customer's answer to the quote as the shop advises it."""
    return answered(quote, *quote.lines.filter(taken=True), accepted=yes, **changes)


def stage(job: Job) -> str:
    return Job.objects.get(pk=job.pk).stage


def states(job: Job) -> list[str]:
    return [quote.state for quote in quotes.versions(job).order_by("number")]


# What it holds


def test_what_is_found_in_work_is_quoted_in_addition_and_alone(job: Job, owner: Staff) -> None:
    first = quotes.agreed(job)
    new = found(job, 0.7, side="left")
    draft = quotes.draft(job, who=owner)
    assert (draft.number, draft.addition_to, draft.state) == (2, first, State.DRAFT)
    assert {number for line in draft.lines.all() for number in line.damages} == {new.number}
    agreed = {line["id"] for line in first.agreed["lines"]}
    repairs = set(first.lines.filter(pk__in=agreed, kind="repair").values_list("repair", flat=True))
    assert not repairs & set(draft.lines.filter(kind="repair").values_list("repair", flat=True))


def test_an_opening_that_is_agreed_is_shared_and_only_what_it_takes_more_is_charged(
    job: Job, owner: Staff
) -> None:
    new = found(job)
    draft = quotes.draft(job, who=owner)
    line = draft.lines.get(kind="access")
    before = quotes.agreed(job).lines.get(kind="access")
    planned = access.plan(job, rules.current())
    assert line.minutes == planned.minutes - before.minutes
    assert 0 <= line.minutes < before.minutes
    assert line.damages == [new.number]
    assert "the opening for damage 1, which was agreed" in line.detail
    assert line.amount == (line.minutes * rules.current().hourly_rate / 60).quantize(Decimal("0.01"))


def test_what_is_reached_through_the_agreed_opening_as_it_is_costs_no_opening(job: Job, owner: Staff) -> None:
    new = found(job, 0.1, mm=10)
    line = quotes.draft(job, who=owner).lines.get(kind="access")
    assert (line.minutes, line.amount) == (0, 0)
    assert line.text == f"Reaching damage {new.number} in the leading edge"
    assert line.detail == "Through the opening for damage 1, which was agreed: nothing more to pay"


def test_an_opening_elsewhere_is_charged_in_full(job: Job, owner: Staff) -> None:
    new = found(job, 0.7, side="left")
    line = quotes.draft(job, who=owner).lines.get(kind="access")
    assert line.text == f"Opening and closing the leading edge for damage {new.number}"
    elsewhere = next(
        one for one in access.plan(job, rules.current()).openings if one.damages == (new.number,)
    )
    assert line.minutes == elsewhere.minutes


def test_a_tube_that_is_sewn_up_for_the_hold_test_is_opened_again_and_that_is_charged(
    job: Job, owner: Staff
) -> None:
    Job.objects.filter(pk=job.pk).update(stage=Stage.HOLD_TEST)
    job.refresh_from_db()
    found(job)
    line = quotes.draft(job, who=owner).lines.get(kind="access")
    assert line.detail.startswith("Closed already, and opened again. 24 min for ")
    assert line.minutes > 0


def test_a_tear_in_the_canopy_adds_no_opening(job: Job, owner: Staff) -> None:
    on_the_canopy(job, 0.5, "tear", mm=60)
    assert not quotes.draft(job, who=owner).lines.filter(kind="access").exists()


def test_a_new_bladder_that_is_agreed_serves_what_is_found_in_its_tube(owner: Staff) -> None:
    stocked()
    job = a_job()
    on_the_edge(job, 0.05, "burst", mm=400, through_bladder="yes")
    Job.objects.filter(pk=job.pk).update(stage=Stage.ASSESSED)
    job.refresh_from_db()
    first = accepted(send(quotes.draft(job, who=owner), owner), job)
    assert first.lines.filter(operation_code__startswith="bladder-replace", taken=True).exists()
    stages.move(job, Stage.BENCH, who=owner)
    found(job, 0.3, mm=40, through_bladder="yes")
    draft = quotes.draft(job, who=owner)
    assert draft.lines.filter(kind="repair").exists()
    assert not draft.lines.filter(operation_code__startswith="bladder").exists()


def test_the_least_charge_is_met_already_and_asked_for_once(job: Job, owner: Staff) -> None:
    rules.change(rules.current(), who=owner, version=1, minimum_charge=Decimal(5000))
    found(job)
    draft = quotes.draft(job, who=owner)
    assert draft.minimum_charge == 0
    quotes.refresh(draft, who=owner, version=draft.version)
    assert draft.minimum_charge == 0
    assert totals.of(draft).minimum_added == 0


def test_reckoned_anew_an_addition_still_holds_only_what_is_new(job: Job, owner: Staff) -> None:
    found(job)
    draft = quotes.draft(job, who=owner)
    before = [(line.text, line.amount) for line in draft.lines.all()]
    another = found(job, 0.5, side="left")
    quotes.refresh(draft, who=owner, version=draft.version)
    after = [(line.text, line.amount) for line in draft.lines.all()]
    assert {number for line in draft.lines.all() for number in line.damages} == {2, another.number}
    damages.remove(another, owner)
    quotes.refresh(draft, who=owner, version=draft.version)
    assert [(line.text, line.amount) for line in draft.lines.all()] == before != after


def test_together_is_the_addition_with_all_that_was_agreed(job: Job, owner: Staff) -> None:
    first = quotes.agreed(job)
    found(job)
    addition = out(job, owner)
    total = totals.of(addition).total
    assert quotes.together(addition, total) == total + Decimal(first.agreed["total"])
    said(addition)
    found(job, 0.5, side="left")
    more = quotes.draft(job, who=owner)
    assert quotes.together(more, Decimal(1)) == 1 + total + Decimal(first.agreed["total"])


def test_amounts_of_two_currencies_are_not_added_up(job: Job, owner: Staff) -> None:
    found(job)
    draft = quotes.draft(job, who=owner)
    draft.currency = "EUR"
    assert quotes.together(draft, Decimal(1)) is None


# When there is one


@pytest.mark.parametrize("at", [Stage.ASSESSED, Stage.GO_AHEAD])
def test_before_the_bench_more_makes_a_whole_new_quote(job: Job, owner: Staff, at: Stage) -> None:
    Job.objects.filter(pk=job.pk).update(stage=at)
    job.refresh_from_db()
    found(job)
    draft = quotes.draft(job, who=owner)
    assert draft.addition_to is None
    assert {number for line in draft.lines.all() for number in line.damages} == {1, 2}


def test_where_nothing_is_new_there_is_no_addition(job: Job, owner: Staff) -> None:
    assert quotes.not_quoted(job) == []
    assert quotes.draft(job, who=owner).addition_to is None


def test_what_is_pinned_is_not_quoted_until_it_is_answered(job: Job, owner: Staff) -> None:
    new = found(job)
    assert quotes.not_quoted(job) == [new.number]
    assert quotes.found_inside(job) == {new.number}
    addition = out(job, owner)
    assert quotes.waiting_addition(job) == addition
    assert quotes.not_quoted(job) == [new.number]
    said(addition)
    assert quotes.waiting_addition(job) is None
    assert quotes.not_quoted(job) == []


def page_of(job: Job) -> Job:
    """The job as a page reads it."""
    return quotes.read_with(Job.objects.filter(pk=job.pk)).get()


def test_what_is_asked_about_is_not_told_as_new_again(job: Job, owner: Staff) -> None:
    new = found(job)
    assert quotes.not_asked(job) == quotes.not_asked(page_of(job)) == [new.number]
    addition = out(job, owner)
    assert quotes.not_asked(job) == quotes.not_asked(page_of(job)) == []
    third = found(job, 0.6)
    assert quotes.not_asked(job) == quotes.not_asked(page_of(job)) == [third.number]
    quotes.withdraw(addition, who=owner, reason="More was found.")
    assert quotes.not_asked(job) == quotes.not_asked(page_of(job)) == [new.number, third.number]


def test_a_page_reads_no_repairs_where_the_customer_was_asked_about_all(
    job: Job, owner: Staff, django_assert_num_queries
) -> None:
    found(job)
    out(job, owner)
    page = page_of(job)
    with read_once(page, "damages"), quotes.read_all_once(page), django_assert_num_queries(0):
        assert quotes.not_asked(page) == []


def test_what_the_customer_left_out_of_the_quote_is_not_offered_again(owner: Staff) -> None:
    stocked()
    job = a_job()
    on_the_edge(job, 0.1, "cut", mm=40)
    Job.objects.filter(pk=job.pk).update(stage=Stage.ASSESSED)
    job.refresh_from_db()
    on_the_canopy(job, 0.5, "tear", mm=30)
    draft = quotes.draft(job, who=owner)
    for line in draft.lines.filter(damages=[2]):
        quotes.change_line(draft, line, who=owner, version=draft.version, optional=True, taken=False)
    said(send(draft, owner))
    Job.objects.filter(pk=job.pk).update(stage=Stage.BENCH)
    job.refresh_from_db()
    found(job)
    assert quotes.not_quoted(job) == [3]


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
