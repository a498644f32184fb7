import datetime

import pytest
import time_machine
from django.utils import timezone

from shoprepair.cover import chain, giving, standing
from shoprepair.cover.models import Cover
from shoprepair.cover.reading import read
from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import quotes
from shoprepair.pricing.models import Operation
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.work import hand_back
from shoprepair.work.models import HandBack
from tests.cover.covering import a_light_visit, lightly_covered
from tests.factories import (
    SIGNED,
    DamageFactory,
    JobFactory,
    OperationFactory,
    QuoteFactory,
    QuoteLineFactory,
    StaffFactory,
    accepted,
    handed_back,
)
from tests.pricing.test_answers_at_once import at_once

pytestmark = pytest.mark.django_db


def test_a_repair_that_is_handed_back_is_covered_from_then_on(counter: Staff) -> None:
    job = a_light_visit()
    given = handed_back(job, counter)
    (cover,) = standing.standing(job.inflatable)
    assert (cover.hand_back, cover.given_at, cover.until) == (given, given.at, None)
    assert (cover.operation_name, cover.kind, cover.element) == ("Casing patch", "cut", "leading edge")
    assert journal.entries(job).filter(verb="cover.given").get().text == (
        "Cover 00001 was given for its repair: Casing patch."
    )


def test_the_promise_is_in_the_words_of_that_day(counter: Staff) -> None:
    cover = lightly_covered(cover_terms="Sewn again.", cover_months=24, cover_passes_on=False)
    Operation.objects.update(cover_terms="Nothing any more.", cover_months=1, cover_passes_on=True)
    terms = read(cover).terms
    assert (terms.words, terms.months, terms.passes_on) == ("Sewn again.", 24, False)


@pytest.mark.parametrize(
    ("handed_back_at", "last"),
    [("2026-08-31T10:00:00Z", "2027-02-28"), ("2027-08-31T10:00:00Z", "2028-02-29")],
)
def test_months_are_counted_to_a_month_s_last_day(handed_back_at: str, last: str) -> None:
    given = handed_back(a_light_visit(cover_months=6))
    at = datetime.datetime.fromisoformat(handed_back_at)
    other = HandBack(pk=given.pk, job=given.job, at=at)
    line = giving.covered(given.job)[0]
    assert str(giving.record.until(line, giving.visit(other))) == last


def test_a_cover_stands_through_its_last_day_and_not_beyond() -> None:
    cover = lightly_covered(cover_months=12)
    day = datetime.timedelta(days=1)
    assert standing.standing(cover.inflatable, cover.until) == [cover]
    assert standing.standing(cover.inflatable, cover.until + day) == []
    assert standing.of(cover.inflatable) == [cover]


def test_asked_twice_a_hand_back_gives_its_covers_once(counter: Staff) -> None:
    cover = lightly_covered()
    assert giving.give(cover.hand_back, counter) == [cover]
    assert Cover.objects.count() == 1


def test_what_was_left_out_at_the_bench_is_not_covered() -> None:
    job = a_light_visit()
    job.steps.update(state="skipped", reason="The customer fetched it early.")
    assert not handed_back(job).covers.exists()


def test_cleaning_and_looking_earn_no_cover() -> None:
    assert not handed_back(a_light_visit(area=Operation.Area.CARE)).covers.exists()


def test_gear_that_goes_back_without_an_agreement_has_no_covers(owner: Staff) -> None:
    job = JobFactory(stage=Stage.BENCH)
    given = hand_back.give(job, "Ilka", "in person", SIGNED, who=owner, override_reason="No time.")
    assert not given.covers.exists()


def test_a_hand_back_that_was_none_ends_its_covers_and_the_next_gives_new_ones(owner: Staff) -> None:
    job = a_light_visit()
    first = handed_back(job).covers.get()
    hand_back.take_back(job, who=owner, reason="Wrong bag.")
    ending = standing.ending_of(standing.of(job.inflatable)[0])
    assert (ending.reason, ending.note, ending.who_name) == ("taken back", "Wrong bag.", "Runa Selvaag")
    second = handed_back(job).covers.get()
    assert standing.standing(job.inflatable) == [second]
    assert (first.number, second.number, second.previous) == (1, 2, first.digest)


def test_who_did_it_is_named_with_whoever_only_spent_time_left_out(bench: Staff) -> None:
    job = a_light_visit()
    job.steps.update(done_by=bench)
    job.stints.create(who=StaffFactory(first_name="Ansgar"), step=job.steps.last(), began_at=timezone.now())
    assert handed_back(job).covers.get().techs == ["Tomek Brandal"]


def test_several_covers_are_told_in_one_sentence_and_each_repair_once() -> None:
    names = ("Casing patch", "Valve changed", "Casing patch")
    given = [Cover(number=number, operation_name=name) for number, name in enumerate(names, start=7)]
    assert giving._told(given) == (
        "Covers 00007 to 00009 were given for its repairs: Casing patch, Valve changed."
    )
    assert giving._told(given[:2]).startswith("Covers 00007 and 00008 were given")


def test_a_cover_runs_out_the_day_after_its_last_and_one_for_life_never_does() -> None:
    last = datetime.date(2031, 5, 4)
    after = last + datetime.timedelta(days=1)
    cover, for_life = Cover(until=last), Cover(until=None)
    for on, over in ((last, False), (after, True)):
        assert (standing.ran_out(cover, on), standing.stands(cover, on)) == (over, not over)
        assert (standing.ran_out(for_life, on), standing.stands(for_life, on)) == (False, True)
    with time_machine.travel("2031-05-05 12:00Z"):
        assert (standing.ran_out(cover), standing.stands(for_life)) == (True, True)


def test_what_an_inflatable_s_covers_are_is_read_at_once_with_how_they_ended(
    owner: Staff, django_assert_num_queries
) -> None:
    first = lightly_covered()
    lightly_covered()
    second = lightly_covered(first.inflatable)
    giving.take_back(first.job, who=owner, reason="Wrong bag.")
    with django_assert_num_queries(1):
        told = [
            (cover.number, cover.job.number, getattr(standing.ending_of(cover), "note", ""))
            for cover in standing.of(first.inflatable)
        ]
    assert [(number, note) for number, _, note in told] == [(1, "Wrong bag."), (second.number, "")]
    assert standing.standing(first.inflatable) == [second]
    assert not standing.stands(standing.of(first.inflatable)[0])
    assert giving.take_back(first.job, who=owner, reason="Once more.") == []


def test_that_covers_were_given_is_written_down_as_the_deed_of_whoever_handed_back(counter: Staff) -> None:
    job = a_light_visit()
    handed_back(job, counter)
    entry = journal.entries(job).filter(verb="cover.given").get()
    assert entry.who == counter
    cover = Cover.objects.get()
    assert (cover.job, cover.inflatable, cover.previous) == (job, job.inflatable, "")


@pytest.mark.django_db(transaction=True)
def test_two_hand_backs_at_once_make_one_chain(counter: Staff) -> None:
    jobs = [a_light_visit() for _ in range(3)]

    def gives(job: Job):
        return lambda: handed_back(Job.objects.get(pk=job.pk), counter)

    assert at_once(*map(gives, jobs)) == [None, None, None]
    assert list(Cover.objects.values_list("number", flat=True)) == [1, 2, 3]
    assert chain.first_broken() is None


def test_a_line_that_was_put_in_by_hand_is_covered_as_its_operation_is(counter: Staff) -> None:
    job = JobFactory(stage="assessed", terms_agreed_at=timezone.now())
    DamageFactory(job=job, number=1)
    quote, code = QuoteFactory(job=job), OperationFactory().code
    QuoteLineFactory(quote=quote, damages=[1], operation_code=code)
    QuoteLineFactory(quote=quote, text="Another word", damages=[1], operation_code="gone-since")
    accepted(quotes.send(quote, who=counter, version=1, base_url="https://loft.example"), job)
    job.steps.update(state="done")
    [by_hand] = giving.covered(job)
    assert (by_hand.operation.code, [damage.number for damage in by_hand.damages]) == (code, [1])
    assert {step.operation_code for step in by_hand.steps} == {code}
