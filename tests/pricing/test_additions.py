"""What is found in work is quoted in addition to what is agreed: what it holds, and when there is one."""

from decimal import Decimal

import pytest

from shoprepair.jobs import damages, stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.jobs.reading import read_once
from shoprepair.pricing import access, quotes, rules, totals
from shoprepair.shop.models import Staff
from tests import again
from tests.factories import accepted
from tests.pricing.adding import State, found, in_work, out, said, send
from tests.pricing.mending import a_job, on_the_canopy, on_the_edge, stocked

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(owner: Staff) -> Job:
    """A wing on the bench for an agreed cut near the centre of its leading edge."""

    def make() -> Job:
        stocked()
        return in_work(owner)

    return again.once(f"a wing on the bench of {owner.pk}", make)


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
