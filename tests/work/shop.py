"""People and jobs for the tests of plans and promises."""

from datetime import UTC, date, datetime, timedelta

from hypothesis import settings
from hypothesis import strategies as st

from shoprepair.mechanics.description import Band
from shoprepair.work.people import Person
from shoprepair.work.tasks import JobToDo, StepToDo

unhurried = settings(deadline=None, max_examples=40)
MONDAY = datetime(2026, 11, 23, 8, 0, tzinfo=UTC)
TODAY = MONDAY.date()
WEEKDAYS = (300, 300, 300, 300, 240, 0, 0)
ANNA = Person(name="Anna", minutes=WEEKDAYS)
BENO = Person(name="Beno", minutes=(240, 0, 240, 0, 240, 0, 0))
URGENCIES = {Band.GROUNDED: 90, Band.REPAIR_FIRST: 60, Band.NEXT_SERVICE: 40, Band.WATCH: 10}


def job(number, *steps, band=Band.WATCH, due=10, joined=0, minutes=60, **said):
    """A job promised in so many days that joined so many hours ago."""
    return JobToDo(
        number=number,
        band=band,
        urgency=said.pop("urgency", URGENCIES[band]),
        promised_on=TODAY + timedelta(days=due),
        joined_at=MONDAY - timedelta(days=30) + timedelta(hours=joined),
        steps=steps or (StepToDo(name="repair", minutes=minutes),),
        **said,
    )


def in_days(days):
    return TODAY + timedelta(days=days)


@st.composite
def steps(draw, most=4, least_minutes=1):
    """Steps of which each may come after any before it, with drying between."""
    found = []
    for number in range(draw(st.integers(1, most))):
        names = [step.name for step in found]
        found.append(
            StepToDo(
                name=f"step {number}",
                minutes=draw(st.sampled_from((least_minutes, 30)) | st.integers(1, 400)),
                after=tuple(draw(st.sets(st.sampled_from(names)))) if names else (),
                wait_minutes=draw(st.sampled_from((0, 0, 60, 720, 1440))),
                set_up=draw(st.sampled_from(("", "zig-zag machine", "bladder out"))),
            )
        )
    return tuple(found)


@st.composite
def jobs_to_do(draw, number, names=("Anna", "Beno"), joined=None, least_minutes=1):
    there = draw(st.booleans())
    return JobToDo(
        number=number,
        band=draw(st.sampled_from(Band)),
        urgency=draw(st.integers(0, 100)),
        promised_on=in_days(draw(st.integers(-5, 30))),
        joined_at=MONDAY - timedelta(hours=draw(st.integers(1, 500)) if joined is None else joined),
        steps=draw(steps(least_minutes=least_minutes)),
        parts_there=there,
        parts_on=None if there else in_days(draw(st.integers(-2, 12))),
        dry_at=draw(st.none() | st.integers(-10, 100).map(lambda hours: MONDAY + timedelta(hours=hours))),
        taken_by=draw(st.sampled_from(("", "", "", *names))),
    )


@st.composite
def backlogs(draw, most=7, least_minutes=1):
    return [
        draw(jobs_to_do(number + 1, least_minutes=least_minutes))
        for number in range(draw(st.integers(0, most)))
    ]


@st.composite
def crews(draw):
    people = [
        Person(
            name=name,
            minutes=tuple(draw(st.sampled_from((0, 60, 240, 480))) for _ in range(7)),
            away=frozenset(in_days(day) for day in draw(st.sets(st.integers(0, 20), max_size=3))),
            opens=draw(st.sampled_from((360, 540, 780))),
        )
        for name in ("Anna", "Beno", "Carl")[: draw(st.integers(1, 3))]
    ]
    return people if any(person.works for person in people) else [ANNA]


holidays = st.sets(st.integers(0, 20), max_size=3).map(lambda days: frozenset(in_days(day) for day in days))


def on(day: date, hour: int, minute: int = 0) -> datetime:
    return datetime(day.year, day.month, day.day, hour, minute, tzinfo=UTC)
