"""Agreements by which damages are mended."""

from collections.abc import Iterable

from shoprepair.jobs.models import Job
from shoprepair.pricing.models import Quote, QuoteLine
from tests.factories import QuoteFactory


def mends(
    job: Job, damages: Iterable[int], *, taken: bool = True, kind: str = QuoteLine.Kind.REPAIR
) -> Quote:
    """The customer agreed to a quote with one line about these damages, which they took or left."""
    line = {"id": 0, "kind": kind, "damages": list(damages), "taken": taken}
    return QuoteFactory(job=job, state=Quote.State.ACCEPTED, agreed={"lines": [line]})
