"""A shop with a letterhead, and jobs whose damages are pinned and judged as the counter does it."""

import datetime

import pytest

from shoprepair.jobs import damages
from shoprepair.shop.settings import current
from shoprepair.shop.units import Typed
from tests.factories import CustomerFactory, InflatableFactory, JobFactory

BASE_URL = "https://shop.example"


@pytest.fixture
def shop(db):
    shop = current()
    shop.name, shop.address, shop.phone = "Northquay Loft", "3 Quay Road\nHarbour 4210", "555 0100"
    shop.save()
    return shop


@pytest.fixture
def make_job(shop, bench):
    """Makes a job of Ida Quist's; `found` are (x_m, y_m, answers) of its damages."""

    def make(*found, name="Ida Quist", phone="+1 555 0142 318", inflatable=None, **fields):
        job = JobFactory(
            customer=CustomerFactory(name=name, phone=phone),
            inflatable=inflatable or InflatableFactory(pattern__name="Holm 5.0 wing", serial="HM-20418"),
            received_at=datetime.datetime(2026, 11, 20, 23, 30, tzinfo=datetime.UTC),
            promised_on=datetime.date(2026, 12, 1),
            **fields,
        )
        for x_m, y_m, answers in found:
            pinned = damages.pin(job, x_m, y_m, who=bench)
            if answers:
                damages.answer(pinned, who=bench, **answers)
        job.refresh_from_db()
        return job

    return make


def mm(length):
    return Typed(length / 1000, f"{length} mm")


CUT = (0.4, 0.05, {"kind": "cut", "length": mm(60), "direction": "along"})
SCUFF = (0.9, 0.25, {"kind": "scuff", "length": mm(90)})
TEAR = (-0.5, 1.0, {"kind": "tear", "length": mm(120), "direction": "around"})
BURST = (-0.7, 0.15, {"kind": "burst"})
