"""What goes on around the bench: steps done and begun, tubes under test, money taken, parts awaited."""

from datetime import datetime, timedelta
from decimal import Decimal

from django.utils import timezone

from shoprepair import serve
from shoprepair.jobs import stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.office.demo import clock, holding, ticking
from shoprepair.office.demo.finds import pin
from shoprepair.office.demo.open_job import Visit
from shoprepair.office.demo.people import Crew
from shoprepair.pricing import quotes
from shoprepair.work import calendar, hold_needs, payments

BEFORE = {Stage.HOLD_TEST: timedelta(hours=4), Stage.READY: timedelta(minutes=30)}
"""How long ago jobs came to the stage that they are in."""
USUALLY = timedelta(minutes=30)


class BenchDay:
    """The last open day before now, on which the bench worked down one job after the other."""

    def __init__(self, now: datetime, crew: Crew) -> None:
        self.crew = crew
        self._now = now
        yesterday = timezone.localdate(clock.open_at(now)) - timedelta(days=1)
        self._began = clock.opening(clock.open_day(yesterday))
        self._free_from = self._began + timedelta(minutes=10)

    def arrives(self, visit: Visit) -> datetime:
        """When a job came to the stage that it is in."""
        if visit.stage == Stage.BENCH:
            return self._began
        return clock.earlier(self._now, BEFORE.get(visit.stage, USUALLY))

    def go_on(self, job: Job, visit: Visit, since: datetime) -> None:
        """All that has happened to a job in its stage, in which it is since then."""
        if visit.ticked:
            self._free_from = ticking.work_on(job, visit.ticked, self.crew, self._free_from)
        if visit.inside:
            self._find_inside(job, visit)
        if visit.at_it:
            ticking.be_at_next(job, self.crew, self._now)
        worked = hold_needs.last_step_done(job) or since
        with clock.at(clock.between(max(since, worked), self._now, 1)[0]):
            self._settle(job, visit)
        if visit.gauge:
            holding.begin(job, visit.gauge, self.crew, self._now, decided=visit.failed)

    def _settle(self, job: Job, visit: Visit) -> None:
        if visit.hold:
            stages.set_hold(job, visit.hold, visit.hold_note, who=self.crew.bench)
        if visit.paid:
            deposit = visit.stage == Stage.GO_AHEAD
            payments.take(job, Decimal(visit.paid), "card", who=self.crew.counter, is_deposit=deposit)
        if visit.parts_in is not None:
            today = timezone.localdate(self._now)
            on = clock.open_day(today + timedelta(days=visit.parts_in))
            calendar.expect_parts(job, on, visit.hold_note, today=today, who=self.crew.bench)

    def _find_inside(self, job: Job, visit: Visit) -> None:
        """The customer is asked about what came to light, while agreed work goes on."""
        with clock.at(self._free_from):
            for find in visit.inside:
                pin(job, find, who=self.crew.bench)
            addition = quotes.draft(job, who=self.crew.owner)
            quotes.send(addition, who=self.crew.owner, version=addition.version, base_url=serve.url())
