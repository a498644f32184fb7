"""How the visits of the years ended: worked on, tested, paid and fetched, and covered from then on.

A closed job tells what was done, not how each tap went. So of its bench each repair is one step, and all
of it is written as the domain functions would have left it.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from heapq import heappop, heappush
from itertools import pairwise

from django.utils import timezone

from shoprepair.cover import giving
from shoprepair.jobs import stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.office.demo import clock, holding, leaving
from shoprepair.office.demo.old_bench import OldBench
from shoprepair.office.demo.people import Crew
from shoprepair.pricing import signals
from shoprepair.shop import journal
from shoprepair.work import agreed, hold_tests, invoices
from shoprepair.work.models import HandBack, HoldReading, Payment
from shoprepair.work.models.hand_back import known_words

WAY = (Stage.GO_AHEAD, Stage.BENCH, Stage.HOLD_TEST, Stage.READY, Stage.HANDED_BACK)
LABELS = {(way.start, way.to): way.label for way in stages.TRANSITIONS}


class Past:
    """Ends visits, and keeps what is to be written of them until the last."""

    def __init__(self, crew: Crew) -> None:
        self._crew = crew
        self._bench = OldBench(crew)
        self._readings: list[HoldReading] = []
        self._payments: list[Payment] = []
        self._leaving: list[tuple[datetime, int, HandBack]] = []

    def hand_back(self, job: Job, at: datetime) -> None:
        """From go-ahead to the customer's hands, by even steps of time until then."""
        moments = self._moments(job, timezone.now(), at)
        for (start, to), moment in zip(pairwise(WAY), moments, strict=True):
            self._pass(job, start, to, moment)
        self._bench.mend(job, moments[-3])
        with clock.at(at):
            self._pay(job, at)
        job.stage, job.is_open, job.closed_at = Stage.HANDED_BACK, False, at
        job.save(update_fields=("stage", "is_open", "closed_at"))

    def _moments(self, job: Job, agreed: datetime, at: datetime) -> list[datetime]:
        """When it went from stage to stage; what is tested was mended by then."""
        bench, mended, ready = clock.between(agreed, at, len(WAY) - 2)
        began = self._test(job, ready)
        if began <= mended:
            mended = clock.earlier(began, timedelta(minutes=6))
            bench = clock.between(agreed, mended, 1)[0]
        return [bench, mended, ready, at]

    def catch_up(self, until: datetime) -> None:
        """Give the covers of all that was fetched by then: the first to leave has the first number."""
        while self._leaving and self._leaving[0][0] <= until:
            at, _, given = heappop(self._leaving)
            with clock.at(at):
                giving.give(given, self._crew.counter)

    def write_down(self) -> None:
        """What waited to be written, once the last has left."""
        self.catch_up(max((at for at, *_ in self._leaving), default=timezone.now()))
        HoldReading.objects.bulk_create(self._readings)
        Payment.objects.bulk_create(self._payments)
        self._bench.write_down()

    def _pass(self, job: Job, start: Stage, to: Stage, at: datetime) -> None:
        who = self._crew.counter if to == Stage.HANDED_BACK else self._crew.bench
        with clock.at(at):
            changes = {"stage": [start.label, to.label]}
            journal.record(job, "stage.changed", f"{LABELS[start, to]}.", who=who, changes=changes)

    def _test(self, job: Job, end: datetime) -> datetime:
        """Every tube that must be shown to hold was, by then; answers when the first test began."""
        began = end
        for key in hold_tests.needed(job):
            test, readings = holding.on_record(job, key, end, self._crew)
            test.save()
            self._readings += readings
            began = min(began, test.began_at)
        return began

    def _pay(self, job: Job, at: datetime) -> None:
        counter = self._crew.counter
        invoice = invoices.make(job, who=counter)
        method, known_by = leaving.ways(job)
        who = {"who": counter, "at": at}
        if invoice.total:
            self._payments.append(Payment(job=job, amount=invoice.total, method=method, **who))
        name = job.customer.name
        signature = leaving.scribble(job.number, len(name))
        given = HandBack.objects.create(
            job=job, taker_name=name, known_by=known_by, signature=signature, **who
        )
        heappush(self._leaving, (at, job.number, given))
        told = f"Handed back to {name}, known by {known_words(known_by)}."
        journal.record(job, "hand-back.given", told, who=counter)


@contextmanager
def without_steps() -> Iterator[None]:
    """No bench steps are made, and no materials reserved, for what is agreed meanwhile."""
    signals.accepted.disconnect(dispatch_uid="work.agreed")
    try:
        yield
    finally:
        signals.accepted.connect(agreed.on_accepted, dispatch_uid="work.agreed")
