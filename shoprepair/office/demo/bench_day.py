"""What goes on around the bench: steps done and begun, tubes under test, money taken, parts awaited."""

from datetime import datetime, timedelta
from decimal import Decimal

from shoprepair import serve
from shoprepair.jobs.models import Job, Stage
from shoprepair.office.demo import clock, holding, ticking
from shoprepair.office.demo.finds import pin
from shoprepair.office.demo.open_job import Visit
from shoprepair.office.demo.people import Crew
from shoprepair.pricing import quotes
from shoprepair.work import calendar, payments

BEFORE = {Stage.HOLD_TEST: timedelta(hours=2), Stage.READY: timedelta(minutes=30)}
"""How long ago jobs came to the stage that they are in."""
USUALLY = timedelta(minutes=30)


class BenchDay:
    """The last open day before now, on which the bench worked down one job after the other."""

    def __init__(self, now: datetime, crew: Crew) -> None:
        self.crew = crew
        self._now = now
        self._began = clock.opening(clock.open_day((now - timedelta(days=1)).date()))
        self._free_from = self._began + timedelta(minutes=10)

    def arrives(self, visit: Visit) -> datetime:
        """When a job came to the stage that it is in."""
        if visit.stage == Stage.BENCH:
            return self._began
        return self._now - BEFORE.get(visit.stage, USUALLY)

    def go_on(self, job: Job, visit: Visit) -> None:
        """All that has happened to a job in its stage."""
        if visit.ticked:
            self._free_from = ticking.work_on(job, visit.ticked, self.crew, self._free_from)
        if visit.inside:
            self._find_inside(job, visit)
        if visit.at_it:
            ticking.start_next(job, self.crew, self._now - timedelta(minutes=20))
        with clock.at(self._now - timedelta(minutes=4)):
            self._settle(job, visit)

    def _settle(self, job: Job, visit: Visit) -> None:
        if visit.gauge:
            holding.begin(job, visit.gauge, self.crew, decided=visit.failed)
        if visit.paid:
            deposit = visit.stage == Stage.GO_AHEAD
            payments.take(job, Decimal(visit.paid), "card", who=self.crew.counter, is_deposit=deposit)
        if visit.parts_in is not None:
            today = self._now.date()
            on = clock.open_day(today + timedelta(days=visit.parts_in))
            calendar.expect_parts(job, on, visit.hold_note, today=today, who=self.crew.bench)

    def _find_inside(self, job: Job, visit: Visit) -> None:
        """The customer is asked about what came to light, while agreed work goes on."""
        with clock.at(self._free_from):
            for find in visit.inside:
                pin(job, find, who=self.crew.bench)
            addition = quotes.draft(job, who=self.crew.owner)
            quotes.send(addition, who=self.crew.owner, version=addition.version, base_url=serve.url())
