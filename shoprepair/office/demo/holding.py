"""Hold tests of the demo: tubes pumped up, read, left to stand, read again, and decided."""

import math
from collections.abc import Sequence
from datetime import datetime, timedelta
from random import Random

from django.utils import timezone

from shoprepair.jobs.models import Job
from shoprepair.office.demo import clock
from shoprepair.office.demo.people import Crew
from shoprepair.shop.units import Typed, Units, read_pressure, read_temperature
from shoprepair.work import hold_judging, hold_tests, hold_tubes
from shoprepair.work.models import HoldReading, HoldTest

BAR = 1e5
STANDS_MINUTES = (90, 95, 100, 105, 110, 120, 135, 150)
"""How long tubes stand between the first look at the gauge and the last."""
LOSES_AN_HOUR = (0.0, 0.0025)
"""The share that a sound tube loses: no valve is quite tight."""
ROOM_C, WARMER_C = 18, (15.0, 22.0)
AROUND_BAR = 1.01325
Reading = tuple[int, float, float]
"""Minutes after the tube was pumped up, share of the test pressure, temperature in °C."""
TOO_EARLY: tuple[Reading, ...] = ((0, 1.0, ROOM_C), (20, 0.99, ROOM_C))
COOLED: tuple[Reading, ...] = ((0, 1.0, ROOM_C + 3), (35, 0.985, ROOM_C), (80, 0.984, ROOM_C))
LEAKING: tuple[Reading, ...] = ((0, 1.0, ROOM_C), (40, 0.93, ROOM_C), (80, 0.86, ROOM_C))


def prove(job: Job, crew: Crew) -> None:
    """Every tube that must be shown to hold has been, by now."""
    end = timezone.now()
    for key in hold_tests.needed(job):
        readings = _sound(job, key)
        test = read(job, key, readings, _began(end, readings), crew)
        with clock.at(test.began_at + timedelta(minutes=readings[-1][0])):
            hold_tests.decide(test, who=crew.bench)


def begin(job: Job, readings: Sequence[Reading], crew: Crew, end: datetime, *, decided: bool) -> None:
    """The first tube that needs it is under test since a while, or has just been decided by its readings."""
    key = hold_tests.needed(job)[0]
    test = read(job, key, readings, _began(end, readings), crew)
    if decided:
        with clock.at(test.began_at + timedelta(minutes=readings[-1][0])):
            hold_tests.decide(test, who=crew.bench)


def _began(end: datetime, readings: Sequence[Reading]) -> datetime:
    """When a test began whose last reading lies before `end`, all of it within one day of the shop."""
    return clock.in_one_day(clock.earlier(end, timedelta(minutes=4)), timedelta(minutes=readings[-1][0]))


def _sound(job: Job, key: str) -> tuple[Reading, ...]:
    """What the gauge shows of a tube that holds: it follows the room's warmth, and loses next to nothing."""
    day = Random(f"{job.number}")  # noqa: S311 - the demo is the same each time
    stands, warm = day.choice(STANDS_MINUTES), day.uniform(*WARMER_C)
    cooler = warm + day.uniform(-1.4, 0.9)
    loses = Random(f"{job.number} {key}").uniform(*LOSES_AN_HOUR)  # noqa: S311 - as above
    between = [(stands // 2, (warm + cooler) / 2)] if day.random() < 0.4 else []
    looks = [(0, warm), *between, (stands, cooler)]
    full, kelvin = _full(job), round(warm, 1) + 273.15
    return tuple(
        (
            minutes,
            ((full + AROUND_BAR) * (round(celsius, 1) + 273.15) / kelvin - AROUND_BAR) / full
            - loses * minutes / 60,
            round(celsius, 1),
        )
        for minutes, celsius in looks
    )


def read(job: Job, key: str, readings: Sequence[Reading], began: datetime, crew: Crew) -> HoldTest:
    """Begin the test of a tube and look at its gauge as often as is said."""
    full = _full(job)
    with clock.at(began):
        test = hold_tests.begin(job, key, _bar(full), who=crew.bench)
    for minutes, share, celsius in readings:
        at = began + timedelta(minutes=minutes)
        with clock.at(at):
            hold_tests.read(test, _bar(full * share, 3), _celsius(celsius), at, who=crew.bench)
    return test


def on_record(job: Job, key: str, end: datetime, crew: Crew) -> tuple[HoldTest, list[HoldReading]]:
    """A test of long ago that held, as the functions above would have left it; not written yet."""
    pattern, full, readings = job.inflatable.pattern, _full(job), _sound(job, key)
    began = _began(end, readings)
    end = began + timedelta(minutes=readings[-1][0])
    by = {"began_by": crew.bench, "began_at": began, "decided_by": crew.bench, "decided_at": end}
    test = HoldTest(
        job=job,
        tube_key=key,
        pressure_pa=_bar(full).value_si,
        pressure_typed=_bar(full).text,
        volume_m3=hold_tubes.volume(pattern, key),
        radius_m=hold_tubes.radius(pattern, key),
        allowance=hold_judging.limits(job),
        verdict=HoldTest.Verdict.HOLDS,
        **by,
    )
    kept = [_reading(test, full, each, crew) for each in readings]
    test.judged = hold_judging.stored(hold_judging.judge(test, kept))
    return test, kept


def _reading(test: HoldTest, full: float, reading: Reading, crew: Crew) -> HoldReading:
    minutes, share, celsius = reading
    pressure, temperature = _bar(full * share, 3), _celsius(celsius)
    return HoldReading(
        test=test,
        at=test.began_at + timedelta(minutes=minutes),
        pressure_pa=pressure.value_si,
        pressure_typed=pressure.text,
        temperature_k=temperature.value_si,
        temperature_typed=temperature.text,
        who=crew.bench,
    )


def _full(job: Job) -> float:
    """The test pressure in bar, as far as a gauge shows it and never above what is rated."""
    return math.floor(hold_tubes.proposed_pa(job) / BAR * 100) / 100


def _bar(bar: float, decimals: int = 2) -> Typed:
    return read_pressure(f"{bar:.{decimals}f} bar", Units())


def _celsius(celsius: float) -> Typed:
    return read_temperature(f"{celsius:g} °C", Units())
