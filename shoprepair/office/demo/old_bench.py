"""What is still known of the bench of the years: who did each repair, and from which lots."""

from collections.abc import Iterator
from datetime import date, datetime
from decimal import ROUND_CEILING, Decimal

from shoprepair.jobs.models import Job
from shoprepair.office.demo import ticking
from shoprepair.office.demo.people import Crew
from shoprepair.office.demo.shelf import DELIVERIES
from shoprepair.pricing.models import Material, Operation, Quote, QuoteLine
from shoprepair.shop.models import Staff
from shoprepair.work.models import Lot, Step, Use
from shoprepair.work.stock.reserving import takes

MARKS = {delivery.material: delivery.mark.partition("-")[0] for delivery in DELIVERIES}
"""What the marks of a material's lots begin with."""


class OldBench:
    """Writes each repair down as one step that is done, with what it took from the lots of that half year."""

    def __init__(self, crew: Crew) -> None:
        self._crew = crew
        every = Operation.objects.prefetch_related("materials__material")
        self._operations = {operation.pk: operation for operation in every}
        self._lots: dict[tuple[int, str], Lot] = {}
        self._used: dict[int, Decimal] = {}

    def mend(self, job: Job, at: datetime) -> None:
        """Every repair of a job's agreements was done at that moment."""
        who = ticking.sews(job, self._crew)
        made = Step.objects.bulk_create(self._steps(job, at, who))
        Use.objects.bulk_create(use for step in made for use in self._uses(step, at))

    def write_down(self) -> None:
        """The lots of the years are used up to the last of what they held."""
        for lot in self._lots.values():
            lot.quantity, lot.left = self._used[lot.pk].quantize(Decimal(1), ROUND_CEILING), Decimal(0)
            lot.closed, lot.note = True, "Used up."
        Lot.objects.bulk_update(self._lots.values(), ["quantity", "left", "closed", "note"])

    def _steps(self, job: Job, at: datetime, who: Staff) -> Iterator[Step]:
        for position, line in enumerate(_repairs(job), 1):
            yield Step(
                job=job,
                position=position,
                made_from=f"r{line.repair_id}:1",
                kind=Step.Kind.REPAIR,
                text=line.text,
                repair=line.repair,
                operation_code=line.operation_code,
                damages=line.damages,
                minutes=line.minutes,
                state=Step.State.DONE,
                done_by=who,
                done_at=at,
            )

    def _uses(self, step: Step, at: datetime) -> Iterator[Use]:
        if step.repair is None:
            return
        step.repair.operation = self._operations[step.repair.operation_id]
        for material, quantity in takes(step.repair).items():
            lot = self._lot(material, at.date())
            self._used[lot.pk] += quantity
            yield Use(
                lot=lot,
                job=step.job,
                repair=step.repair,
                step=step,
                quantity=quantity,
                who=self._crew.bench,
                at=at,
            )

    def _lot(self, material: Material, day: date) -> Lot:
        half, month = ("B", 7) if day.month > 6 else ("A", 1)
        code = f"{MARKS.get(material.code, 'XX')}-{day:%y}{half}"
        if (material.pk, code) not in self._lots:
            lot = Lot.objects.create(
                material=material, code=code, received_on=date(day.year, month, 9), quantity=1, left=0
            )
            self._lots[material.pk, code], self._used[lot.pk] = lot, Decimal(0)
        return self._lots[material.pk, code]


def _repairs(job: Job) -> list[QuoteLine]:
    """The agreed lines with a repair behind them."""
    quotes = Quote.objects.filter(job=job, state=Quote.State.ACCEPTED)
    ids = [line["id"] for quote in quotes for line in quote.agreed["lines"] if line["taken"]]
    lines = QuoteLine.objects.filter(pk__in=ids).exclude(repair=None).order_by("quote__number", "position")
    return list(lines.select_related("repair__damage__job__inflatable__pattern"))
