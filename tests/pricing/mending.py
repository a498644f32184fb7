"""Damages of a library pattern, put where a test wants them, with the shop's own catalogue."""

from shoprepair.gear.describe import planform
from shoprepair.gear.geometry import point
from shoprepair.gear.models import Pattern
from shoprepair.jobs import damages
from shoprepair.jobs.models import Damage, Job
from shoprepair.mechanics.description import Element, Place
from shoprepair.pricing.models import Repair
from shoprepair.shop.models import Staff
from shoprepair.shop.units import Typed
from tests.factories import JobFactory, StaffFactory
from tests.shelves import stocked

__all__ = [
    "KITE",
    "WING",
    "a_job",
    "advised",
    "codes",
    "on_the_canopy",
    "on_the_edge",
    "on_the_strut",
    "one",
    "put",
    "stocked",
]
WING = "Holm 5.0 wing"
KITE = "Lomvi 17 kite"


def a_job(pattern: str = WING) -> Job:
    return JobFactory(inflatable__pattern=Pattern.objects.get(name=pattern))


def on_the_edge(
    job: Job, station: float, kind: str, *, side: str = "right", who: Staff | None = None, **answers
):
    """A damage of the leading edge."""
    place = Place(element=Element.LEADING_EDGE, station=station, side=side)
    return put(job, place, kind, who=who, **answers)


def on_the_strut(job: Job, fraction: float, kind: str, **answers) -> Damage:
    """A damage of the centre strut."""
    place = Place(element=Element.STRUT, station=0, side="centre", strut=0, fraction=fraction)
    return put(job, place, kind, **answers)


def on_the_canopy(job: Job, station: float, kind: str, *, fraction: float = 0.85, **answers) -> Damage:
    place = Place(element=Element.CANOPY, station=station, side="right", fraction=fraction)
    return put(job, place, kind, **answers)


def put(job: Job, place: Place, kind: str, *, who: Staff | None = None, mm: float | None = None, **answers):
    """Pin a damage at a place and answer what is known of it; `mm` is its length."""
    who = who or StaffFactory()
    where = point(planform(job.inflatable.pattern), place)
    damage = damages.pin(job, where.x_m, where.y_m, who=who)
    if mm is not None:
        answers["length"] = Typed(mm / 1000, f"{mm:g} mm")
    return damages.answer(damage, who=who, kind=kind, **answers)


def codes(repairs: list[Repair]) -> list[str]:
    return [repair.operation.code for repair in repairs]


def advised(repairs: list[Repair]) -> list[str]:
    return [repair.operation.code for repair in repairs if repair.preferred]


def one(repairs: list[Repair], code: str) -> Repair:
    return next(repair for repair in repairs if repair.operation.code == code)
