import datetime

import pytest
from django.core.exceptions import ValidationError

from shoprepair.jobs import search
from shoprepair.jobs.assessment import assess_damage, assess_job
from shoprepair.jobs.corrections import StaleRecord, correct
from shoprepair.jobs.models import Customer, Job
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from tests.factories import CustomerFactory, DamageFactory, InflatableFactory, JobFactory, OwnershipFactory

pytestmark = pytest.mark.django_db


def test_a_correction_keeps_the_old_value_in_the_journal(counter: Staff) -> None:
    customer = CustomerFactory(name="Ilka Sandvort", phone="+1 555 0134")
    correct(customer, who=counter, version=1, name="Ilka  Sandvoort", phone="+1 555 0134")
    customer.refresh_from_db()
    assert (customer.name, customer.version) == ("Ilka Sandvoort", 2)
    entry = journal.entries(customer).get()
    assert (entry.text, entry.verb) == ("Corrected: name.", "customer.corrected")
    assert entry.changes == {"name": ["Ilka Sandvort", "Ilka Sandvoort"]}


def test_who_was_corrected_is_found_by_the_new_name(counter: Staff) -> None:
    customer = CustomerFactory(name="Ilka Sandvort")
    search.index(customer)
    correct(customer, who=counter, name="Ilka Brandal")
    assert [found.customer for found in search.find("brandal")] == [customer]
    assert search.find("sandvort") == []


def test_a_correction_that_changes_nothing_is_none(counter: Staff) -> None:
    customer = CustomerFactory(name="Ilka")
    correct(customer, who=counter, version=1, name="Ilka")
    assert customer.version == 1
    assert not journal.entries(customer).exists()


def test_nobody_overwrites_what_somebody_else_corrected_meanwhile(counter: Staff, bench: Staff) -> None:
    customer = CustomerFactory(name="Ilka")
    seen = Customer.objects.get()
    correct(customer, who=bench, version=1, name="Ilka Sandvoort")
    with pytest.raises(StaleRecord, match="Look at it as it is now") as refusal:
        correct(seen, who=counter, version=1, name="Ilka Brandal")
    assert refusal.value.record.name == "Ilka Sandvoort"
    assert Customer.objects.get().name == "Ilka Sandvoort"


def test_a_wrong_correction_gets_the_sentences_of_a_new_entry(counter: Staff) -> None:
    customer = CustomerFactory(name="Ilka")
    with pytest.raises(ValidationError) as refusal:
        correct(customer, who=counter, name="", phone="1")
    assert refusal.value.message_dict == {
        "name": ["Write the customer's name."],
        "phone": ["A phone number has 5 to 15 digits, such as +1 555 0134."],
    }
    assert customer.name == "Ilka"


def test_a_promise_can_be_moved_but_not_before_the_day_it_came_in(counter: Staff) -> None:
    job = JobFactory(received_at="2026-05-04T09:00:00Z", promised_on=datetime.date(2026, 5, 14))
    job.refresh_from_db()
    correct(job, who=counter, promised_on=datetime.date(2026, 5, 20))
    assert journal.entries(job).get().changes == {"promised_on": ["2026-05-14", "2026-05-20"]}
    with pytest.raises(ValidationError) as refusal:
        correct(job, who=counter, promised_on=datetime.date(2026, 5, 3))
    assert refusal.value.message_dict == {
        "promised_on": ["The promised date lies before the day the job came in."]
    }
    with pytest.raises(ValidationError, match="Write the date as"):
        correct(job, who=counter, promised_on="soon")


def test_a_stage_is_not_corrected_but_moved(counter: Staff) -> None:
    with pytest.raises(TypeError, match="stage"):
        correct(JobFactory(), who=counter, stage="ready")


def test_a_corrected_serial_is_checked_and_found(counter: Staff) -> None:
    taken, mine = InflatableFactory(serial="AB-1"), OwnershipFactory(inflatable__serial="AB-2")
    with pytest.raises(ValidationError, match="already here"):
        correct(mine.inflatable, who=counter, serial=taken.serial)
    correct(mine.inflatable, who=counter, serial="AB-3")
    assert [found.customer for found in search.find("ab3")] == [mine.customer]


def test_cloth_found_brittle_makes_its_open_jobs_more_urgent(counter: Staff) -> None:
    damage = DamageFactory()
    assess_damage(damage)
    damage.save()
    before = assess_job(damage.job).urgency
    correct(damage.job.inflatable, who=counter, condition="brittle")
    assert Job.objects.get().urgency > before
    assert journal.entries(damage.job).get().verb == "job.reassessed"
