"""When it is likely ready, as the customer reads it."""

import datetime

import pytest
import time_machine

from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.portal.ready import ready
from shoprepair.work.models import Forecast
from tests.factories import JobFactory

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _in_november():
    with time_machine.travel("2026-11-25T09:00Z", tick=False):
        yield


def foreseen(stage: Stage, **facts: object) -> Job:
    job = JobFactory(stage=stage, **{"promised_on": datetime.date(2026, 12, 7)} | facts)
    Forecast.objects.create(
        job=job,
        likely_on=datetime.date(2026, 12, 3),
        late_on=datetime.date(2026, 12, 7),
        reason={"text": "Job 0412 of another customer is ahead of it.", "values": {}},
        made_at="2026-11-25T09:00Z",
    )
    return job


def plain(said: str) -> str:
    return said.replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize("stage", [Stage.GO_AHEAD, Stage.BENCH, Stage.HOLD_TEST])
def test_a_customer_who_agreed_reads_the_dates_and_nothing_of_other_jobs(stage: Stage) -> None:
    assert plain(ready(foreseen(stage)).words) == "Likely ready Thursday 3 to Monday 7 December."


def test_a_customer_who_is_asked_reads_the_dates_that_follow_a_yes() -> None:
    said = ready(foreseen(Stage.QUOTE_OUT))

    assert plain(said.words) == "If you say yes soon, likely ready Thursday 3 to Monday 7 December."


@pytest.mark.parametrize("stage", [Stage.CHECKED_IN, Stage.ASSESSED, Stage.READY, Stage.HANDED_BACK])
def test_before_there_is_a_price_and_once_it_is_ready_no_date_is_said(stage: Stage) -> None:
    assert ready(foreseen(stage)).words == ""


def test_what_waits_for_the_customer_has_no_date() -> None:
    assert ready(foreseen(Stage.BENCH, hold=Hold.CUSTOMER)).words == ""


@pytest.mark.parametrize(
    ("stage", "words"),
    [
        (Stage.BENCH, "It takes longer than we thought. It is likely ready Thursday 3 to Monday 7 December."),
        (
            Stage.QUOTE_OUT,
            "It takes longer than we thought. "
            "If you say yes soon, it is likely ready Thursday 3 to Monday 7 December.",
        ),
    ],
)
def test_dates_after_the_promise_are_owned_instead_of_set_beside_it(stage: Stage, words: str) -> None:
    said = ready(foreseen(stage, promised_on=datetime.date(2026, 12, 2)))

    assert (plain(said.words), said.behind) == (words, True)


def test_a_promise_within_the_dates_still_stands() -> None:
    assert not ready(foreseen(Stage.BENCH, promised_on=datetime.date(2026, 12, 4))).behind
