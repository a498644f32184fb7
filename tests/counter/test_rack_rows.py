"""A row of the rack is kept once it is written, and always says what is so now."""

import datetime
import re
from collections.abc import Callable

import pytest
import time_machine
from django.utils import timezone

from shoprepair.counter import rack_rows
from shoprepair.gear import describe
from shoprepair.gear.models import Tube
from shoprepair.jobs import ownership
from shoprepair.jobs.models import Damage, Enquiry, Hold, Job, Stage
from shoprepair.shop.models import LengthUnit, Staff
from shoprepair.work.models import Forecast
from tests.factories import CustomerFactory, DamageFactory, JobFactory, OwnershipFactory
from tests.work.mending import mends

pytestmark = pytest.mark.django_db
NOW = datetime.datetime(2026, 5, 4, 10, tzinfo=datetime.UTC)


@pytest.fixture
def client(as_person, counter):
    return as_person(counter)


@pytest.fixture
def job(counter: Staff) -> Job:
    """A judged job that somebody else's gear came in with."""
    made = JobFactory(stage=Stage.CHECKED_IN, urgency=40, rank=60, band="Repair first", damage_count=1)
    OwnershipFactory(inflatable=made.inflatable, customer=made.customer)
    judged = {"reason": {"text": "It runs."}, "model_version": "1"}
    DamageFactory(job=made, number=1, urgency=40, band="Repair first", **judged)
    return made


def page(client) -> str:
    return " ".join(client.get("/").content.decode().split())


def drawing(client) -> str:
    [drawn] = re.findall(r'class="row-glyph".*?</svg>', page(client))
    return drawn


def change(record, **fields) -> None:
    type(record).objects.filter(pk=record.pk).update(**fields)


def planned(job: Job) -> None:
    Forecast.objects.create(
        job=job,
        likely_on=job.promised_on + datetime.timedelta(days=3),
        late_on=job.promised_on + datetime.timedelta(days=5),
        reason={"text": "Because.", "values": {}},
        made_at=timezone.now(),
    )


def repaired(job: Job) -> None:
    change(job, stage=Stage.READY)
    mends(job, [1])


def asked_from_outside(job: Job) -> None:
    change(job, stage=Stage.ENQUIRY)
    Enquiry.objects.create(job=job, key="k", sent_at=timezone.now(), comes=Enquiry.Comes.BY_POST)


CHANGES: dict[str, tuple[Callable[[Job], object], str]] = {
    "the customer's name": (lambda job: change(job.customer, name="Brann Sollvik"), "Brann Sollvik"),
    "the pattern's name": (lambda job: change(job.inflatable.pattern, name="Plover 3"), "Plover 3"),
    "the stage": (lambda job: change(job, stage=Stage.BENCH), "On the bench</b>"),
    "a hold": (lambda job: change(job, hold=Hold.PARTS), 'class="hold"'),
    "the promise": (
        lambda job: change(job, promised_on=timezone.localdate() - datetime.timedelta(days=2)),
        "2 days late",
    ),
    "the urgency": (lambda job: change(job, urgency=41), 'urgency-number">41<'),
    "the band": (lambda job: change(job, band="Grounded"), 'urgency-word">Grounded<'),
    "a damage's length": (
        lambda job: job.damages.update(length_m=0.048, length_typed="48 mm"),
        "48 mm cut",
    ),
    "why it is so": (lambda job: job.damages.update(reason={"text": "It does not run."}), "does not run"),
    "a damage's place": (lambda job: job.damages.update(side="left", x_m=-0.4), "left of"),
    "a damage more": (lambda job: DamageFactory(job=job, number=2), "1 more damage"),
    "a damage taken back": (lambda job: job.damages.update(removed_at=NOW), "Nothing is pinned yet."),
    "the plan": (planned, "likely 3 days late"),
    "what is mended": (repaired, "Repaired</b>"),
    "an enquiry": (asked_from_outside, "comes by post"),
}


@pytest.mark.parametrize(("act", "said"), CHANGES.values(), ids=list(CHANGES))
def test_a_row_that_was_written_says_what_has_changed(
    client, job: Job, act: Callable[[Job], object], said: str
) -> None:
    assert said not in page(client)
    act(job)
    assert said in page(client)


def test_a_row_says_whose_the_gear_is_now(client, job: Job, counter: Staff) -> None:
    page(client)
    ownership.pass_on(job.inflatable, CustomerFactory(name="Brann Sollvik"), who=counter)
    assert "gear of <bdi>Brann Sollvik" in page(client)


def test_a_row_is_written_anew_for_another_day_and_other_units(client, job: Job, counter: Staff) -> None:
    assert "35 mm cut" in page(client)
    Damage.objects.update(length_typed="")
    change(counter, length_unit=LengthUnit.INCH)
    assert "1 3/8 in cut" in page(client)
    with time_machine.travel(datetime.datetime.combine(job.promised_on, NOW.timetz()), tick=False):
        client.force_login(counter)
        assert "promised today" in page(client)


def test_a_pattern_that_was_measured_anew_is_drawn_anew(client, job: Job) -> None:
    before = drawing(client)
    job.inflatable.pattern.tubes.filter(kind=Tube.Kind.LEADING_EDGE).update(diameter_root_m=0.3)
    assert drawing(client) == before
    change(job.inflatable.pattern, version=2)
    assert drawing(client) != before


def test_what_did_not_change_is_not_written_again(client, job: Job) -> None:
    page(client)
    before = rack_rows._row.cache_info().misses
    page(client)
    assert rack_rows._row.cache_info().misses == before
    describe.forget()
    page(client)
    assert rack_rows._row.cache_info().misses == before
