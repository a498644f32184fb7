"""When each open job will be ready, as it is kept and said."""

import datetime

import pytest
import time_machine
from django.db import transaction

from shoprepair.jobs import corrections, stages
from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.shop.models import Staff
from shoprepair.shop.units import Units, say
from shoprepair.work import calendar, forecast, stale
from shoprepair.work.models import BenchHours, ExpectedParts, Forecast
from tests.factories import (
    DamageFactory,
    JobFactory,
    QuoteFactory,
    QuoteLineFactory,
    accepted,
    agreed,
    quoted,
)
from tests.pricing.mending import stocked
from tests.work import benching

pytestmark = pytest.mark.django_db
MONDAY = datetime.datetime(2026, 11, 23, 8, 0, tzinfo=datetime.UTC)
WEEKDAYS = (360, 360, 360, 360, 360, 0, 0)


@pytest.fixture(autouse=True)
def _monday():
    with time_machine.travel(MONDAY, tick=False):
        yield


@pytest.fixture
def hours(bench):
    """Tomek repairs six hours on every weekday."""
    return BenchHours.objects.create(who=bench, minutes=list(WEEKDAYS))


def on(day: int) -> datetime.date:
    return datetime.date(2026, 11, day)


def agreed_job(minutes: int = 60, *, due: int = 10, **facts) -> Job:
    """A job that the customer agreed to, without steps: its quote says what it takes."""
    job = JobFactory(stage=Stage.GO_AHEAD, promised_on=on(23) + datetime.timedelta(days=due), **facts)
    QuoteLineFactory(quote=(quote := QuoteFactory(job=job)), minutes=minutes)
    benching.put_in_force(quote)
    return job


def assessed() -> Job:
    job = JobFactory(stage=Stage.ASSESSED, customer__email="ilka@sandvoort.example", damage_count=1)
    DamageFactory(job=job, number=1)
    return job


def in_words(ahead: forecast.Ahead) -> str:
    return say(ahead.sentence, Units())


def test_an_agreed_job_gets_two_dates_with_their_reason(hours):
    for _ in range(3):
        agreed_job(350, due=1)
    last = agreed_job(60, due=20)

    assert forecast.refresh() == 4

    ahead = forecast.of(last)
    assert ahead.likely_on == on(26)
    assert ahead.late_on == on(27)
    assert in_words(ahead) == (
        "Likely ready Thu 26 to Fri 27 November. Ahead of it: 3 jobs, 18 h at the bench."
    )


def test_the_steps_of_a_job_at_work_say_what_is_left(hours, bench):
    stocked()
    job = benching.on_the_bench(bench)
    forecast.refresh()
    before = forecast.of(job)

    benching.do_all(job, bench, timed=False)
    forecast.refresh()
    after = forecast.of(job)

    assert after.likely_on <= before.likely_on
    assert "at the bench" in in_words(before)


def test_what_nobody_quoted_is_estimated_by_its_damages_and_says_so(hours):
    stocked()
    job = JobFactory(stage=Stage.CHECKED_IN, damage_count=2)

    forecast.refresh()

    assert "Its work is estimated: the usual minutes for 2 damages." in in_words(forecast.of(job))


def test_more_damages_are_estimated_to_take_longer(hours):
    stocked()
    few, many = JobFactory(damage_count=1, stage=Stage.CHECKED_IN), JobFactory(damage_count=40)

    assert forecast.preview(many).likely_on > forecast.preview(few).likely_on


def test_a_quote_that_is_out_counts_with_its_minutes(hours):
    job = assessed()
    quoted(job)

    forecast.refresh()

    said = in_words(forecast.of(job))
    assert "It takes 1 h 5 min at the bench" in said
    assert "as quoted, not agreed yet" in said


def test_once_agreed_nothing_says_that_it_is_not_until_the_dates_are_reckoned_anew(
    hours, monkeypatch, django_capture_on_commit_callbacks
):
    job = assessed()
    quote = quoted(job)
    forecast.refresh()
    before = forecast.of(job).dates
    monkeypatch.setattr(stale.reckoning, "ask", lambda: None)

    with django_capture_on_commit_callbacks(execute=True):
        accepted(quote, job)

    assert in_words(forecast.of(Job.objects.get(pk=job.pk))) == f"Likely ready {before}."


def test_an_agreed_job_is_not_pushed_back_by_one_that_is_only_asked_about(hours):
    job = agreed_job(60, due=10)
    forecast.refresh()
    before = forecast.of(job).likely_on

    JobFactory(stage=Stage.CHECKED_IN, promised_on=on(23), damage_count=9, urgency=99, band="Grounded")
    forecast.refresh()

    assert forecast.of(job).likely_on == before


def test_a_job_that_waits_for_its_customer_has_no_date_and_says_why(hours):
    job = agreed_job(hold=Hold.CUSTOMER)

    forecast.refresh()

    assert not Forecast.objects.exists()
    assert in_words(forecast.of(job)) == "No date is known: it waits for the customer."


def test_a_job_that_waits_for_parts_is_ready_after_the_day_on_which_they_are_expected(hours, counter):
    job = agreed_job(hold=Hold.PARTS)
    forecast.refresh()
    assert in_words(forecast.of(job)) == "No date is known: nobody has said when its parts come."

    calendar.expect_parts(job, datetime.date(2026, 12, 3), today=on(23), who=counter)
    forecast.refresh()

    ahead = forecast.of(Job.objects.get(pk=job.pk))
    assert ahead.likely_on == datetime.date(2026, 12, 3)
    assert ahead.late_on > ahead.likely_on
    assert "Its parts are expected on Thu 3 Dec" in in_words(ahead)


def test_wet_gear_is_taken_as_dry_on_the_next_day(hours):
    job = agreed_job(hold=Hold.DRYING)

    forecast.refresh()

    assert forecast.of(job).likely_on == on(24)
    assert "not dry before 09:00 on Tue 24 Nov" in in_words(forecast.of(job))


def test_holidays_put_every_date_off(hours, owner):
    job = agreed_job()
    calendar.add_holiday(on(23), on(25), who=owner)

    forecast.refresh()

    assert forecast.of(job).likely_on == on(26)


def test_slack_makes_the_late_date_later_and_leaves_the_likely_one(hours):
    from shoprepair.work import rules

    job = agreed_job(1000)
    rules.current().__class__.objects.update(slack_percent=0)
    forecast.refresh()
    tight = forecast.of(job)
    rules.current().__class__.objects.update(slack_percent=200)
    forecast.refresh()
    loose = forecast.of(job)

    assert tight.likely_on == tight.late_on == loose.likely_on
    assert loose.late_on > tight.late_on


def test_a_job_that_is_ready_or_gone_has_no_forecast_any_more(hours, owner):
    job = agreed_job()
    forecast.refresh()
    Job.objects.filter(pk=job.pk).update(stage=Stage.READY)

    forecast.refresh()

    job.refresh_from_db()
    assert forecast.of(job) is None
    assert not Forecast.objects.exists()


def test_the_same_shop_gives_the_same_dates(hours):
    for number in range(6):
        agreed_job(100 + number, due=number)
    stored = []
    for _ in range(2):
        forecast.refresh()
        stored.append(list(Forecast.objects.order_by("job").values_list("job", "likely_on", "late_on")))

    assert stored[0] == stored[1]


def test_a_plan_that_was_begun_earlier_does_not_overwrite_a_later_one(hours):
    job = agreed_job()
    forecast.refresh(MONDAY + datetime.timedelta(hours=1))
    Forecast.objects.update(likely_on=on(30))

    forecast.refresh(MONDAY)

    assert forecast.of(job).likely_on == on(30)


def test_ten_jobs_are_reckoned_with_as_many_statements_as_one(hours, django_assert_max_num_queries):
    stocked()
    for _ in range(10):
        agreed_job()
        JobFactory(stage=Stage.CHECKED_IN)
    forecast.refresh()

    with django_assert_max_num_queries(26):
        forecast.refresh()


def test_where_nobody_works_no_date_is_known(hours):
    BenchHours.objects.update(minutes=[0] * 7)
    job = agreed_job()

    assert forecast.refresh() == 0
    assert "not reckoned" in in_words(forecast.of(job))
    assert in_words(forecast.preview(job)) == "Nobody has bench minutes: enter them for at least one person."


def test_jobs_that_will_be_late_are_known_days_before(hours):
    late = agreed_job(360 * 5, due=2)
    agreed_job(60, due=60)

    forecast.refresh()

    (found,) = forecast.late(on(23))
    assert found.job == late
    assert found.likely
    assert found.days_left == 2
    assert found.days > 0
    assert found.words == "likely 5 days late"


def test_a_job_that_is_late_only_if_something_goes_wrong_is_perhaps_late(hours):
    agreed_job(250, due=0)
    forecast.refresh()

    (found,) = forecast.late(on(23))

    assert not found.likely
    assert found.words == "perhaps 1 day late"


def test_a_date_is_proposed_only_once_somebody_has_said_who_works_when(bench):
    job = JobFactory()
    assert forecast.proposed(forecast.preview(job)) is None

    BenchHours.objects.create(who=bench, minutes=list(WEEKDAYS))

    ahead = forecast.preview(job)
    assert ahead.late_on is not None
    assert forecast.proposed(ahead) == ahead.late_on


@pytest.mark.django_db(transaction=True)
def test_a_move_a_hold_or_a_new_promise_reckons_every_date_anew(hours, counter: Staff):
    job = agreed_job(60)

    stages.set_hold(job, Hold.DRYING, who=counter)
    assert Forecast.objects.get().likely_on == on(24)
    stages.set_hold(job, "", who=counter)
    assert Forecast.objects.get().likely_on == on(23)
    corrections.correct(job, who=counter, promised_on=on(28))
    stages.move(job, Stage.WITHDRAWN, who=counter, reason="Sold")
    assert not Forecast.objects.exists()


def test_one_transaction_reckons_once(hours, django_capture_on_commit_callbacks, counter):
    jobs = [agreed_job() for _ in range(3)]

    with django_capture_on_commit_callbacks() as asked, transaction.atomic():
        for job in jobs:
            stages.set_hold(job, Hold.DRYING, who=counter)

    assert asked == [stale._ask]


def test_a_plan_that_cannot_be_made_does_not_undo_the_change(
    hours, django_capture_on_commit_callbacks, counter, caplog
):
    job = agreed_job()
    BenchHours.objects.update(minutes=[1])

    with django_capture_on_commit_callbacks(execute=True):
        stages.set_hold(job, Hold.DRYING, who=counter)

    assert Job.objects.get(pk=job.pk).hold == Hold.DRYING


def test_an_accepted_quote_moves_its_job_among_the_agreed(hours):
    job = assessed()
    agreed(job)

    forecast.refresh()

    assert "not agreed" not in in_words(forecast.of(job))


def test_parts_that_come_for_a_job_that_waits_for_none_are_refused(counter):
    with pytest.raises(Exception, match="does not wait for parts"):
        calendar.expect_parts(JobFactory(), on(25), today=on(23), who=counter)

    assert not ExpectedParts.objects.exists()
