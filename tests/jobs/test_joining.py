from datetime import timedelta

import pytest
from django.utils import timezone

from shoprepair.gear.models import Inflatable
from shoprepair.jobs import damages, erasure, joining, ownership
from shoprepair.jobs.enquiries import forget_due
from shoprepair.jobs.joining import JoinRefused
from shoprepair.jobs.models import Customer, Job
from shoprepair.jobs.search import find, index
from shoprepair.shop import journal
from shoprepair.shop.models import JournalEntry, Staff
from tests.enquiries import asked
from tests.factories import CustomerFactory, InflatableFactory, JobFactory, OwnershipFactory, PatternFactory

pytestmark = pytest.mark.django_db


def indexed(customer: Customer) -> Customer:
    """The customer, found from now on while typing."""
    index(customer)
    return customer


@pytest.fixture
def known(db: None) -> Customer:
    """Jorunn has been here before, and left a phone number."""
    return indexed(CustomerFactory(name="Jorunn Havelaar", phone="+1 555 0134", email=""))


@pytest.fixture
def wing(known: Customer) -> Inflatable:
    """Hers, and larger than she said."""
    return OwnershipFactory(
        customer=known, inflatable=InflatableFactory(pattern=PatternFactory(span_m=4.2), serial="KT-00071")
    ).inflatable


def test_somebody_of_the_same_number_is_asked_about_with_their_gear(
    known: Customer, wing: Inflatable
) -> None:
    indexed(CustomerFactory(name="Somebody Else", phone="+1 555 0999"))
    job = asked("J. Havelaar", phone="001 555 0134")
    (found,) = joining.candidates(job)
    assert (found.customer, found.alike) == (known, "phone number")
    assert [gear.inflatable for gear in found.gear] == [wing]
    assert found.gear[0].here is None


def test_four_candidates_cost_no_more_statements_than_one(
    known: Customer, wing: Inflatable, django_assert_num_queries: object
) -> None:
    job = asked("Jorunn Havelaar", phone="+1 555 0134")
    with django_assert_num_queries(5):  # type: ignore[operator]
        joining.candidates(job)
    for _ in range(3):
        other = CustomerFactory(name="Jorunn Havelaar", phone="+1 555 0134")
        OwnershipFactory(customer=indexed(other))
    with django_assert_num_queries(5):  # type: ignore[operator]
        assert len(joining.candidates(job)) == 4


def test_the_job_and_its_gear_go_to_the_known_customer_and_the_new_row_goes(
    known: Customer, counter: Staff
) -> None:
    job = asked("Jorunn H.", email="jorunn@mail.example")
    provisional, gear = job.customer, job.inflatable
    journal.record(
        provisional,
        "customer.added",
        "Jorunn H. is a new customer.",
        who=None,
        who_name="Jorunn H. (customer)",
    )
    joining.is_customer(job, known, who=counter)
    assert job.customer == known
    assert Job.objects.get(pk=job.pk).customer == known
    assert ownership.owner(gear) == known
    assert not Customer.objects.filter(name="Jorunn H.").exists()
    assert not JournalEntry.objects.filter(
        subject__startswith="customer:", text__contains="is a new customer"
    )
    known.refresh_from_db()
    assert (known.phone, known.email) == ("+1 555 0134", "jorunn@mail.example")
    assert [one.customer for one in find(f"{job}")] == [known]


def test_another_number_of_theirs_is_kept_in_the_note(known: Customer, counter: Staff) -> None:
    joining.is_customer(asked("Jorunn", phone="+1 555 7788"), known, who=counter)
    known.refresh_from_db()
    assert (known.phone, known.note) == ("+1 555 0134", "Also reached at +1 555 7788")


def test_who_has_other_gear_by_now_stays_in_the_books(known: Customer, counter: Staff) -> None:
    job = asked("Jorunn")
    provisional = job.customer
    OwnershipFactory(customer=provisional)
    joining.is_customer(job, known, who=counter)
    assert Customer.objects.filter(pk=provisional.pk, name="Jorunn").exists()


def test_erasing_the_known_customer_erases_what_they_called_themselves(
    known: Customer, counter: Staff, owner: Staff
) -> None:
    job = asked("Jorry from the beach", email="jorry@mail.example")
    joining.is_customer(job, known, who=counter)
    Job.objects.filter(pk=job.pk).update(stage="withdrawn", is_open=False)
    erasure.erase(known, "Jorunn Havelaar", who=owner)
    left = [f"{entry.text} {entry.changes} {entry.who_name}" for entry in JournalEntry.objects.all()]
    assert not [words for words in left if "Jor" in words]


def test_it_is_this_gear_of_theirs_and_the_pins_are_carried_to_it(
    known: Customer, wing: Inflatable, counter: Staff
) -> None:
    job = asked("Jorunn", cuts=2)
    stood_for_it = job.inflatable
    before = damages.live(job)
    joining.is_customer(job, known, who=counter)
    joining.is_gear(job, wing, who=counter)
    assert job.inflatable == wing
    after = damages.live(job)
    assert [one.number for one in after] == [1, 2]
    assert [one.station for one in after] == pytest.approx([one.station for one in before], abs=0.005)
    assert after[0].x_m > before[0].x_m
    assert after[0].told == before[0].told
    assert not Inflatable.objects.filter(pk=stood_for_it.pk).exists()


def test_gear_with_an_open_enquiry_or_in_the_shop_is_not_asked_about_twice(
    known: Customer, wing: Inflatable, counter: Staff
) -> None:
    job = asked("Jorunn")
    joining.is_customer(job, known, who=counter)
    other = JobFactory(customer=known, inflatable=wing)
    with pytest.raises(JoinRefused, match=f"Job {other} is already an open enquiry"):
        joining.is_gear(job, wing, who=counter)
    Job.objects.filter(pk=other.pk).update(stage="bench")
    with pytest.raises(JoinRefused, match="in the shop already"):
        joining.is_gear(job, wing, who=counter)


def test_gear_of_somebody_else_is_not_theirs(known: Customer, wing: Inflatable, counter: Staff) -> None:
    job = asked("A stranger")
    with pytest.raises(JoinRefused, match="belongs to Jorunn Havelaar"):
        joining.is_gear(job, wing, who=counter)


def test_a_job_that_did_not_come_from_outside_keeps_its_customer(known: Customer, counter: Staff) -> None:
    with pytest.raises(JoinRefused, match="did not come as an enquiry"):
        joining.is_customer(JobFactory(), known, who=counter)


def test_what_is_quoted_stays_with_whom_it_was_quoted_to(known: Customer, counter: Staff) -> None:
    job = asked()
    Job.objects.filter(pk=job.pk).update(stage="assessed")
    with pytest.raises(JoinRefused, match="is at “Assessed” already"):
        joining.is_customer(job, known, who=counter)


def test_who_was_known_before_stays_when_nothing_came_of_their_enquiry(
    known: Customer, wing: Inflatable, counter: Staff
) -> None:
    Customer.objects.filter(pk=known.pk).update(created_at=timezone.now() - timedelta(days=400))
    job = asked("Jorunn", words="Call me in the evening.")
    joining.join(job, known, wing, who=counter)
    assert forget_due(timezone.now() + timedelta(days=4000)) == 1
    known.refresh_from_db()
    job.enquiry.refresh_from_db()
    assert (known.name, job.enquiry.words) == ("Jorunn Havelaar", "")


def test_two_enquiries_of_one_new_person_are_forgotten_with_the_person(counter: Staff) -> None:
    first, second = asked("Ysolde Brandal"), asked("Ysolde Brandal")
    joining.is_customer(second, first.customer, who=counter)
    assert forget_due(timezone.now() + timedelta(days=4000)) == 2
    assert not Customer.objects.filter(name__contains="Ysolde").exists()


def test_who_was_not_found_by_number_is_looked_up_by_a_few_letters(known: Customer, wing: Inflatable) -> None:
    job = asked("J. H.", phone="+1 555 0999")
    (found,) = joining.looked_up(job, "Havel")
    assert (found.customer, [gear.inflatable for gear in found.gear]) == (known, [wing])


def test_saying_what_is_so_already_writes_nothing(known: Customer, wing: Inflatable, counter: Staff) -> None:
    job = asked("J. Havelaar", phone="+1 555 0134")
    before = JournalEntry.objects.count()
    assert joining.is_customer(job, job.customer, who=counter) == job
    assert joining.is_gear(job, job.inflatable, who=counter) == job
    assert JournalEntry.objects.count() == before
    assert not joining.person_said(job)
    joining.is_customer(job, known, who=counter)
    assert joining.person_said(job)
    assert [gear.inflatable for gear in joining.other_gear(Job.objects.get(pk=job.pk))] == [wing]


def test_nobody_who_was_erased_is_said_to_have_asked(known: Customer, counter: Staff) -> None:
    job = asked("J. Havelaar", phone="+1 555 0134")
    Customer.objects.filter(pk=known.pk).update(erased_at=timezone.now())
    known.refresh_from_db()
    with pytest.raises(JoinRefused, match="was erased"):
        joining.is_customer(job, known, who=counter)
