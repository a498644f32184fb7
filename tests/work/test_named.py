"""Every record of the work has a name that the log, an error and a programmer can read."""

import datetime
from decimal import Decimal

import pytest

from shoprepair.jobs.models import Job, Photo
from shoprepair.pricing.models import Material
from shoprepair.shop.models import Staff
from shoprepair.work import models

DAY = datetime.date(2026, 11, 25)
JOB, TOMEK = Job(number=12), Staff(username="tomek", first_name="Tomek")
THREAD = Material(name="Thread")
LOT, STEP = models.Lot(material=THREAD, code="R1"), models.Step(job=JOB, text="Sew it on.")


@pytest.mark.parametrize(
    ("record", "name"),
    [
        (models.BenchHours(who=TOMEK), "Bench hours of Tomek"),
        (models.Holiday(who=TOMEK, first_day=DAY), "Tomek away from 2026-11-25"),
        (models.Holiday(first_day=DAY), "The shop away from 2026-11-25"),
        (models.ExpectedParts(job=JOB, day=DAY), "Parts of 0012 on 2026-11-25"),
        (models.Forecast(job=JOB, likely_on=DAY, late_on=DAY), "0012: 2026-11-25 to 2026-11-25"),
        (models.NextFree(likely_on=DAY, late_on=DAY), "2026-11-25 to 2026-11-25"),
        (models.WorkRules(), "Work rules"),
        (models.Invoice(number=7), "0007"),
        (models.Payment(job=JOB, amount=Decimal("12.00")), "12.00 for 0012"),
        (models.HandBack(job=JOB, taker_name="Ilka"), "0012 to Ilka"),
        (models.HoldTest(job=JOB, tube_key="leading edge"), "Hold test of 0012 leading edge"),
        (models.HoldReading(pressure_typed="0.5 bar", at=DAY), "0.5 bar at 2026-11-25"),
        (STEP, "0012: Sew it on."),
        (models.Stint(who=TOMEK, job=JOB), "Tomek on 0012"),
        (models.StepPhoto(photo=Photo(key="abc"), moment="before"), "Before: abc"),
        (models.Check(who=TOMEK, job=JOB), "Tomek checked 0012"),
        (models.StockRule(material=THREAD, low_at=3), "Thread: low at 3"),
        (LOT, "Thread R1"),
        (models.Use(lot=LOT, job=JOB, quantity=2), "2 of Thread R1 for 0012"),
        (models.StockCount(lot=LOT, found=4), "4 counted of Thread R1"),
        (models.Need(material=THREAD, job=JOB, quantity=1), "1 of Thread for 0012"),
    ],
    ids=lambda given: "" if isinstance(given, str) else type(given).__name__,
)
def test_a_record_is_called_by_what_tells_it_from_others(record, name):
    assert str(record) == name
