"""What a job sheet says wrongly is corrected, and nothing that was typed is lost."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from shoprepair.jobs import corrections
from shoprepair.jobs.models import Customer, Damage, Job
from shoprepair.shop.models import JournalEntry
from tests.counter.sheets import a_cut, sheet
from tests.factories import (
    InflatableFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def client(as_person, counter):
    return as_person(counter)


@pytest.fixture
def cut(counter) -> Damage:
    return a_cut(counter)


# Correcting
def correct(client, what: str, **sent):
    return client.post(f"{reverse('job-correct', args=[1])}?what={what}", sent)


VISIT = {
    "promised_on": "2030-01-05",
    "came_with": "bag, leash",
    "arrived_wet": "",
    "note": "Wants it by Friday.",
}


def test_the_visit_is_corrected_and_the_old_date_stays_in_the_journal(client, cut):
    job = Job.objects.get()
    came = timezone.localtime(job.received_at).strftime("%Y-%m-%dT%H:%M")

    answer = correct(client, "job", **VISIT, received_at=came, version=job.version)

    assert answer.headers["Location"] == "/jobs/1/#facts"
    job.refresh_from_db()
    assert job.promised_on == datetime.date(2030, 1, 5)
    entry = JournalEntry.objects.filter(verb="job.corrected").get()
    assert list(entry.changes) == ["promised_on"]
    assert "Sat 5 Jan 2030" in sheet(client, job)


def test_the_customer_is_corrected_and_found_by_the_new_name(client, cut):
    customer = cut.job.customer
    sent = {"name": "Oda Tveitan", "phone": "+1 555 0199", "email": "oda@example.org", "note": ""}

    correct(client, "customer", **sent, version=customer.version)

    page = sheet(client, cut.job)
    assert "Oda Tveitan" in page
    assert "oda@example.org" in page
    assert "Oda Tveit</del>" in page.replace("\n", "").replace("  ", "")
    assert client.get("/", {"text": "tveitan"}).content.decode().count('<li class="row"') == 1


def test_worn_cloth_is_corrected_and_the_damages_are_judged_anew(client, cut):
    before = Damage.objects.get().load_ratio
    gear = cut.job.inflatable
    sent = {
        "serial": gear.serial,
        "colour": "sea green",
        "bought_year": "2021",
        "condition": "brittle",
        "note": "",
    }

    correct(client, "inflatable", **sent, version=gear.version)

    assert Damage.objects.get().load_ratio > before
    assert "sea green" in sheet(client, cut.job)


@pytest.mark.parametrize(
    ("what", "wrong", "sentence"),
    [
        ("job", {"promised_on": "soon"}, "Write the day as 2026-05-31."),
        ("job", {"promised_on": "1999-01-01"}, "lies before the day the job came in"),
        ("job", {"received_at": "noon"}, "Write day and time as 2026-05-31 14:30."),
        ("customer", {"name": " "}, "Write the customer&#x27;s name."),
        ("customer", {"phone": "12"}, "A phone number has 5 to 15 digits"),
        ("customer", {"email": "oda at home"}, "whole e-mail address"),
        ("inflatable", {"bought_year": "last"}, "Write the year with four figures"),
        ("inflatable", {"bought_year": "1066"}, "The year lies between"),
        ("inflatable", {"serial": "PT-TAKEN"}, "This serial is already here"),
    ],
)
def test_a_wrong_correction_gets_a_sentence_and_loses_nothing_typed(client, cut, what, wrong, sentence):
    InflatableFactory(serial="PT-TAKEN", pattern=cut.job.inflatable.pattern)
    right = {
        "job": {**VISIT, "received_at": "2026-01-01T09:00"},
        "customer": {"name": "Oda Tveit", "phone": "+1 555 0134", "email": "", "note": ""},
        "inflatable": {"serial": "PT-7", "colour": "", "bought_year": "", "condition": "sound", "note": ""},
    }[what]

    answer = correct(client, what, **{**right, **wrong, "note": "kept as typed"})

    page = answer.content.decode()
    assert answer.status_code == 422
    assert sentence in page
    assert "kept as typed" in page
    assert not JournalEntry.objects.filter(verb__endswith=".corrected").exists()


def test_a_correction_over_somebody_elses_shows_theirs_and_keeps_what_was_typed(client, cut, owner):
    seen = Customer.objects.get()
    corrections.correct(Customer.objects.get(), who=owner, phone="+1 555 0777")
    sent = {"name": "Oda Tveitan", "phone": seen.phone, "email": "", "note": ""}

    answer = correct(client, "customer", **sent, version=seen.version)

    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Somebody has corrected this while you were writing." in page
    assert "Phone is now" in page
    assert "+1 555 0777" in page
    assert 'value="Oda Tveitan"' in page
    assert Customer.objects.get().name == "Oda Tveit"

    version = Customer.objects.get().version
    assert f'name="version" value="{version}"' in page
    correct(client, "customer", **{**sent, "phone": "+1 555 0777"}, version=version)
    assert Customer.objects.get().name == "Oda Tveitan"


def test_a_correction_that_changes_nothing_writes_nothing(client, cut):
    customer = cut.job.customer
    sent = {"name": customer.name, "phone": customer.phone, "email": "", "note": ""}

    assert correct(client, "customer", **sent, version=customer.version).status_code == 302
    assert not JournalEntry.objects.filter(verb="customer.corrected").exists()


def test_the_seconds_that_a_field_does_not_show_are_no_correction(client, cut):
    job = Job.objects.get()
    came = timezone.localtime(job.received_at).strftime("%Y-%m-%dT%H:%M")
    sent = {**VISIT, "promised_on": job.promised_on.isoformat(), "received_at": came}

    correct(client, "job", **sent, version=job.version)

    assert Job.objects.get().received_at == job.received_at
    assert not JournalEntry.objects.filter(verb="job.corrected").exists()


def test_only_what_the_sheet_names_can_be_corrected(client, cut):
    assert client.get(reverse("job-correct", args=[1]), {"what": "shop"}).status_code == 404


@pytest.mark.parametrize("what", ["job", "customer", "inflatable"])
def test_the_correction_shows_what_stands_there_now(client, cut, what):
    page = client.get(reverse("job-correct", args=[1]), {"what": what}).content.decode()

    stands = {"job": "bag, leash", "customer": "Oda Tveit", "inflatable": cut.job.inflatable.serial}[what]
    assert stands in page
    assert page.count("is-primary") == 1
