"""What the repairs of five years took on the bench, so that the catalogue has something to learn from."""

from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal
from random import Random

from shoprepair.jobs.models import Job
from shoprepair.pricing.models import MeasuredMinutes, Operation, Quote

TENTH = Decimal("0.1")
LEANS = (0.82, 1.35)
"""How far an operation's true minutes may lie from the catalogue's, as a share."""
SPREAD = 0.16
"""Scatter of one repair about that, of a logarithm."""


class Stopwatch:
    """Measures every repair that was agreed, and writes all of it down at once."""

    def __init__(self, rng: Random) -> None:
        self._rng = rng
        self._operations = {operation.code: operation for operation in Operation.objects.all()}
        self._leans = {code: rng.uniform(*LEANS) for code in sorted(self._operations)}
        self._measured: list[MeasuredMinutes] = []

    def measure(self, job: Job, quote: Quote, at: datetime) -> None:
        """What the bench noted for a job whose quote was accepted."""
        self._measured.extend(self._of(job, quote, at))

    def write_down(self) -> None:
        MeasuredMinutes.objects.bulk_create(self._measured)

    def _of(self, job: Job, quote: Quote, at: datetime) -> Iterator[MeasuredMinutes]:
        taken = {line["id"] for line in quote.agreed["lines"] if line["taken"]}
        for line in quote.lines.all():
            if line.pk in taken and line.minutes and line.operation_code in self._operations:
                ratio = self._leans[line.operation_code] * self._rng.lognormvariate(0, SPREAD)
                yield MeasuredMinutes(
                    operation=self._operations[line.operation_code],
                    job=job,
                    estimated=line.minutes,
                    measured=max((line.minutes * Decimal(ratio)).quantize(TENTH), TENTH),
                    at=at,
                )
