"""What a piece of gear cost new, as the counter hears it from its owner."""

from decimal import Decimal

import pytest
from django.urls import reverse

from shoprepair.shop import journal
from tests.factories import DamageFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def job():
    return DamageFactory().job


@pytest.fixture
def client(as_person, counter):
    return as_person(counter)


def correct(client, job, new_price: str):
    gear = job.inflatable
    sent = {"serial": gear.serial, "colour": gear.colour, "bought_year": gear.bought_year or ""}
    sent |= {"condition": gear.condition, "note": gear.note, "version": gear.version, "new_price": new_price}
    answer = client.post(f"{reverse('job-correct', args=[job.number])}?what=inflatable", sent)
    gear.refresh_from_db()
    return answer


def test_the_price_is_kept_shown_and_journalled(client, job):
    assert correct(client, job, "1,090.50").status_code == 302
    assert job.inflatable.new_price == Decimal("1090.50")
    assert "Cost new" in client.get(job.get_absolute_url()).content.decode()
    [entry] = journal.entries(job.inflatable)
    assert entry.changes == {"new_price": [None, "1090.50"]}


def test_saved_again_as_it_is_shown_it_stays_and_emptied_it_goes_by_the_pattern(client, job):
    correct(client, job, "1090.50")
    correct(client, job, "1090.50")
    assert journal.entries(job.inflatable).count() == 1
    correct(client, job, "")
    assert job.inflatable.new_price is None


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("-5", "An amount cannot be below nought."),
        ("a lot", "Write an amount in figures"),
        ("900 EUR", "The shop counts in USD."),
    ],
)
def test_what_is_no_price_is_said_beside_it(client, job, text, sentence):
    answer = correct(client, job, text)
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert job.inflatable.new_price is None
