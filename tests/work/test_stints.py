"""Time runs by itself: nobody is ever at two things at once, and a forgotten timer is noticed and mended."""

import datetime
from decimal import Decimal
from itertools import pairwise

import pytest
from django.utils import timezone
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shoprepair.jobs import stages
from shoprepair.jobs.models import Job
from shoprepair.shop import journal
from shoprepair.work import stints
from shoprepair.work.models import Step, Stint, WorkRules
from tests.factories import JobFactory, StaffFactory
from tests.work.benching import MINUTE

NOON = datetime.datetime(2026, 3, 2, 12, tzinfo=datetime.UTC)


@pytest.fixture
def job(db) -> Job:
    return JobFactory()


def a_step(job: Job, number: int = 1) -> Step:
    return Step.objects.create(
        job=job, position=number, made_from=f"r1:{number}", kind="repair", text=f"Step {number}."
    )


def spans(who) -> list[tuple[datetime.datetime, datetime.datetime | None]]:
    return [(stint.began_at, stint.ended_at) for stint in who.stints.all()]


def test_starting_one_thing_stops_the_other(job, bench):
    one, two = a_step(job), a_step(job, 2)
    stints.start(bench, job, one, NOON)
    stints.start(bench, job, two, NOON + 10 * MINUTE)
    assert spans(bench) == [(NOON, NOON + 10 * MINUTE), (NOON + 10 * MINUTE, None)]
    assert stints.running(bench).step == two


def test_starting_the_same_thing_again_goes_on_with_it(job, bench):
    step = a_step(job)
    one = stints.start(bench, job, step, NOON)
    assert stints.start(bench, job, step, NOON + MINUTE) == one
    assert spans(bench) == [(NOON, None)]


def test_a_late_start_is_put_where_it_belongs(job, bench):
    stints.start(bench, job, a_step(job), NOON)
    stints.start(bench, job, a_step(job, 3), NOON + 30 * MINUTE)
    stints.start(bench, job, a_step(job, 2), NOON + 10 * MINUTE)
    assert spans(bench) == [
        (NOON, NOON + 10 * MINUTE),
        (NOON + 10 * MINUTE, NOON + 30 * MINUTE),
        (NOON + 30 * MINUTE, None),
    ]


def test_stopping_stops_what_runs_and_stopping_again_nothing(job, bench):
    stints.start(bench, job, a_step(job), NOON)
    assert stints.stop(bench, NOON + 5 * MINUTE).ended_at == NOON + 5 * MINUTE
    assert stints.stop(bench, NOON + 6 * MINUTE) is None


def test_a_job_taken_off_the_bench_stops_the_time_on_it(job, bench):
    Job.objects.filter(pk=job.pk).update(stage="bench")
    job.refresh_from_db()
    stints.start(bench, job, a_step(job), timezone.now())
    stages.move(job, "go-ahead", who=bench, reason="the parts are wrong")
    assert stints.running(bench) is None


def test_nothing_ends_before_it_began(job, bench):
    stints.start(bench, job, a_step(job), NOON)
    assert stints.stop(bench, NOON - MINUTE).ended_at == NOON


def test_two_people_s_time_on_one_job_adds_up(job, bench):
    other, step = StaffFactory(), a_step(job)
    stints.start(bench, job, step, NOON)
    stints.start(other, job, step, NOON)
    stints.stop_on(step, NOON + 15 * MINUTE)
    assert stints.minutes(job) == stints.minutes(step) == 30


def test_what_runs_counts_up_to_now(job, bench):
    step = a_step(job)
    stints.start(bench, job, step, NOON)
    assert stints.minutes(step, NOON + 90 * datetime.timedelta(seconds=1)) == Decimal("1.5")
    assert stints.minutes_by_step([step], NOON + 3 * MINUTE) == {step.pk: 3}


def test_a_timer_that_ran_longer_than_the_shop_s_rule_was_forgotten(job, bench):
    WorkRules.objects.create(pk=1, forgotten_after_minutes=60)
    stint = stints.start(bench, job, a_step(job), NOON)
    assert stints.forgotten(NOON + 60 * MINUTE) == []
    assert stints.forgotten(NOON + 61 * MINUTE) == [stint]


def test_a_timer_left_overnight_was_forgotten_however_short(job, bench):
    WorkRules.objects.create(pk=1, forgotten_after_minutes=60)
    here = timezone.get_current_timezone()
    evening = datetime.datetime(2026, 3, 2, 23, 50, tzinfo=here)
    stint = stints.start(bench, job, a_step(job), evening)
    assert stints.forgotten(evening + 5 * MINUTE) == []
    assert stints.forgotten(evening + 15 * MINUTE) == [stint]


def test_a_forgotten_timer_is_mended_with_a_reason_that_the_journal_keeps(job, bench, owner):
    stint = stints.start(bench, job, a_step(job), NOON)
    stints.mend(stint, NOON + 20 * MINUTE, who=owner, why="went home")
    stint.refresh_from_db()
    assert stint.ended_at == NOON + 20 * MINUTE
    assert stint.mended == "went home (Runa Selvaag)"
    entry = journal.entries(job).first()
    assert entry.text == "Put right how long Tomek Brandal was at it: 20.0 min. went home"
    assert entry.changes["ended_at"][1].startswith("2026-03-02T12:20")


@pytest.mark.parametrize(
    ("minutes", "why", "said"),
    [
        (20, " ", "Say why"),
        (-1, "slipped", "cannot end before it began"),
        (10**8, "slipped", "cannot end in the future"),
        (40, "slipped", "began the next thing at"),
    ],
)
def test_a_timer_is_not_mended_into_nonsense(job, bench, minutes, why, said):
    stint = stints.start(bench, job, a_step(job), NOON)
    stints.start(bench, job, a_step(job, 2), NOON + 30 * MINUTE)
    with pytest.raises(stints.NotMended, match=said):
        stints.mend(stint, NOON + minutes * MINUTE, who=bench, why=why)


def test_a_stop_that_comes_late_leaves_a_mended_end_alone(job, bench):
    step = a_step(job)
    stint = stints.start(bench, job, step, NOON)
    stints.mend(stint, NOON + 20 * MINUTE, who=bench, why="phone rang")
    stints.stop_on(step, NOON + 5 * MINUTE)
    stint.refresh_from_db()
    assert stint.ended_at == NOON + 20 * MINUTE


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(st.integers(0, 2), st.integers(0, 60), st.booleans()), max_size=8))
def test_nobody_is_ever_at_two_things_at_once_whatever_order_starts_arrive_in(job, bench, found):
    Stint.objects.all().delete()
    job.steps.all().delete()
    made = [a_step(job, number) for number in range(3)]
    for number, minute, starts in found:
        at = NOON + minute * MINUTE
        if starts:
            stints.start(bench, job, made[number], at)
        else:
            stints.stop_on(made[number], at)
    for (_, ended), (began, _) in pairwise(spans(bench)):
        assert ended is not None
        assert ended <= began
