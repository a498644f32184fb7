"""Whoever sends what no page asks for gets nothing by it, and stands in the journal."""

import pytest

from shoprepair.shop import journal, unasked
from shoprepair.shop.models import JournalEntry

pytestmark = pytest.mark.django_db
UNITS = {"pressure_unit": "psi", "length_unit": "", "temperature_unit": ""}


def test_the_owner_reads_who_tried_to_be_more(bench, owner, as_person):
    as_person(bench).post("/my/units/", {**UNITS, "role": "owner", "is_superuser": "on", "price": "1"})

    (line,) = journal.entries(bench)
    assert line.text == (
        "Tomek Brandal sent what the page does not ask for: is_superuser, price, role. Nothing came of it."
    )
    assert line.text in as_person(owner).get(f"/office/people/{bench.pk}/").content.decode()


def test_what_a_page_asks_for_is_no_attempt(owner, bench, as_person):
    as_person(owner).post(f"/office/people/{bench.pk}/", {"name": "Tomek", "role": "bench"})
    as_person(bench).post("/my/units/", UNITS)

    assert not JournalEntry.objects.filter(verb="fields.unasked").exists()


def test_whoever_tries_without_end_fills_no_journal(bench, as_person):
    client = as_person(bench)
    for _ in range(unasked.MOST_A_DAY + 3):
        client.post("/my/units/", {**UNITS, "is_staff": "1"})

    assert journal.entries(bench).count() == unasked.MOST_A_DAY
