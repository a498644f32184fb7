import datetime
import itertools

import pytest
from django.utils import timezone

from shoprepair.jobs.models import Job
from shoprepair.shop.models import Staff
from shoprepair.shop.weeks import IsoWeek
from shoprepair.work import used_hours
from shoprepair.work.models import BenchHours, Holiday, Stint
from tests.factories import JobFactory, StaffFactory

pytestmark = pytest.mark.django_db
WEEK = IsoWeek(2026, 48)
WEDNESDAY_AT_ELEVEN = datetime.datetime(2026, 11, 25, 11, tzinfo=datetime.UTC)


@pytest.fixture
def tomek() -> Staff:
    """Six hours on each weekday, from nine o'clock."""
    who = StaffFactory(first_name="Tomek", role="bench")
    BenchHours.objects.create(who=who, minutes=[360, 360, 360, 360, 360, 0, 0])
    return who


@pytest.fixture
def job() -> Job:
    return JobFactory()


def at(day: int, clock: str) -> datetime.datetime:
    hour, minute, second = (int(part) for part in f"{clock}:00".split(":")[:3])
    return datetime.datetime(2026, 11, day, hour, minute, second, tzinfo=datetime.UTC)


def timed(who: Staff, job: Job, begins: datetime.datetime, ends: datetime.datetime | None) -> Stint:
    return Stint.objects.create(who=who, job=job, began_at=begins, ended_at=ends)


def week(now: datetime.datetime = WEDNESDAY_AT_ELEVEN) -> used_hours.Used:
    (used,) = used_hours.of_week(WEEK, now)
    return used


def test_hours_that_went_by_are_not_free_and_those_without_a_timer_are_said(tomek, job):
    timed(tomek, job, at(23, "09:00"), at(23, "12:30"))

    used = week()

    assert (used.who, used.bench, used.used, used.over) == ("Tomek", 1800, 210, 0)
    assert used.free == 240 + 2 * 360
    assert used.untimed == 2 * 360 + 120 - 210
    assert used.used + used.untimed + used.free == used.bench


def test_what_is_free_begins_with_the_rest_of_today(tomek):
    assert week().free == 240 + 2 * 360
    assert week(at(25, "20:00")).free == 2 * 360
    assert week(at(25, "05:00")).free == 3 * 360


def test_of_a_week_that_is_over_nothing_is_free(tomek):
    used = week(at(29, "12:00"))

    assert (used.free, used.untimed) == (0, 1800)


def test_a_holiday_takes_its_hours_out_of_the_week(tomek):
    Holiday.objects.create(first_day=datetime.date(2026, 11, 26), last_day=datetime.date(2026, 11, 26))
    Holiday.objects.create(
        who=tomek, first_day=datetime.date(2026, 11, 27), last_day=datetime.date(2026, 12, 4)
    )

    assert (week().bench, week().free) == (3 * 360, 240)


def test_only_what_falls_into_the_week_counts(tomek, job):
    timed(tomek, job, at(22, "23:00"), at(23, "01:00"))
    timed(tomek, job, at(29, "23:30"), datetime.datetime(2026, 11, 30, 2, tzinfo=datetime.UTC))
    timed(tomek, job, at(20, "10:00"), at(20, "11:00"))

    assert week(datetime.datetime(2026, 12, 1, tzinfo=datetime.UTC)).used == 60 + 30


def test_the_week_is_the_shops_not_greenwichs(tomek, job):
    timed(tomek, job, at(23, "01:00"), at(23, "02:00"))

    with timezone.override("America/New_York"):
        assert week().used == 0
    with timezone.override("Asia/Tokyo"):
        assert week().used == 60


def test_a_timer_that_runs_counts_up_to_now_and_says_so(tomek, job):
    timed(tomek, job, at(25, "10:15"), None)

    used = week()

    assert used.used == 45
    assert [each.runs for each in used.timed] == [True]


def test_stints_that_follow_one_another_lose_no_minute(tomek, job):
    clock = ["10:00:00", "10:00:40", "10:01:20", "10:02:00"]
    for begins, ends in itertools.pairwise(clock):
        timed(tomek, job, at(25, begins), at(25, ends))

    assert week().used == 2


def test_one_persons_overtime_takes_nothing_of_what_another_has_free(tomek, job):
    runa = StaffFactory(first_name="Runa", role="owner")
    timed(runa, job, at(24, "18:00"), at(24, "20:00"))

    everybody = used_hours.of_week(WEEK, WEDNESDAY_AT_ELEVEN)
    together = used_hours.together(everybody)

    assert [(used.who, used.used, used.free, used.over) for used in everybody] == [
        ("Runa", 120, 0, 120),
        ("Tomek", 0, 960, 0),
    ]
    assert (together.used, together.free, together.untimed, together.over) == (120, 960, 840, 120)


def test_a_week_in_which_nobody_works_is_empty():
    assert used_hours.of_week(WEEK, WEDNESDAY_AT_ELEVEN) == []


@pytest.mark.parametrize("count", [1, 3])
def test_it_costs_the_same_for_one_stint_as_for_many(tomek, count, django_assert_num_queries):
    for hour in range(count):
        timed(tomek, JobFactory(), at(24, f"1{hour}:00"), at(24, f"1{hour}:30"))
    with django_assert_num_queries(5):
        [each.stint.job.customer.name for each in week().timed]
