from shoprepair.mechanics.description import Band
from shoprepair.work.dispatch import plan
from shoprepair.work.next_job import next_job
from shoprepair.work.tasks import StepToDo
from tests.work.shop import ANNA, BENO, MONDAY, TODAY, in_days, job, on


def asked(*jobs, person="Anna", people=(ANNA, BENO), **said):
    made = plan(jobs, people, now=MONDAY)
    return next_job(person, jobs, made, now=MONDAY, **said)


def with_set_up(number, set_up, **said):
    return job(number, StepToDo(name="repair", minutes=60, set_up=set_up), **said)


def test_the_promise_decides_between_jobs_alike():
    answer = asked(job(412, due=4), job(398, due=9))
    assert answer.job == 412
    assert answer.reason.text == "Promised for Fri 27 Nov, before job 0398 for Wed 2 Dec."


def test_danger_goes_before_a_promise_a_little_sooner():
    answer = asked(job(412, due=4), job(398, due=5, band=Band.GROUNDED))
    assert answer.job == 398
    assert (
        answer.reason.text == "Danger puts it before job 0412: Grounded counts 3 days ahead of the promise."
    )


def test_of_one_day_the_more_dangerous_is_taken_then_the_one_agreed_first():
    assert "more dangerous" in asked(job(1, urgency=20), job(2, urgency=30)).reason.text
    assert "agreed first" in asked(job(1, joined=2), job(2, joined=1)).reason.text


def test_a_job_that_waits_is_passed_over_and_said_so():
    answer = asked(
        job(1, due=0, parts_there=False, parts_on=in_days(3)),
        job(2, due=1, dry_at=on(TODAY, 15)),
        job(3, due=8),
    )
    assert answer.job == 3
    assert {number: why.text for number, why in answer.passed_over} == {
        1: "Its parts are expected on Thu 26 Nov.",
        2: "It is not dry before 15:00 on Mon 23 Nov.",
    }


def test_a_job_on_somebody_elses_table_is_left_there():
    answer = asked(job(1, due=0, taken_by="Beno"), job(2, due=8))
    assert answer.job == 2
    assert answer.passed_over[0][1].text == "Beno has begun it."


def test_ones_own_begun_job_is_finished_first():
    answer = asked(job(1, due=0, band=Band.GROUNDED), job(2, due=20, taken_by="Anna"))
    assert answer.job == 2
    assert "finish it" in answer.reason.text


def test_what_is_set_up_already_decides_between_jobs_of_one_day():
    jobs = (
        with_set_up(1, "zig-zag machine", urgency=30),
        with_set_up(2, "bladder out", urgency=20),
        with_set_up(3, "bladder out", due=11),
    )
    answer = asked(*jobs, on_the_table=frozenset({"bladder out"}))
    assert answer.job == 2
    assert answer.reason.text == "It counts for the same day as job 0001, and bladder out stands ready."
    assert answer.shares == ((3, "bladder out"),)


def test_a_set_up_does_not_outweigh_an_earlier_promise():
    jobs = (with_set_up(1, "zig-zag machine", due=3), with_set_up(2, "bladder out", due=9))
    assert asked(*jobs, on_the_table=frozenset({"bladder out"})).job == 1


def test_danger_promise_parts_and_dryness_are_each_said():
    [danger, promise, parts, dry] = asked(job(1, band=Band.GROUNDED, due=4)).reasons
    assert danger.text == "Grounded, urgency 90."
    assert promise.text == "Promised for Fri 27 Nov."
    assert parts.text == "All parts are there."
    assert dry.text == "It is dry."


def test_parts_that_should_have_come_are_to_be_looked_for():
    answer = asked(job(1, parts_there=False, parts_on=in_days(-1)))
    assert any("look for them" in said.text for said in answer.reasons)


def test_a_job_put_first_to_spare_lateness_says_so():
    long = [job(number, due=0, minutes=900, joined=number) for number in (1, 2)]
    answer = asked(*long, job(3, due=1, joined=3), people=(ANNA,))
    assert answer.job == 3
    assert "less is late in all" in answer.reason.text


def test_where_nothing_can_be_worked_there_is_no_next_job():
    assert asked(job(1, waits_for="the customer"), job(2, taken_by="Beno")) is None
    assert asked() is None


def test_a_single_job_needs_no_comparison():
    assert asked(job(1)).reason.text == "It is the only job that can be worked now."


def test_a_job_further_down_is_compared_with_those_to_be_taken_and_not_with_those_on_the_bench():
    jobs = (job(1, due=4), job(2, due=6, band=Band.GROUNDED), job(3, due=9))
    below = asked(*jobs, others_before=True, on_the_bench=frozenset({1}))
    assert below.job == 2
    assert "before job 0003" in below.reason.text


def test_what_is_put_before_another_by_danger_is_not_said_to_be_the_first_of_all():
    answer = asked(job(1, due=4), job(2, due=5, band=Band.GROUNDED), others_before=True)
    assert "first" not in answer.reason.text
