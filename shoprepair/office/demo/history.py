"""Five years of closed jobs: repaired and handed back, now and then declined or withdrawn."""

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from functools import partial
from itertools import cycle
from operator import itemgetter
from random import Random

from django.db.models import QuerySet
from django.utils import timezone

from shoprepair import serve
from shoprepair.gear.describe import planform
from shoprepair.gear.models import Inflatable
from shoprepair.jobs import conversation, stages
from shoprepair.jobs.models import Ownership, Stage
from shoprepair.mechanics.description import Element, FindingKind
from shoprepair.office.demo import album, chance, claiming, clock, passing, quoting, visits
from shoprepair.office.demo.earlier import EARLIER, Earlier
from shoprepair.office.demo.gear import HISTORY
from shoprepair.office.demo.minutes import Stopwatch
from shoprepair.office.demo.past import Past, without_steps
from shoprepair.office.demo.people import Crew
from shoprepair.office.demo.quoting import Offer
from shoprepair.pricing import quotes

JOBS = 80
HOUR, DAY = timedelta(hours=1), timedelta(hours=8, minutes=30)
"""Of hours in which the shop is open."""
LAST = timedelta(days=12)
"""No closed visit begins later than this before now, so that each has had the time to end."""
DECLINED = ("Too dear for its age.", "Wants to sew it himself; warned.", "Buys another one.")
GOODBYE = "Thank you for saying so. It is packed and waits for you at the counter."
WITHDRAWN = ("Fetched it back for a journey.", "It was somebody else’s bag.")
USUAL = (
    Offer(),
    Offer(declines_extras=True),
    Offer(full_check=True),
    Offer(by_phone=True),
    Offer(full_check=True, declines_extras=True),
)
"""How the quotes of the years went: most taken whole, some without what may be left out, some by phone."""
SEED = 11
CAME_WITH = ((), ("bag",), ("bag",), ("bag", "pump"), ("bag", "leash"), ("bag", "pump", "leash"))


def live_through(now: datetime, inflatables: list[Inflatable], crew: Crew, rng: Random) -> None:
    """Have every visit of the years before now, oldest first; every kind of damage on every element once."""
    years = _Years(inflatables, crew, rng)
    agenda: list[tuple[datetime, Callable[[], None]]] = [
        (received, partial(years.somebody_comes, received)) for received in _days(now, rng)
    ]
    agenda += [(received, partial(years.comes, each, received)) for each, received in _earlier(now)]
    agenda += passing.events(now, crew)
    for moment, happen in sorted(agenda, key=itemgetter(0)):
        years.past.catch_up(moment)
        happen()
    years.past.write_down()
    years.stopwatch.write_down()


class _Years:
    """The visits of the years, and what goes on from one to the next."""

    def __init__(self, inflatables: list[Inflatable], crew: Crew, rng: Random) -> None:
        told = {(each.pattern, each.colour, each.owner) for each in EARLIER}
        owners = {each.inflatable_id: each.customer.name for each in _ownerships()}
        self._inflatables = [
            one for one in inflatables if (one.pattern.name, one.colour, owners[one.pk]) not in told
        ]
        self._free_from = {one.pk: one.created_at for one in inflatables}
        self._crew, self._rng = crew, rng
        self._kinds = cycle(chance.every_kind())
        self._wanted = next(self._kinds)
        self.stopwatch = Stopwatch(Random(SEED))  # noqa: S311 - what was measured is no secret
        self.past = Past(crew)

    def somebody_comes(self, received: datetime) -> None:
        """Somebody whose gear can have the kind of damage that is due brings it in."""
        ready = [one for one in self._inflatables if self._free_from[one.pk] < received]
        able = [one for one in ready if self._wanted[0] in chance.elements_of(planform(one.pattern))]
        if not able:
            return
        inflatable = self._rng.choice(chance.prone(able, self._wanted))
        day = timezone.localdate(received) + timedelta(days=self._rng.randrange(3, 11))
        closed = max(clock.during(day, self._rng), clock.later(received, 2 * DAY))
        with without_steps():
            _visit(
                inflatable, self._wanted, received, closed, self._crew, self._rng, self.past, self.stopwatch
            )
        self._free_from[inflatable.pk] = closed + timedelta(days=14)
        self._wanted = next(self._kinds)

    def comes(self, earlier: Earlier, received: datetime) -> None:
        """One of the visits that are told one by one, from check-in to hand-back."""
        crew, closed = self._crew, clock.later(received, 5 * DAY)
        inflatable = passing.find(earlier.owner, earlier.pattern, earlier.colour)
        with without_steps(), clock.at(received):
            job, found = visits.take_in(inflatable, earlier.finds, crew)
            album.photograph(job, earlier.finds, found, crew, self._rng)
            visits.check_in(job, crew, came_with=("bag",), wet=False)
            agreed = clock.later(received, 2 * DAY)
            if earlier.ruling:
                held_at, decided_at = clock.later(received, HOUR), clock.later(received, DAY)
                claiming.rule(found[0], earlier.ruling, held_at, decided_at, crew)
                job.refresh_from_db()
            if job.stage == Stage.CHECKED_IN:
                visits.walk(job, Stage.GO_AHEAD, agreed, crew)
            with clock.at(agreed):
                self.past.hand_back(job, closed)
            if quote := quotes.agreed(job):
                self.stopwatch.measure(job, quote, closed)


def _ownerships() -> QuerySet[Ownership]:
    return Ownership.objects.filter(until=None).select_related("customer")


def _earlier(now: datetime) -> Iterator[tuple[Earlier, datetime]]:
    """The visits that are told, with when each came in."""
    rng = Random(SEED)  # noqa: S311 - as above
    for each in EARLIER:
        yield each, clock.during(timezone.localdate(now - timedelta(days=each.days_ago)), rng)


def _days(now: datetime, rng: Random) -> list[datetime]:
    """When customers came in: more of them from year to year."""
    span = HISTORY - LAST
    days = (timezone.localdate(now - LAST - span * rng.random() ** 1.7) for _ in range(JOBS))
    return sorted(clock.during(day, rng) for day in days)


def _visit(
    inflatable: Inflatable,
    wanted: tuple[Element, FindingKind],
    received: datetime,
    closed: datetime,
    crew: Crew,
    rng: Random,
    past: Past,
    stopwatch: Stopwatch,
) -> None:
    of = planform(inflatable.pattern)
    finds = [chance.find(of, rng, kind) for kind in _found(wanted, rng)]
    with clock.at(received):
        job, _ = visits.take_in(inflatable, finds, crew)
        visits.check_in(
            job, crew, came_with=rng.choice(CAME_WITH), wet=rng.choice((None, False, False, True))
        )
        end = rng.random()
        if end < 0.9:
            offer = USUAL[job.number % len(USUAL)]
            agreed = clock.between(received, closed, 1)[0]
            visits.walk(job, Stage.GO_AHEAD, agreed, crew, offer)
            with clock.at(agreed):
                past.hand_back(job, closed)
            if quote := quotes.agreed(job):
                stopwatch.measure(job, quote, closed)
            return
        declined = end < 0.95
        visits.walk(job, Stage.QUOTE_OUT if declined else Stage.ASSESSED, closed, crew)
    with clock.at(closed):
        if declined:
            quoting.answer(job, crew, accepted=False)
            conversation.ask(job, name=job.customer.name, text=rng.choice(DECLINED))
            conversation.reply(job, who=crew.counter, text=GOODBYE, base_url=serve.url())
        else:
            stages.move(job, Stage.WITHDRAWN, reason=rng.choice(WITHDRAWN), who=crew.counter)


def _found(wanted: tuple[Element, FindingKind], rng: Random) -> Iterator[tuple[Element, FindingKind] | None]:
    """The wanted one, and often something beside it."""
    yield wanted
    for _ in range(rng.choice((0, 0, 0, 1, 1, 2))):
        yield None
