"""Whose gear is: now, on a day, and after it has passed on."""

import datetime

import pytest
import time_machine

from shoprepair.jobs import checkin, ownership, search, stages
from shoprepair.jobs.models import Job, Ownership, Stage
from shoprepair.shop import journal
from tests.factories import CustomerFactory, DamageFactory, InflatableFactory, JobFactory, OwnershipFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def held(counter) -> Ownership:
    """Ilka's wing, found by its serial."""
    return OwnershipFactory(
        customer=CustomerFactory(name="Ilka Sandvoort"), inflatable=InflatableFactory(serial="PT-77010")
    )


@pytest.fixture
def taker():
    return CustomerFactory(name="Brann Sollvik")


def found(text: str) -> list[str]:
    return [str(one.customer) for one in search.find(text)]


def test_gear_belongs_to_each_owner_for_their_days(held, taker, counter):
    with time_machine.travel("2031-05-04 12:00Z", tick=False):
        ownership.pass_on(held.inflatable, taker, who=counter)
    day = datetime.datetime(2031, 5, 4, 12, tzinfo=datetime.UTC)
    assert ownership.owner(held.inflatable) == taker
    assert ownership.owner(held.inflatable, day - datetime.timedelta(seconds=1)) == held.customer
    assert ownership.owner(held.inflatable, day) == taker
    assert ownership.owner(held.inflatable, day - datetime.timedelta(days=3650)) is None
    assert ownership.owner(InflatableFactory()) is None


def test_the_search_finds_the_new_owner_by_the_serial_and_no_longer_the_old_one(held, taker, counter):
    search.index(held.customer)
    assert found("77010") == ["Ilka Sandvoort"]
    ownership.pass_on(held.inflatable, taker, who=counter)
    assert found("77010") == ["Brann Sollvik"]
    assert search.find("Brann")[0].inflatables == (held.inflatable,)
    assert search.find("Ilka")[0].inflatables == ()


def test_passing_on_is_journalled_with_both_names(held, taker, counter):
    ownership.pass_on(held.inflatable, taker, who=counter)
    entry = journal.entries(f"inflatable:{held.inflatable.pk}").get()
    assert (entry.verb, entry.who, entry.changes) == (
        "inflatable.passed",
        counter,
        {"owner": ["Ilka Sandvoort", "Brann Sollvik"]},
    )


def test_it_passes_neither_to_its_owner_nor_from_nobody(held, taker, counter):
    with pytest.raises(ownership.NotPassed, match="belongs to Ilka Sandvoort already"):
        ownership.pass_on(held.inflatable, held.customer, who=counter)
    with pytest.raises(ownership.NotPassed, match="does not know whose"):
        ownership.pass_on(InflatableFactory(), taker, who=counter)
    assert Ownership.objects.get() == held


def test_a_serial_typed_anew_is_known_as_the_new_owner_s(held, taker, counter):
    ownership.pass_on(held.inflatable, taker, who=counter)
    again = InflatableFactory.build(serial="pt-77010", pattern=held.inflatable.pattern)
    with pytest.raises(checkin.ValidationError, match="belongs to Brann Sollvik"):
        checkin.check_inflatable(again)


def test_it_is_checked_in_for_whoever_owns_it(held, taker, counter):
    ownership.pass_on(held.inflatable, taker, who=counter)
    with pytest.raises(checkin.NotTheirs, match="belongs to Brann Sollvik now"):
        checkin.start(held.customer, held.inflatable, who=counter)
    assert checkin.start(taker, held.inflatable, who=counter).customer == taker


def test_what_the_former_owner_began_is_withdrawn_when_the_new_one_brings_it(held, taker, counter):
    begun = checkin.start(held.customer, held.inflatable, who=counter)
    DamageFactory(job=begun)
    ownership.pass_on(held.inflatable, taker, who=counter)
    checkin.agree_terms(begun, who=counter)
    assert stages.refusals(begun, Stage.CHECKED_IN) == [
        "The gear belongs to Brann Sollvik now. Withdraw this, and check it in for them."
    ]
    job = checkin.start(taker, held.inflatable, who=counter)
    begun.refresh_from_db()
    assert (begun.stage, job.stage, job.customer) == (Stage.WITHDRAWN, Stage.ENQUIRY, taker)
    assert checkin.start(taker, held.inflatable, who=counter) == job


def test_somebody_may_bring_what_is_not_theirs(held, taker, counter):
    begun = checkin.start(held.customer, held.inflatable, who=counter)
    job = checkin.start(taker, held.inflatable, who=counter, not_theirs=True)
    DamageFactory(job=job)
    checkin.agree_terms(job, who=counter)
    assert stages.refusals(job, Stage.CHECKED_IN) == []
    begun.refresh_from_db()
    assert begun.stage == Stage.WITHDRAWN


def test_visits_of_the_former_owner_stay_theirs(held, taker, counter):
    job = JobFactory(inflatable=held.inflatable, customer=held.customer, stage=Stage.BENCH)
    ownership.pass_on(held.inflatable, taker, who=counter)
    assert Job.objects.get(pk=job.pk).customer == held.customer
