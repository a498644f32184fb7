import datetime
from decimal import Decimal

import pytest
from django.db import DatabaseError, transaction

from shoprepair.shop import journal
from shoprepair.shop.models import JournalEntry, Staff
from tests.factories import CustomerFactory, JobFactory

pytestmark = pytest.mark.django_db


def test_an_entry_says_who_did_what_from_what_to_what(counter: Staff) -> None:
    journal.record("job:412", "stage.changed", "Checked in.", who=counter, changes={"stage": ["a", "b"]})
    [entry] = journal.entries("job:412")
    assert (entry.who_name, entry.verb, entry.text) == ("Maja Orrevik", "stage.changed", "Checked in.")
    assert entry.changes == {"stage": ["a", "b"]}


def test_the_name_stays_as_it_was_when_the_person_is_renamed(counter: Staff) -> None:
    journal.record("job:412", "stage.changed", "Checked in.", who=counter)
    counter.first_name = "Malin"
    counter.save()
    assert journal.entries("job:412").get().who_name == "Maja Orrevik"


def test_what_the_program_does_by_itself_is_signed_by_it() -> None:
    assert journal.record("job:1", "job.reassessed", "Judged anew.", who=None).who_name == "the program"


def test_a_job_is_known_by_its_number_and_others_by_their_key() -> None:
    job, customer = JobFactory(number=412), CustomerFactory()
    assert journal.subject_of(job) == "job:412"
    assert journal.subject_of(customer) == f"customer:{customer.pk}"
    assert journal.subject_of("shop:1") == "shop:1"


def test_entries_of_several_subjects_come_newest_first(counter: Staff) -> None:
    for subject in ("job:1", "customer:9", "job:2", "job:1"):
        journal.record(subject, "seen", subject, who=counter)
    found = journal.entries("job:1", "customer:9")
    assert [entry.subject for entry in found] == ["job:1", "customer:9", "job:1"]


@pytest.mark.parametrize("change", ["update", "delete"])
def test_the_database_refuses_to_change_the_journal(counter: Staff, change: str) -> None:
    entry = journal.record("job:412", "stage.changed", "Checked in.", who=counter)
    tampering = {
        "update": lambda: JournalEntry.objects.update(text="Nothing happened."),
        "delete": entry.delete,
    }
    with pytest.raises(DatabaseError, match="append-only"):
        transaction.atomic(tampering[change])()
    assert journal.entries("job:412").get().text == "Checked in."


def test_only_fields_that_differ_are_differences() -> None:
    before = {"hold": "", "note": "same", "gone": 1}
    assert journal.differences(before, {"hold": "drying", "note": "same", "new": 2}) == {
        "hold": ["", "drying"],
        "gone": [1, None],
        "new": [None, 2],
    }


def test_values_that_json_does_not_know_are_kept_as_words(counter: Staff) -> None:
    changes = {
        "ratio": [1.5, float("inf")],
        "date": [None, datetime.date(2026, 2, 28)],
        "price": [Decimal("12.50"), None],
    }
    entry = journal.record("job:1", "x", "x", who=counter, changes=changes)
    entry.refresh_from_db()
    assert entry.changes == {"ratio": [1.5, "inf"], "date": [None, "2026-02-28"], "price": ["12.50", None]}
