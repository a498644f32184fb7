import datetime

import pytest
import time_machine
from django.core.exceptions import ValidationError

from shoprepair.jobs import checkin, search
from shoprepair.jobs.models import Customer, Hold, Job, Stage
from shoprepair.jobs.stages import StageRefused
from shoprepair.shop import journal
from shoprepair.shop.models import Shop, Staff
from shoprepair.shop.settings import current
from tests.factories import (
    CustomerFactory,
    DamageFactory,
    InflatableFactory,
    JobFactory,
    OwnershipFactory,
    PatternFactory,
)

pytestmark = pytest.mark.django_db


def test_a_visit_begins_as_an_enquiry_with_a_number_and_a_promise(counter: Staff) -> None:
    ownership = OwnershipFactory()
    with time_machine.travel("2026-05-04 09:00+00:00", tick=False):
        job = checkin.start(ownership.customer, ownership.inflatable, who=counter)
    assert (job.number, job.stage, job.is_open) == (1, Stage.ENQUIRY, True)
    assert job.promised_on == datetime.date(2026, 5, 14)
    assert journal.entries(job).get().verb == "job.started"


def test_the_promise_follows_the_shops_usual_days(counter: Staff) -> None:
    shop = current()
    shop.usual_days = 3
    shop.save()
    ownership = OwnershipFactory()
    with time_machine.travel("2026-02-27 09:00+00:00", tick=False):
        job = checkin.start(ownership.customer, ownership.inflatable, who=counter)
    assert job.promised_on == datetime.date(2026, 3, 2)


def test_nothing_is_promised_for_a_day_on_which_the_shop_is_closed(counter: Staff) -> None:
    Shop.objects.filter(pk=current().pk).update(
        working_hours={str(day): ["09:00", "17:30"] for day in range(5)}
    )
    ownership = OwnershipFactory()
    with time_machine.travel("2026-05-06 09:00+00:00", tick=False):
        job = checkin.start(ownership.customer, ownership.inflatable, who=counter)
    assert job.promised_on == datetime.date(2026, 5, 18), "ten days on is a Saturday"


def test_an_open_enquiry_is_gone_on_with(counter: Staff) -> None:
    ownership = OwnershipFactory()
    first = checkin.start(ownership.customer, ownership.inflatable, who=counter)
    assert checkin.start(ownership.customer, ownership.inflatable, who=counter) == first
    assert Job.objects.count() == 1


def test_after_a_visit_the_next_is_a_new_job(counter: Staff) -> None:
    ownership = OwnershipFactory()
    before = JobFactory(inflatable=ownership.inflatable, stage=Stage.HANDED_BACK, is_open=False)
    job = checkin.start(ownership.customer, ownership.inflatable, who=counter)
    assert job.number == before.number + 1


def test_a_new_job_is_found_by_its_number(counter: Staff) -> None:
    ownership = OwnershipFactory()
    job = checkin.start(ownership.customer, ownership.inflatable, who=counter)
    assert [found.customer for found in search.find(f"{job.number:04d}")] == [ownership.customer]


def test_a_new_customer_is_found_at_once_and_noted(counter: Staff) -> None:
    customer = checkin.add_customer("  Ilka   Sandvoort ", phone="+1 555 0134", who=counter)
    assert customer.name == "Ilka Sandvoort"
    assert [found.customer for found in search.find("sandv")] == [customer]
    assert journal.entries(customer).get().text == "Ilka Sandvoort is a new customer."


@pytest.mark.parametrize(
    ("facts", "problems"),
    [
        ({"name": " "}, {"name": ["Write the customer's name."]}),
        ({"name": "…"}, {"name": ["Write the customer's name."]}),
        (
            {"name": "Ilka", "phone": "12"},
            {"phone": ["A phone number has 5 to 15 digits, such as +1 555 0134."]},
        ),
        (
            {"name": "Ilka", "email": "ilka@"},
            {"email": ["This is not a whole e-mail address. Write it like name@place.example."]},
        ),
        (
            {"name": "I" * 121},
            {"name": ["At most 120 letters and signs fit here, and these are 121. Shorten it."]},
        ),
    ],
)
def test_a_customer_who_cannot_be_reads_why(
    counter: Staff, facts: dict[str, str], problems: dict[str, list[str]]
) -> None:
    with pytest.raises(ValidationError) as refusal:
        checkin.add_customer(**facts, who=counter)
    assert refusal.value.message_dict == problems
    assert not Customer.objects.exists()


def test_a_customer_needs_neither_phone_nor_e_mail(counter: Staff) -> None:
    assert checkin.add_customer("Ilka", who=counter).pk


def test_a_new_inflatable_belongs_to_its_customer_and_is_found_by_serial(counter: Staff) -> None:
    customer = CustomerFactory()
    inflatable = checkin.add_inflatable(customer, PatternFactory(), serial=" AB-12 /7 ", who=counter)
    assert inflatable.serial == "AB-12 /7"
    [found] = search.find("ab12")
    assert (found.customer, found.inflatables) == (customer, (inflatable,))


def test_a_serial_that_exists_says_whose_it_is(counter: Staff) -> None:
    ownership = OwnershipFactory(inflatable__serial="AB-12")
    with pytest.raises(ValidationError) as refusal:
        checkin.add_inflatable(CustomerFactory(), PatternFactory(), serial="ab-12", who=counter)
    assert refusal.value.message_dict == {
        "serial": [
            f"This serial is already here: it belongs to {ownership.customer}. "
            "Pick it there, or read it again."
        ]
    }


def test_several_inflatables_may_have_no_serial(counter: Staff) -> None:
    customer, pattern = CustomerFactory(), PatternFactory()
    for _ in range(2):
        checkin.add_inflatable(customer, pattern, who=counter)
    assert customer.ownerships.count() == 2


@time_machine.travel("2026-05-04 09:00+00:00")
@pytest.mark.parametrize("year", [1989, 2027])
def test_gear_was_bought_in_a_year_that_was(counter: Staff, year: int) -> None:
    with pytest.raises(ValidationError) as refusal:
        checkin.add_inflatable(CustomerFactory(), PatternFactory(), bought_year=year, who=counter)
    assert refusal.value.message_dict == {"bought_year": ["The year lies between 1990 and 2026."]}


def test_what_came_along_is_kept_in_its_words(counter: Staff) -> None:
    job = JobFactory()
    checkin.note_arrival(
        job, who=counter, came_with=["bag", " hand  pump", "bag", ""], note="Smells of salt."
    )
    job.refresh_from_db()
    assert (job.came_with, job.note) == (["bag", "hand pump"], "Smells of salt.")
    assert not journal.entries(job).exists()


def test_after_check_in_a_change_of_what_came_along_is_in_the_journal(counter: Staff) -> None:
    job = JobFactory(stage=Stage.CHECKED_IN, came_with=["bag"])
    checkin.note_arrival(job, who=counter, came_with=["bag", "leash"])
    assert journal.entries(job).get().changes == {"came_with": [["bag"], ["bag", "leash"]]}


def test_what_comes_in_wet_waits_until_it_is_dry(counter: Staff) -> None:
    job = checkin.note_arrival(JobFactory(), who=counter, arrived_wet=True)
    assert (job.hold, job.hold_note) == (Hold.DRYING, "It came in wet or sandy.")


def test_saying_again_what_came_along_changes_nothing(counter: Staff, django_assert_num_queries) -> None:
    job = JobFactory(came_with=["bag"])
    with django_assert_num_queries(0):
        checkin.note_arrival(job, who=counter, came_with=["bag"], arrived_wet=None)


def test_only_facts_of_the_arrival_are_noted(counter: Staff) -> None:
    with pytest.raises(TypeError, match="stage"):
        checkin.note_arrival(JobFactory(), who=counter, stage="ready")


def test_the_terms_stay_as_the_customer_agreed_them(counter: Staff) -> None:
    shop = current()
    shop.terms = "We stand behind our work."
    shop.save()
    job = checkin.agree_terms(JobFactory(), who=counter)
    shop.terms = "We do not."
    shop.save()
    checkin.agree_terms(job, who=counter)
    job.refresh_from_db()
    assert job.terms == "We stand behind our work."
    assert journal.entries(job).count() == 1


def test_check_in_is_finished_when_nothing_is_missing(counter: Staff) -> None:
    job = JobFactory()
    with pytest.raises(StageRefused):
        checkin.finish(job, who=counter)
    DamageFactory(job=job)
    checkin.agree_terms(job, who=counter)
    assert checkin.finish(job, who=counter).stage == Stage.CHECKED_IN


def test_an_inflatable_of_nobody_any_more_is_said_to_be_so(counter: Staff) -> None:
    InflatableFactory(serial="AB-12")
    with pytest.raises(ValidationError, match="nobody any more"):
        checkin.add_inflatable(CustomerFactory(), PatternFactory(), serial="AB-12", who=counter)
