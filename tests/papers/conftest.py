"""A shop with a letterhead, and jobs whose damages are pinned and judged as the counter does it."""

import datetime
from decimal import Decimal

import pytest

from shoprepair.jobs import damages
from shoprepair.jobs.models import Stage
from shoprepair.pricing import quotes
from shoprepair.shop.settings import current
from shoprepair.shop.units import Typed
from tests.factories import CustomerFactory, InflatableFactory, JobFactory, QuoteFactory, QuoteLineFactory

BASE_URL = "https://shop.example"
SHARED = "Charged once for all of them: 40 min for 600 mm of closing seam"
TERMS = "We dry what comes in wet.\nWe quote before we sew.\nWe stand behind every repair."


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


def line(quote, amount, text="Casing patch", **facts):
    return QuoteLineFactory(quote=quote, amount=Decimal(amount), text=text, **facts)


@pytest.fixture
def make_quote(make_job):
    """Makes a draft for a cut and a scuff: shared access, a choice, extras, discount, tax and deposit."""

    def make(*found, lines=True, job=None, **fields):
        job = job or make_job(*(found or (CUT, SCUFF)), number=412, stage=Stage.ASSESSED)
        values = {
            "discount_percent": Decimal(5),
            "deposit_percent": Decimal(30),
            "deposit_from": Decimal(150),
            "terms": TERMS,
        }
        quote = QuoteFactory(job=job, **values | fields)
        if lines:
            line(
                quote, "64.20", "Sew a patch inside and outside", detail="12 min, 1.2 m of seam", damages=[1]
            )
            line(quote, "51.35", "Open the leading edge", detail=SHARED, kind="access", damages=[1, 2])
            line(quote, "22.00", "Patch the bladder", choice="bladder", damages=[1])
            line(quote, "118.00", "Replace the bladder", kind="part", choice="bladder", taken=False)
            line(quote, "24.40", "Cover a scuff", optional=True, damages=[2])
            line(quote, "36.00", "Full check", kind="extra", optional=True, taken=False)
        return quote

    return make


@pytest.fixture
def make_sent(make_quote, owner):
    """The same, sent out."""

    def make(*found, **fields):
        quote = make_quote(*found, **fields)
        return quotes.send(quote, who=owner, version=quote.version, base_url=BASE_URL)

    return make
