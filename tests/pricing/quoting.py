"""Jobs and quotes as the tests of this folder need them."""

from decimal import Decimal
from typing import Any

from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import answers, totals
from shoprepair.pricing.models import Quote, QuoteLine, Repair
from tests.factories import (
    CustomerFactory,
    DamageFactory,
    JobFactory,
    OperationFactory,
    QuoteFactory,
    QuoteLineFactory,
)


def assessed(**facts: Any) -> Job:
    """A job that lacks nothing for a quote; its customer reads e-mail."""
    customer = CustomerFactory(name="Ilka Sandvoort", email="ilka@sandvoort.example")
    job = JobFactory(**{"stage": Stage.ASSESSED, "customer": customer, **facts})
    DamageFactory(job=job, number=1)
    return job


def repair_of(job: Job) -> Repair:
    """A repair of the job's first damage."""
    return Repair.objects.create(damage=job.damages.first(), operation=OperationFactory())


def with_choices(job: Job, **facts: Any) -> tuple[Quote, dict[str, QuoteLine]]:
    """A draft with a patch for 100, a bladder to replace (80) or patch (30), and a wash (20) at will."""
    quote = QuoteFactory(job=job, **facts)
    lines = {
        "patch": QuoteLineFactory(quote=quote),
        "replace": _line(quote, "New bladder", 80, choice="damage 1: bladder"),
        "mend": _line(quote, "Bladder patch", 30, choice="damage 1: bladder", taken=False),
        "wash": _line(quote, "Wash and dry", 20, optional=True, kind="extra"),
    }
    return quote, lines


def _line(quote: Quote, text: str, amount: int, **facts: Any) -> QuoteLine:
    return QuoteLineFactory(quote=quote, text=text, amount=Decimal(amount), **facts)


def answered(quote: Quote, *lines: QuoteLine, **changes: Any) -> Quote:
    """The customer's answer, as the page that was just opened sends it."""
    taken = {line.pk for line in lines}
    given = {
        "name": "Ilka Sandvoort",
        "accepted": True,
        "taken": taken,
        "total_shown": totals.of(quote, taken).total,
        "version": quote.version,
    }
    return answers.answer(quote, **(given | changes))
