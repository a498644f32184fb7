"""Five years of closed jobs: repaired and handed back, now and then declined or withdrawn."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from itertools import cycle
from random import Random

from shoprepair import serve
from shoprepair.gear.describe import planform
from shoprepair.gear.models import Inflatable
from shoprepair.jobs import conversation, stages
from shoprepair.jobs.models import Stage
from shoprepair.mechanics.description import Element, FindingKind
from shoprepair.office.demo import chance, clock, quoting, visits
from shoprepair.office.demo.gear import HISTORY
from shoprepair.office.demo.minutes import Stopwatch
from shoprepair.office.demo.past import Past, without_steps
from shoprepair.office.demo.people import Crew
from shoprepair.office.demo.quoting import Offer
from shoprepair.pricing import quotes

JOBS = 105
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
    stopwatch = Stopwatch(Random(SEED))  # noqa: S311 - what was measured is no secret
    past = Past(crew)
    free_from = {inflatable.pk: inflatable.created_at for inflatable in inflatables}
    kinds = cycle(chance.every_kind())
    wanted = next(kinds)
    for received in _days(now, rng):
        ready = [one for one in inflatables if free_from[one.pk] < received]
        able = [one for one in ready if wanted[0] in chance.elements_of(planform(one.pattern))]
        if not able:
            continue
        inflatable = rng.choice(able)
        closed = received + timedelta(days=rng.randrange(3, 11), hours=rng.randrange(8))
        with without_steps():
            _visit(inflatable, wanted, received, closed, crew, rng, past, stopwatch)
        free_from[inflatable.pk] = closed + timedelta(days=14)
        wanted = next(kinds)
    past.write_down()
    stopwatch.write_down()


def _days(now: datetime, rng: Random) -> list[datetime]:
    """When customers came in: more of them from year to year."""
    span = HISTORY - LAST
    return sorted(clock.during((now - LAST - span * rng.random() ** 1.7).date(), rng) for _ in range(JOBS))


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
            agreed = received + (closed - received) / 2
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
