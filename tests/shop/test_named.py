"""Every record of the shop has a name that a log and an error can read, and no secret in it."""

import datetime

import pytest

from shoprepair.shop import models

AT = datetime.datetime(2026, 11, 25, 18, 0, tzinfo=datetime.UTC)
MAJA = models.Staff(username="maja", first_name="Maja", last_name="Orrevik", password="not told")


@pytest.mark.parametrize(
    ("record", "name"),
    [
        (models.Staff(username="tomek"), "tomek"),
        (MAJA, "Maja Orrevik"),
        (models.Shop(name="Northquay Loft"), "Northquay Loft"),
        (models.LoadFigures(), "Load cases"),
        (models.Counter(name="job", value=12), "job 12"),
        (models.Submission(key="of-one-form"), "of-one-form"),
        (models.Attempt(whom="0123456789abcdef", at=AT), f"01234567 at {AT}"),
        (models.DailyRun(name="backup", ran_on=AT.date()), "backup on 2026-11-25"),
        (models.JournalEntry(subject="job:12", verb="job.changed"), "job:12 job.changed"),
        (models.MailText(code="ready"), "ready"),
        (models.Letter(code="ready", to="ilka@sand.example"), "ready to ilka@sand.example"),
        (models.SharedTablet(name="The counter’s"), "The counter’s"),
        (models.LogIn(person=MAJA, device="Tablet"), "Maja Orrevik on Tablet"),
        (models.TrustedBrowser(person=MAJA, device="Phone"), "Phone of Maja Orrevik"),
        (models.Pin(person=MAJA, hash="not told"), "PIN of Maja Orrevik"),
        (models.Note(name="worker", at=AT), f"worker at {AT}"),
    ],
    ids=lambda given: "" if isinstance(given, str) else type(given).__name__,
)
def test_a_record_is_called_by_what_tells_it_from_others(record, name):
    assert str(record) == name
