"""Gear that comes back: a new damage beside a cover that was given on an earlier visit."""

import datetime
from collections.abc import Iterator
from contextlib import AbstractContextManager
from typing import Any

import time_machine
from django.db import transaction
from django.utils import timezone

from shoprepair.cover import claims
from shoprepair.cover.models import Claim, Cover
from shoprepair.cover.reading import read
from shoprepair.gear import describe
from shoprepair.gear.describe import planform
from shoprepair.gear.models import Inflatable
from shoprepair.jobs.models import Customer, Damage, Job, Stage
from shoprepair.shop.models import Staff
from tests.cover.covering import owned_wing, worked
from tests.factories import JobFactory, handed_back
from tests.pricing.mending import on_the_edge, stocked


def later(days: float = 800) -> AbstractContextManager[object]:
    """So many days from now."""
    return time_machine.travel(timezone.now() + datetime.timedelta(days=days), tick=True)


def once_covered(django_db_blocker: Any) -> Iterator[None]:
    """A covered wing that all tests of a module begin with: to build it takes longer than most of them."""
    with django_db_blocker.unblock(), transaction.atomic():
        a_covered_casing()
        yield
        transaction.set_rollback(True)
    describe.forget()


def the_cover() -> Cover:
    """That wing's cover of the casing."""
    return next(cover for cover in Cover.objects.order_by("number") if _of_the_casing(cover))


def _of_the_casing(cover: Cover) -> bool:
    return read(cover).footprints[0].layer == "casing"


def a_covered_casing() -> Cover:
    """The cover of a casing patch on the top of the leading edge, near its centre, on Ilka's wing."""
    stocked()
    wing = owned_wing()
    job = JobFactory(inflatable=wing, customer=wing.ownerships.get().customer)
    on_the_edge(job, 0.1, "cut", mm=40, face="top")
    covers = handed_back(worked(job)).covers.order_by("number")
    return next(cover for cover in covers if _of_the_casing(cover))


def back_again(
    inflatable: Inflatable, customer: Customer | None = None, stage: str = Stage.CHECKED_IN
) -> Job:
    """The same gear on a new visit, its owner's unless another customer brings it."""
    owner = customer or inflatable.ownerships.get(until=None).customer
    Customer.objects.filter(pk=owner.pk).update(email="ilka@sandvoort.example")
    owner.refresh_from_db()
    return JobFactory(
        inflatable=inflatable, customer=owner, stage=stage, terms="As agreed.", terms_agreed_at=timezone.now()
    )


def opened_seam(job: Job, cover: Cover, *, away_m: float = 0.0, mm: float = 30) -> Damage:
    """A seam that opened where a cover's damage was, or so far beside it along the span."""
    station = 0.1 + away_m / planform(job.inflatable.pattern).half_span_m
    return on_the_edge(job, station, "seam opened", mm=mm, face=read(cover).damages[0].place.face.value)


def a_claim(cover: Cover, who: Staff, job: Job | None = None, **lies: float) -> Claim:
    """A seam that opened inside a footprint, held against its cover."""
    damage = opened_seam(job or back_again(cover.inflatable), cover, **lies)
    return claims.hold_against(damage, cover, over_pressure="no", who=who)
