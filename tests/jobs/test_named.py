"""Every record of a job has a name that the log, an error and a programmer can read."""

import datetime

import pytest

from shoprepair.gear.models import Inflatable, Pattern
from shoprepair.jobs import models

JOB = models.Job(number=12)
ILKA = models.Customer(name="Ilka Sandvoort")
WING = Inflatable(pattern=Pattern(name="Petrel 5"), serial="PT-1")


@pytest.mark.parametrize(
    ("record", "name"),
    [
        (JOB, "0012"),
        (models.StatusLink(job=JOB), "Status link of 0012"),
        (models.Message(job=JOB, name="Ilka"), "Ilka on 0012"),
        (models.Enquiry(job=JOB), "Enquiry 0012"),
        (models.Damage(job=JOB, number=2), "0012 damage 2"),
        (models.Photo(key="abc"), "abc"),
        (models.SearchWord(word="sandvoort"), "sandvoort"),
        (models.Ownership(customer=ILKA, inflatable=WING), "Ilka Sandvoort: Petrel 5 · PT-1"),
        (
            models.SelfCheckTally(day=datetime.date(2026, 11, 25), look="cut", part="tip", count=3),
            "2026-11-25 cut on tip: 3",
        ),
    ],
    ids=lambda given: "" if isinstance(given, str) else type(given).__name__,
)
def test_a_record_is_called_by_what_tells_it_from_others(record, name):
    assert str(record) == name
