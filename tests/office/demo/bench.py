"""The demo's bench: what was done, tested, paid and fetched."""

from datetime import timedelta
from itertools import pairwise

from django.db.models import Min

from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.pricing.models import Quote
from shoprepair.shop.models import JournalEntry, Staff
from shoprepair.work import forecast, hand_back, hold_tests, invoices, steps, stints, stock
from shoprepair.work.hold_test import Verdict
from shoprepair.work.models import ExpectedParts, HoldTest, Invoice, Lot, Payment, Step, Stint, Tick
from tests.office.demo import NOW, job_of, open_jobs


def test_every_job_in_work_has_steps():
    jobs = Job.objects.filter(stage__in=[Stage.GO_AHEAD, Stage.BENCH, Stage.HOLD_TEST, Stage.READY])

    assert [job for job in jobs if not job.steps.exists() and job.needs.exists()] == []


def test_whatever_is_ready_or_fetched_was_shown_to_hold():
    jobs = Job.objects.filter(stage__in=[Stage.READY, Stage.HANDED_BACK])

    assert [job for job in jobs if not hold_tests.passed(job)] == []
    assert HoldTest.objects.filter(verdict=HoldTest.Verdict.HOLDS).count() > 30


def test_whatever_is_ready_was_worked_through():
    assert all(steps.all_done(job) for job in Job.objects.filter(stage=Stage.READY))


def test_whatever_was_fetched_is_paid_and_signed_for():
    fetched = list(Job.objects.filter(stage=Stage.HANDED_BACK))

    assert [job for job in fetched if invoices.owed(job).due] == []
    assert [job for job in fetched if not hand_back.of(job)] == []


def test_invoices_are_numbered_without_gaps():
    numbers = sorted(Invoice.objects.values_list("number", flat=True))

    assert numbers == list(range(1, len(numbers) + 1))
    assert len(numbers) > 70


def test_the_bench_is_at_one_step_and_has_done_others_the_day_before():
    done = Step.objects.filter(job__stage=Stage.BENCH, state=Step.State.DONE)
    running = Step.objects.get(state=Step.State.RUNNING)

    assert running.job == job_of("Wojciech Szczębrzeski", "Holm 4.0 wing")
    assert len({step.job_id for step in done}) >= 5
    assert not Tick.objects.filter(at__gt=NOW).exists()
    assert stints.forgotten(NOW) == []


def test_nobody_was_at_two_things_at_once_and_no_two_spent_the_same():
    spent = {
        who: list(Stint.objects.filter(who=who).values_list("began_at", "ended_at")) for who in workers()
    }

    assert len(spent) == 2
    for of_one in map(sorted, spent.values()):
        assert len(of_one) >= 12
        assert all(before[1] <= after[0] for before, after in pairwise(of_one))
    assert (
        len({sum((end - began for began, end in of_one if end), timedelta()) for of_one in spent.values()})
        == 2
    )


def workers():
    return set(Stint.objects.values_list("who", flat=True))


def test_work_begins_no_sooner_than_the_customer_says_go_ahead():
    begun = Tick.objects.values_list("step__job", Min("at"))
    first = dict(begun.order_by("step__job"))
    agreed = dict(
        Quote.objects.filter(job__in=first, state=Quote.State.ACCEPTED)
        .order_by("job")
        .values_list("job", Min("answered_at"))
    )

    assert len(first) >= 12
    assert [job for job, at in first.items() if at < agreed[job]] == []


def test_time_lies_on_steps_that_are_done_or_under_way_and_no_longer_than_they_took():
    spent = Stint.objects.select_related("step")

    assert {one.step.state for one in spent} == {Step.State.DONE, Step.State.RUNNING}
    assert all(
        one.ended_at - one.began_at <= 2 * timedelta(minutes=max(float(one.step.minutes), 1))
        for one in spent
        if one.ended_at
    )


def test_steps_of_a_job_are_done_one_after_the_other():
    for job in Job.objects.filter(stage__in=[Stage.BENCH, Stage.HOLD_TEST, Stage.READY]):
        done = list(
            job.steps.filter(state=Step.State.DONE).order_by("position").values_list("done_at", flat=True)
        )
        assert done == sorted(done)


def test_whoever_worked_has_logged_in():
    worked = {
        *Stint.objects.values_list("who", flat=True),
        *JournalEntry.objects.values_list("who", flat=True),
    }

    assert {who for who in worked if who} == set(
        Staff.objects.exclude(last_login=None).values_list("pk", flat=True)
    )


def test_one_lot_has_expired_one_expires_soon_and_one_material_is_low():
    levels = {level.material.code: level for level in stock.levels()}

    assert [lot.code for lot in Lot.objects.filter(expires_on__lt=NOW.date())] == ["FA-31"]
    assert levels["adhesive-cloth"].expires_on - NOW.date() < timedelta(days=30)
    assert levels["adhesive-cloth-two-sided"].low
    assert stock.to_order() != []


def test_what_went_into_repairs_is_known_both_ways():
    thread = Lot.objects.get(code="T90-66")
    jobs = {taken.job for taken in stock.used_by(thread)}

    assert len(jobs) >= 6
    assert all(thread in [taken.lot for taken in stock.lots_of(job)] for job in jobs)


def test_hold_tests_stand_in_every_way():
    tests = HoldTest.objects.filter(job__stage=Stage.HOLD_TEST, verdict=HoldTest.Verdict.OPEN)
    judged = {test.job.customer.name: hold_tests.judge(test).verdict for test in tests}

    assert judged == {
        "Priya Anandan": Verdict.OPEN,
        "Zoë Vandermeulenbroucke": Verdict.FAILS,
        "Leilani Kapewa": Verdict.HOLDS,
    }


def test_no_two_hold_tests_read_alike():
    held = [
        test for test in HoldTest.objects.filter(verdict=HoldTest.Verdict.HOLDS) if test.readings.exists()
    ]
    looks = [
        tuple(test.readings.order_by("at").values_list("pressure_typed", "temperature_typed"))
        for test in held
    ]

    assert [test for test in held if hold_tests.judge(test).verdict != Verdict.HOLDS] == []
    assert len(set(looks)) > 0.8 * len(looks)
    assert len({test.decided_at - test.began_at for test in held}) >= 6


def test_one_did_not_hold_at_first_and_does_since_it_was_mended():
    job = job_of("Tomás Mareada", "Tjeld 6.5 kite")
    verdicts = list(job.hold_tests.order_by("began_at").values_list("verdict", flat=True))

    assert job.stage == Stage.READY
    assert verdicts == [HoldTest.Verdict.FAILS, HoldTest.Verdict.HOLDS]


def test_one_job_came_back_from_its_hold_test():
    job = job_of("Beatrix Lindqvist-Ramírez", "Skarv 9 kite")
    test = job.hold_tests.get()

    assert job.stage == Stage.BENCH
    assert test.verdict == HoldTest.Verdict.FAILS
    assert test.suspects


def test_an_addition_is_out_for_what_was_found_inside():
    addition = Quote.objects.exclude(addition_to=None).get()

    assert addition.state == Quote.State.OUT
    assert addition.job == job_of("Zoë Vandermeulenbroucke", "Alke 2.5 wing")


def test_some_paid_before_they_fetch():
    taken = Payment.objects.filter(job__is_open=True)

    assert sorted(taken.values_list("is_deposit", flat=True)) == [False, True]


def test_dates_are_known_but_for_those_that_nobody_can_know():
    asked = [job for job in open_jobs() if forecast.of(job)]
    unknown = [job for job in asked if not forecast.of(job).known]

    assert len(asked) > 30
    assert 0 < len(unknown) < 6
    assert {job.hold for job in unknown} <= {Hold.PARTS, Hold.CUSTOMER}
    assert ExpectedParts.objects.get().job.hold == Hold.PARTS
    assert forecast.late(NOW.date()) != []
