"""The best plan of a few small jobs by trying all, and how far a dispatch order stays from it.

Every way to give jobs to people and to interleave their steps, each step then at the earliest free minutes:
such lists reach a best plan for lateness (active schedules; Kolisch 1996, Eur. J. Oper. Res. 90 320, from
memory). Lateness is in days past the end of the promised day, weighted by danger.

Run it for a table: `python -m tests.work.exhaustive`.
"""

import random
from dataclasses import dataclass, replace
from itertools import product
from statistics import fmean

from shoprepair.mechanics.description import Band
from shoprepair.work.dispatch import _clock, _release, plan
from shoprepair.work.people import DAY, Hours
from shoprepair.work.tasks import USUAL, Precedence, StepToDo
from tests.work.shop import ANNA, MONDAY, TODAY, job

WEIGHTS = USUAL.weight


@dataclass(frozen=True)
class Bench:
    """Somebody's bench minutes with the stretches of them that are taken, by time."""

    hours: Hours
    taken: tuple[tuple[int, int], ...] = ()

    def free_from(self, earliest, minutes):
        start = earliest
        for begins, ends in self.taken:
            if begins < start + minutes and ends > start:
                start = ends
        return start

    def with_taken(self, start, minutes):
        return replace(self, taken=tuple(sorted((*self.taken, (start, start + minutes)))))


def late_days(todo, ready):
    """Weighted days past the end of the promised day; `ready` in minutes since the first midnight."""
    due = ((todo.promised_on - TODAY).days + 1) * DAY
    return WEIGHTS[todo.band] * max(0, ready - due) / DAY


def planned_lateness(jobs, people, **said):
    made = plan(jobs, people, now=MONDAY, **said)
    return sum(late_days(todo, _clock(made.of(todo.number).ready_at, MONDAY)) for todo in jobs)


def least_lateness(jobs, people):
    hours = [Hours(person, TODAY, frozenset()) for person in people]
    return min(
        _least(jobs, dict(zip((todo.number for todo in jobs), who, strict=True)), hours)
        for who in product(range(len(people)), repeat=len(jobs))
    )


def _least(jobs, who, hours):
    """Depth first over the interleavings, cut where the lateness so far is no better than the best."""
    best = float("inf")

    def go(benches, done, late):
        nonlocal best
        if late >= best:
            return
        left = [todo for todo in jobs if len(done[todo.number]) < len(todo.steps)]
        if not left:
            best = late
            return
        for todo in left:
            bench = benches[who[todo.number]]
            ends = done[todo.number]
            step = todo.steps[len(ends)]
            earliest = max([_release(todo, MONDAY), *(ends[name] for name in step.after)])
            start = bench.free_from(bench.hours.at(earliest), step.minutes)
            trial = bench.with_taken(start, step.minutes)
            end = bench.hours.begins(start + step.minutes - 1) + 1 + step.wait_minutes
            after = {**done, todo.number: {**ends, step.name: end}}
            over = len(ends) + 1 == len(todo.steps)
            more = late_days(todo, max(after[todo.number].values())) if over else 0
            go([trial if one is bench else one for one in benches], after, late + more)

    go([Bench(each) for each in hours], {todo.number: {} for todo in jobs}, 0.0)
    return best


def small_case(chance, latest=5, count=4):
    """Four jobs of one or two steps, promised within so many days: within five some must come late."""
    found = []
    for number in range(1, count + 1):
        first = StepToDo(
            name="glue", minutes=chance.randint(60, 400), wait_minutes=chance.choice((0, 0, 720, 1440))
        )
        second = StepToDo(name="sew", minutes=chance.randint(30, 300), after=("glue",))
        waits = chance.random() < 0.25
        found.append(
            job(
                number,
                *((first, second) if chance.random() < 0.5 else (first,)),
                band=chance.choice(list(Band)),
                due=chance.randint(0, latest),
                joined=number,
                parts_there=not waits,
                parts_on=None if not waits else TODAY.replace(day=TODAY.day + chance.randint(1, 3)),
            )
        )
    return found


def compare(people, precedences, *, latest=5, cases=60, seed=4):
    """Mean weighted days late of the best plans; for each precedence its own, and how often it is best."""
    chance = random.Random(seed)
    late = {name: [] for name in precedences}
    least = []
    for _ in range(cases):
        jobs = small_case(chance, latest)
        least.append(least_lateness(jobs, people))
        for name, precedence in precedences.items():
            late[name].append(planned_lateness(jobs, people, precedence=precedence))
    return fmean(least), {
        name: (fmean(found), fmean(one <= best + 1e-9 for one, best in zip(found, least, strict=True)))
        for name, found in late.items()
    }


def main():
    never = dict.fromkeys(Band, 0)
    weeks_ahead = {**USUAL.head_start_days, Band.GROUNDED: 30, Band.REPAIR_FIRST: 15}
    precedences = {
        "as planned": USUAL,
        "by danger first": Precedence(weeks_ahead, WEIGHTS),
        "by its date alone": Precedence(USUAL.head_start_days, never),
        "by promise alone": Precedence(never, never),
    }
    for people, latest in product(((ANNA,), (ANNA, replace(ANNA, name="Beno"))), (5, 10)):
        best, table = compare(people, precedences, latest=latest)
        print(f"{len(people)} at the bench, promised within {latest} days: the best are {best:.2f} days late")
        for name, (late, share) in table.items():
            print(f"  {name:18}{late:6.2f}  {late / best - 1:+5.0%}  best in {share:.0%} of cases")


if __name__ == "__main__":
    main()
