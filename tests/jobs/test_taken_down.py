"""Gear taken in without a line becomes a visit by the usual rules; what only a person knows is asked."""

import datetime

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from shoprepair.jobs import checkin, stages
from shoprepair.jobs.models import Customer, Job, Ownership, Stage
from shoprepair.jobs.taken_down import Asks, Said, TakenDown, take
from shoprepair.mechanics.description import Kind
from shoprepair.shop.models import Staff
from tests import shelves
from tests.factories import InflatableFactory, JobFactory

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _patterns() -> None:
    shelves.patterns()


def written(**words: object) -> TakenDown:
    given = {"at": timezone.now(), "name": "Ida Quist", "kind": Kind.WING, "size": "medium"}
    return TakenDown(**{**given, **words})


def owned(customer: Customer, **facts: object):
    gear = InflatableFactory(pattern__kind="wing", **facts)
    Ownership.objects.create(customer=customer, inflatable=gear)
    return gear


@pytest.fixture
def ida(counter: Staff) -> Customer:
    return checkin.add_customer("Ida Quist", phone="+1 555 0134", who=counter)


def test_somebody_new_with_new_gear_becomes_a_visit_with_all_that_was_written(counter):
    down = written(
        phone="+1 555 0177",
        serial="WX 12",
        model="five metres",
        said="Hit a rock.",
        damage="left of the centre",
        damage_kind="cut",
        came_with=("bag", "spare valve"),
        arrived_wet=True,
    )
    job = take(down, who=counter)
    assert (job.stage, job.customer.name, job.customer.phone) == (Stage.ENQUIRY, "Ida Quist", "+1 555 0177")
    assert (job.inflatable.serial, job.inflatable.pattern.everyday) == ("WX 12", "wing-medium")
    assert (job.came_with, job.arrived_wet, job.hold) == (["bag", "spare valve"], True, "drying")
    assert all(text in job.note for text in ("Hit a rock.", "cut: left of the centre", "five metres"))
    assert Ownership.objects.get(inflatable=job.inflatable, until=None).customer == job.customer


def test_the_visit_began_when_it_was_written_down(counter):
    at = timezone.now() - datetime.timedelta(hours=3)
    assert take(written(at=at), who=counter).received_at == at


def test_a_customer_much_like_a_known_one_is_asked_about_and_nothing_is_made_meanwhile(ida, counter):
    with pytest.raises(Asks) as asked:
        take(written(name="I. Quist", phone="555 0134"), who=counter)
    assert [one.customer for one in asked.value.customers] == [ida]
    assert (Customer.objects.count(), Job.objects.count()) == (1, 0)


def test_it_is_somebody_else_of_the_same_name(ida, counter):
    job = take(written(), Said(new_customer=True), who=counter)
    assert job.customer != ida


def test_it_is_the_known_customer_and_then_which_of_their_gear_is_asked(ida, counter):
    wing = owned(ida)
    with pytest.raises(Asks) as asked:
        take(written(), Said(customer=ida), who=counter)
    assert [one.inflatable for one in asked.value.gear] == [wing]
    assert take(written(), Said(customer=ida, inflatable=wing), who=counter).inflatable == wing
    new = take(written(), Said(customer=ida, new_gear=True), who=counter)
    assert new.customer == ida
    assert new.inflatable != wing


def test_a_known_customer_without_such_gear_is_asked_nothing_more(ida, counter):
    assert take(written(), Said(customer=ida), who=counter).customer == ida


def test_a_serial_that_is_known_leads_to_its_owner_and_is_asked_about(ida, counter):
    wing = owned(ida, serial="WX 12")
    with pytest.raises(Asks) as asked:
        take(written(name="Bo Lindt", serial="wx 12"), who=counter)
    assert [(one.customer, one.alike) for one in asked.value.customers] == [(ida, "serial of their gear")]
    with pytest.raises(Asks) as asked:
        take(written(name="Bo Lindt", serial="wx 12"), Said(new_customer=True), who=counter)
    assert [(one.inflatable, one.owner) for one in asked.value.gear] == [(wing, ida)]


def test_another_piece_with_a_serial_that_is_known_keeps_it_as_a_note(ida, counter):
    owned(ida, serial="WX 12")
    job = take(written(name="Bo Lindt", serial="WX 12"), Said(new_customer=True, new_gear=True), who=counter)
    assert job.inflatable.serial == ""
    assert "Serial as read: WX 12" in job.note


def test_what_belongs_to_another_may_be_brought_by_somebody(ida, counter):
    wing = owned(ida, serial="WX 12")
    said = Said(new_customer=True, inflatable=wing)
    job = take(written(name="Bo Lindt", serial="WX 12"), said, who=counter)
    assert (job.customer.name, job.inflatable) == ("Bo Lindt", wing)


def test_gear_that_is_here_already_gets_no_second_visit_but_what_was_said_goes_to_its_notes(ida, counter):
    wing = owned(ida)
    here = JobFactory(customer=ida, inflatable=wing, stage=Stage.CHECKED_IN, note="Leaks.", came_with=["bag"])
    with pytest.raises(Asks) as asked:
        take(written(), Said(customer=ida, inflatable=wing), who=counter)
    assert [(one.job, one.here) for one in asked.value.gear] == [(here, True)]
    down = written(said="Also the strut.", came_with=("pump",))
    job = take(down, Said(customer=ida, inflatable=wing, as_note=True), who=counter)
    assert job == here
    assert job.note.startswith("Leaks.\n")
    assert job.note.endswith("Also the strut.")
    assert job.came_with == ["bag", "pump"]
    assert Job.objects.count() == 1


def test_an_enquiry_that_was_begun_is_gone_on_with_and_keeps_its_words(ida, counter):
    wing = owned(ida)
    begun = checkin.start(ida, wing, who=counter)
    checkin.note_arrival(begun, who=counter, note="Leaks.", arrived_wet=False)
    job = take(written(said="Hit a rock."), Said(customer=ida, inflatable=wing), who=counter)
    assert job == begun
    assert (job.note.splitlines()[0], job.note.splitlines()[-1]) == ("Leaks.", "Hit a rock.")
    assert job.arrived_wet is False


def test_a_job_that_moved_on_meanwhile_is_not_begun_anew(ida, counter):
    wing = owned(ida)
    begun = checkin.start(ida, wing, who=counter)
    stages.move(begun, Stage.WITHDRAWN, who=counter, reason="They changed their mind.")
    job = take(written(), Said(customer=ida, inflatable=wing), who=counter)
    assert job != begun
    assert job.stage == Stage.ENQUIRY


def test_what_cannot_be_is_said_beside_its_field_and_nothing_is_made(counter):
    with pytest.raises(ValidationError) as refused:
        take(written(name="?", phone="12"), who=counter)
    assert set(refused.value.message_dict) == {"name", "phone"}
    assert not Customer.objects.exists()
