import pytest

from shoprepair.mechanics.description import Band
from shoprepair.work.tasks import StepToDo, check_jobs, counts_as, key
from tests.work.shop import in_days, job


def first_of(*jobs):
    return min(jobs, key=key).number


def test_of_two_alike_the_one_promised_first_goes_first():
    assert first_of(job(1, due=5), job(2, due=4)) == 2


def test_danger_moves_a_job_ahead_of_its_promise_but_not_past_every_other():
    assert first_of(job(1, due=5), job(2, due=7, band=Band.GROUNDED)) == 2
    assert first_of(job(1, due=5), job(2, due=9, band=Band.GROUNDED)) == 1


def test_of_two_of_one_day_the_more_dangerous_goes_first_then_who_agreed_first():
    assert first_of(job(1, urgency=10), job(2, urgency=20)) == 2
    assert first_of(job(1, joined=5), job(2, joined=4)) == 2


def test_what_was_begun_is_finished_first():
    assert first_of(job(1, due=0, band=Band.GROUNDED), job(2, due=20, taken_by="Anna")) == 2


def test_a_watched_job_counts_for_its_promise():
    assert counts_as(job(1, due=5)) == in_days(5)


def test_steps_written_in_any_order_are_worked_in_one_that_is_possible():
    sew, unpick, close = (
        StepToDo(name="sew", minutes=40, after=("unpick",)),
        StepToDo(name="unpick", minutes=20),
        StepToDo(name="close", minutes=20, after=("sew",)),
    )
    [checked] = check_jobs([job(1, close, sew, unpick)])
    assert [step.name for step in checked.steps] == ["unpick", "sew", "close"]


@pytest.mark.parametrize(
    ("steps", "sentence"),
    [
        ([StepToDo(name="sew", minutes=5, after=("sew",))], "wait for one another in a circle"),
        ([StepToDo(name="sew", minutes=5, after=("glue",))], "which job 7 does not have"),
        ([StepToDo(name="sew", minutes=5), StepToDo(name="sew", minutes=5)], "have the same name"),
        ([StepToDo(name="sew", minutes=-1)], "less than no time"),
        ([StepToDo(name="sew", minutes=5, wait_minutes=-1)], "less than no time"),
    ],
)
def test_steps_that_cannot_be_worked_are_refused(steps, sentence):
    with pytest.raises(ValueError, match=sentence):
        check_jobs([job(7, *steps)])


def test_a_job_stands_once_among_the_jobs_to_do():
    with pytest.raises(ValueError, match="stands twice"):
        check_jobs([job(1), job(1)])
