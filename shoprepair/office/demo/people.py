"""Northquay Loft and the three who work there."""

from dataclasses import dataclass
from datetime import datetime, time, timedelta
from decimal import Decimal

from django.utils import timezone

from shoprepair.office.demo import clock
from shoprepair.pricing import rules
from shoprepair.shop import changes, people
from shoprepair.shop.models import Staff
from shoprepair.shop.settings import current
from shoprepair.work import calendar

SHOP_NAME = "Northquay Loft"
TIME_ZONE = "Europe/London"
TERMS = (
    "We dry and rinse what comes in wet or sandy before we work on it.\n"
    "We quote before we sew. What we find under an old patch is quoted again before we go on.\n"
    "What is Grounded is not inflated, here or at home, until it is repaired.\n"
    "We keep gear for 60 days after it is ready.\n"
    "We stand behind a repair for the life of the inflatable where its papers name no shorter time; "
    "the cloth beside it ages as all cloth does."
)
WEEKDAYS, SATURDAY = range(5), 5


BENCH_WEEK = (360, 360, 360, 360, 300, 120, 0)
"""Bench minutes, Monday first: the rest of the day is mail, photos and telephone."""
HOUR_COST_PERCENT = Decimal(64)
"""Of the hourly rate: wages, room and machines."""
OWNER_WEEK = (180, 0, 180, 0, 180, 0, 0)
NEVER = (0,) * 7


@dataclass(frozen=True, slots=True)
class LogIn:
    username: str
    name: str
    password: str
    role: str


OWNER = LogIn("owner", "Runa Halvik", "one-long-evening-31", Staff.Role.OWNER)
COUNTER = LogIn("counter", "Ottilie Varn", "four-dry-knots-17", Staff.Role.COUNTER)
BENCH = LogIn("bench", "Benno Skarre", "two-sharp-needles-23", Staff.Role.BENCH)
LOG_INS = (COUNTER, BENCH, OWNER)


@dataclass(frozen=True, slots=True)
class Crew:
    counter: Staff
    bench: Staff
    owner: Staff


def open_shop() -> Crew:
    """Found the shop, give it its settings and let the crew in."""
    owner = people.first_owner(
        shop_name=SHOP_NAME, name=OWNER.name, username=OWNER.username, password=OWNER.password
    )
    counter, bench = (
        people.add(name=one.name, username=one.username, role=one.role, password=one.password, who=owner)
        for one in (COUNTER, BENCH)
    )
    calendar.set_hours(((bench, BENCH_WEEK), (owner, OWNER_WEEK), (counter, NEVER)), who=owner)
    by_default = rules.current()
    rules.change(by_default, who=owner, version=by_default.version, hour_cost_percent=HOUR_COST_PERCENT)
    changes.change_shop(who=owner, seen=changes.newest(current()), **_settings())
    return Crew(counter, bench, owner)


def close_one_day(now: datetime, crew: Crew) -> None:
    """The owner wrote down some weeks ago that nobody works on a weekday that is soon."""
    today = timezone.localdate(now)
    closed = next(
        day for day in (today + timedelta(days=n) for n in range(8, 11)) if day.weekday() < SATURDAY
    )
    with clock.at(clock.open_at(now - timedelta(days=19))):
        calendar.add_holiday(closed, None, who=crew.owner, note="The machines are serviced")


def log_in(now: datetime, crew: Crew) -> None:
    """The counter and the bench logged in when the shop opened last, the owner the evening before."""
    opened = clock.opening(timezone.localdate(clock.open_at(now)))
    evening = clock.earlier(opened, timedelta(minutes=25))
    for person, at in ((crew.counter, opened), (crew.bench, opened), (crew.owner, evening)):
        person.last_login = at
        person.save(update_fields=["last_login"])


def _settings() -> dict[str, object]:
    hours = {str(day): [_hour(9), _hour(17, 30)] for day in WEEKDAYS}
    return {
        "address": "Slipway 3\nNorthquay",
        "phone": "+44 1632 960 318",
        "email": "loft@northquay.example",
        "time_zone": TIME_ZONE,
        "currency": "USD",
        "terms": TERMS,
        "bank_details": "Northquay Loft\nAccount 0000 1234 5678\nSort code 00-00-00",
        "working_hours": hours | {str(SATURDAY): [_hour(9), _hour(13)]},
        "usual_days": 10,
    }


def _hour(hour: int, minute: int = 0) -> str:
    return time(hour, minute).isoformat("minutes")
