"""Everybody in the shop does their work by keys alone, and by the names alone that a screen reader says."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal

import pytest

from shoprepair.jobs import stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import catalogue
from shoprepair.pricing.models import Material
from shoprepair.shop.models import Staff
from shoprepair.work import stock
from tests.browser import tasks
from tests.browser.tasks import Hands
from tests.browser.visits import visit
from tests.factories import DamageFactory, JobFactory, ready
from tests.pricing.mending import stocked
from tests.work.benching import a_cut_job, agree, do_all

pytestmark = pytest.mark.usefixtures("patterns")


def test_the_counter_takes_a_stranger_in(hands: Hands, people: dict[str, Staff]) -> None:
    tasks.logs_in(hands, "counter")
    tasks.checks_in_a_stranger(hands)


def test_a_job_goes_from_the_rack_to_the_customers_yes(
    hands: Hands, people: dict[str, Staff], log_in: Callable[[Staff], None]
) -> None:
    catalogue.load()
    job = visit(people["counter"], "Oda Tveit")
    visit(people["counter"], "Bram Okoye", cut_mm=8)
    log_in(people["counter"])
    tasks.finds_the_most_dangerous(hands)
    tasks.takes_a_job_to_its_answer(hands, job)


def test_gear_is_paid_and_handed_back(
    hands: Hands, people: dict[str, Staff], log_in: Callable[[Staff], None]
) -> None:
    job = JobFactory(stage=Stage.ASSESSED, terms_agreed_at="2026-05-04T09:00:00Z")
    DamageFactory(job=job)
    ready(job, people["owner"])
    log_in(people["counter"])
    tasks.hands_it_back(hands, job)


@pytest.fixture
def agreed() -> Job:
    """A wing that was cut through, whose owner said yes."""
    stocked()
    job = a_cut_job()
    agree(job)
    return job


def test_a_job_is_worked_down_at_the_bench(
    hands: Hands, people: dict[str, Staff], log_in: Callable[[Staff], None], agreed: Job
) -> None:
    for material in Material.objects.all():
        stock.receive(material, "L1", Decimal(50), date(2026, 5, 4), None, who=people["owner"])
    log_in(people["bench"])
    tasks.works_at_the_bench(hands, agreed)


def test_a_tube_is_read_and_found_to_hold(
    hands: Hands, people: dict[str, Staff], log_in: Callable[[Staff], None], agreed: Job
) -> None:
    stages.move(agreed, Stage.BENCH, who=people["bench"])
    do_all(agreed, people["bench"])
    stages.move(agreed, Stage.HOLD_TEST, who=people["bench"])
    log_in(people["bench"])
    tasks.tests_that_it_holds(hands, agreed)


def test_the_owner_keeps_the_office(
    hands: Hands, people: dict[str, Staff], log_in: Callable[[Staff], None]
) -> None:
    catalogue.load()
    log_in(people["owner"])
    tasks.keeps_the_office(hands)
