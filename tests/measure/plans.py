"""What the plans of many open jobs cost, each made from nothing."""

import random
from collections.abc import Callable, Iterator
from dataclasses import replace

from shoprepair.mechanics.description import Band
from shoprepair.work import forecast
from shoprepair.work.dispatch import plan
from shoprepair.work.promise import Shop
from shoprepair.work.ranges import ranges
from shoprepair.work.tasks import JobToDo, StepToDo
from shoprepair.work.waiting import Asked
from tests.measure.fastest import fastest
from tests.measure.said import Said
from tests.work.shop import ANNA, BENO, MONDAY, in_days, job

JOBS, USUAL_JOBS = 500, 60
MOST_MS = 50


def measured() -> Iterator[Said]:
    """With what spares lateness for a usual shop, without it for many; then as a shop keeps its dates.

    In the first two whoever comes is promised any day, which is hardest to plan; in the last, as shops do.
    """
    chance = random.Random(500)
    jobs = [
        job(number, minutes=chance.randint(20, 300), due=chance.randint(-5, 40), joined=number)
        for number in range(1, JOBS + 1)
    ]
    shop = Shop(people=(ANNA,), now=MONDAY)
    few = jobs[:USUAL_JOBS]
    yield _ms(f"promise plan of {USUAL_JOBS} open jobs", lambda: plan(few, shop.people, now=MONDAY))
    yield _ms(
        f"promise plan of {JOBS} open jobs, sparing no lateness",
        lambda: plan(jobs, shop.people, now=MONDAY, spare_lateness=False),
    )
    yield _dates()


def _dates() -> Said:
    """All that `forecast.refresh` reckons between reading and keeping: two dates of each, with the reason."""
    jobs = _open_jobs()
    agreed, asked = jobs[: JOBS * 2 // 3], [Asked(each, "") for each in jobs[JOBS * 2 // 3 :]]
    shop = Shop(people=(ANNA, BENO, replace(ANNA, name="Carl")), now=MONDAY)
    # A shop plans so many of its jobs as are worked first; of those beyond it keeps no date.
    found = _ms(
        f"dates of a shop with {JOBS} open jobs", lambda: ranges(*forecast._first(agreed, asked), shop)
    )
    return replace(found, note=f"of the first {forecast.MOST}, as they stand and delayed")


def _open_jobs() -> list[JobToDo]:
    """Come in over two months and promised within six weeks; most must cure, some lack parts."""
    chance = random.Random(500)
    test = StepToDo(name="hold test", minutes=15, after=("the work",), wait_minutes=30)
    found = []
    for number in range(1, JOBS + 1):
        there = chance.random() > 0.1
        work = StepToDo(
            name="the work",
            minutes=chance.randint(20, 300),
            wait_minutes=chance.choice((0, 12 * 60, 24 * 60)),
        )
        found.append(
            job(
                number,
                work,
                test,
                band=chance.choice(list(Band)),
                due=number * 60 // JOBS - 20 + chance.randint(0, 40),
                joined=number,
                parts_there=there,
                parts_on=None if there else in_days(chance.randint(0, 30)),
            )
        )
    return found


def _ms(what: str, act: Callable[[], object]) -> Said:
    return Said(what, fastest({what: act}, 12)[what] * 1000, MOST_MS, unit="ms")
