"""Values in an archive: written without loss, and read only where the field takes them."""

import datetime
import math
from decimal import Decimal

import pytest
from django.db import models

from shoprepair.shop.archive.plain import Unreadable, plain, read
from shoprepair.shop.archive.tables import tables
from shoprepair.shop.models import JournalEntry

AMOUNT = models.DecimalField(max_digits=6, decimal_places=2)
NAME = models.CharField(max_length=5)
COUNT = models.PositiveSmallIntegerField()
NUMBER = models.FloatField()
MOMENT, DAY = models.DateTimeField(), models.DateField()


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("field", "value"),
    [
        (AMOUNT, Decimal("-1200.50")),
        (NAME, "Ådne"),
        (COUNT, 32_767),
        (NUMBER, 0.1),
        (NUMBER, math.inf),
        (MOMENT, datetime.datetime(2026, 11, 25, 18, 0, 0, 5, datetime.UTC)),
        (DAY, datetime.date(2026, 11, 25)),
        (models.BooleanField(), False),
        (models.JSONField(), {"a": [1, None]}),
        (models.CharField(null=True), None),
        (JournalEntry._meta.get_field("who"), 3),
    ],
)
def test_what_was_written_reads_as_it_was(field, value):
    assert read(field, plain(value)) == value


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("field", "value", "wanted"),
    [
        (NAME, None, "it is empty"),
        (NAME, 7, "a text"),
        (NAME, "a\x00b", "a text"),
        (NAME, "\ud800", "letters are whole"),
        (NAME, "Sandvoort", "5 letters or fewer"),
        (COUNT, True, "a whole number"),
        (COUNT, 1.5, "a whole number"),
        (COUNT, -1, "not so large"),
        (COUNT, 10**20, "not so large"),
        (NUMBER, "many", "a number"),
        (NUMBER, True, "a number"),
        (NUMBER, 10**400, "not so large"),
        (models.BooleanField(), 0, "true or false"),
        (AMOUNT, 12.5, "written as a text"),
        (AMOUNT, "twelve", "written as a text"),
        (AMOUNT, "inf", "written as a text"),
        (AMOUNT, "1.005", "6 figures, 2 behind the point"),
        (AMOUNT, "10000", "6 figures, 2 behind the point"),
        (MOMENT, "yesterday", "a moment such as"),
        (MOMENT, "2026-11-25T18:00:00", "with its time zone"),
        (DAY, 20261125, "a day such as"),
    ],
)
def test_what_the_field_does_not_take_is_said_in_words(field, value, wanted):
    with pytest.raises(Unreadable, match=wanted):
        read(field, value)


def test_tables_are_called_as_people_call_them():
    words = {table.label: table.words for table in tables()}
    assert words["shop.JournalEntry"] == "journal entries"
    assert words["jobs.Job"] == "jobs"
    assert words["shop.Staff"] == "staff"
