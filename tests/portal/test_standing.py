"""Where a job stands, in a customer's words."""

from datetime import date

import pytest
from django.utils import translation

from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.portal.standing import ASIDE, COURSE, standing

TODAY = date(2026, 11, 25)


def job(stage: Stage = Stage.ASSESSED, **facts: object) -> Job:
    return Job(stage=stage, promised_on=date(2026, 12, 4), is_open=stage not in ASIDE, **facts)


@pytest.mark.parametrize("stage", Stage)
def test_every_stage_says_what_is_now_and_what_comes_next_but_the_last(stage: Stage) -> None:
    said = standing(job(stage), TODAY)
    assert said.now.endswith(".")
    assert bool(said.next) == (stage != Stage.HANDED_BACK)


@pytest.mark.parametrize("stage", COURSE)
def test_the_stages_before_are_done_one_is_here_and_one_is_next(stage: Stage) -> None:
    states = [stop.state for stop in standing(job(stage), TODAY).course]
    here = COURSE.index(stage)
    assert states[:here] == ["done"] * here
    assert states[here : here + 2] == ["here", "next"][: len(COURSE) - here]
    assert set(states[here + 2 :]) <= {"ahead"}


@pytest.mark.parametrize("stage", ASIDE)
def test_a_job_that_went_aside_has_no_way_ahead_and_no_promise(stage: Stage) -> None:
    said = standing(job(stage), TODAY)
    assert (said.course, said.promise) == ((), "")


@pytest.mark.parametrize(
    ("on", "words"),
    [
        (date(2026, 12, 4), "Promised for Friday 4 December."),
        (date(2027, 1, 8), "Promised for Friday 8 January 2027."),
        (date(2026, 11, 25), "Promised for today."),
        (date(2026, 11, 23), "Promised for Monday 23 November. It is late; the shop owes you a word."),
    ],
)
def test_a_promise_is_said_by_its_day_and_lateness_is_owned(on: date, words: str) -> None:
    late = job()
    late.promised_on = on
    assert standing(late, TODAY).promise == words


@pytest.mark.parametrize("stage", [Stage.READY, Stage.HANDED_BACK])
def test_once_it_is_ready_the_promise_is_kept_and_not_repeated(stage: Stage) -> None:
    assert standing(job(stage), TODAY).promise == ""


@pytest.mark.parametrize("hold", [hold for hold in Hold if hold])
def test_each_hold_is_said_while_the_job_is_open(hold: Hold) -> None:
    assert standing(job(hold=hold), TODAY).waits
    assert not standing(job(Stage.WITHDRAWN, hold=hold), TODAY).waits


def test_what_waits_is_said_in_the_language_of_who_reads() -> None:
    with translation.override("de"):
        waits = standing(job(Stage.BENCH, hold=Hold.PARTS), TODAY, more_found=True).waits
    assert "More was found" not in waits
    assert "vereinbart" in waits
