"""A shelf and an agreed repair, as the tests of materials need them. Names and marks are invented."""

import datetime
from decimal import Decimal
from typing import Any

from django.utils import timezone

from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import quotes
from shoprepair.pricing.models import Material, OperationMaterial, Quote, QuoteLine, Repair
from shoprepair.shop.models import Staff
from shoprepair.work import stock
from shoprepair.work.models import Lot, Step
from tests.factories import (
    DamageFactory,
    JobFactory,
    OperationFactory,
    QuoteFactory,
    QuoteLineFactory,
    StaffFactory,
    accepted,
)


def a_material(name: str = "Casing cloth", unit: str = "m2", waste: int = 0, **facts: Any) -> Material:
    code = name.lower().replace(" ", "-")
    return Material.objects.create(
        code=code, name=name, unit=unit, price=Decimal("18.00"), waste_percent=Decimal(waste), **facts
    )


def a_lot(
    material: Material,
    code: str = "A1",
    quantity: str = "2",
    *,
    expires_in: int | None = None,
    who: Staff | None = None,
) -> Lot:
    """A lot received two months ago; `expires_in` days from today, which may be over."""
    today = timezone.localdate()
    expires_on = None if expires_in is None else today + datetime.timedelta(days=expires_in)
    received_on = today - datetime.timedelta(days=60)
    return stock.receive(
        material, code, Decimal(quantity), received_on, expires_on, who=who or StaffFactory()
    )


def a_repair(job: Job | None = None, **takes: tuple[Material, str]) -> Repair:
    """A repair that takes these materials each time."""
    job = job or JobFactory(stage=Stage.ASSESSED)
    operation = OperationFactory()
    for material, quantity in takes.values():
        OperationMaterial.objects.create(
            operation=operation, material=material, basis="each", quantity=Decimal(quantity)
        )
    return Repair.objects.create(damage=DamageFactory(job=job), operation=operation)


def a_step(repair: Repair | None, job: Job | None = None, **facts: Any) -> Step:
    job = job or repair.damage.job
    return Step.objects.create(
        job=job,
        repair=repair,
        position=1,
        made_from=f"test {job.steps.count()}",
        kind="repair",
        text="Sew the patch on.",
        **facts,
    )


def out_for(*repairs: Repair, **facts: Any) -> Quote:
    """A quote that is out, with a line for each of these repairs of one job."""
    job = repairs[0].damage.job
    quote = QuoteFactory(job=job)
    for repair in repairs:
        QuoteLineFactory(quote=quote, repair=repair, kind=QuoteLine.Kind.REPAIR, **facts)
    return quotes.send(quote, who=StaffFactory(), version=1, base_url="https://loft.example")


def agreed_for(*repairs: Repair) -> Quote:
    """The same quote, accepted."""
    return accepted(out_for(*repairs))
