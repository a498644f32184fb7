"""Covers and damages of the past, written as they would lie there, without the visits that led to them."""

import datetime
from itertools import count

from django.utils import timezone

from shoprepair.cover.models import Claim, Cover, Ending
from shoprepair.gear.models import Inflatable
from shoprepair.jobs.models import Damage, Job, Stage
from shoprepair.shop.models import Staff
from shoprepair.work.models import HandBack
from tests.factories import DamageFactory, InflatableFactory, JobFactory, StaffFactory

_numbers = count(1)


def ago(years: float) -> datetime.datetime:
    return timezone.now() - datetime.timedelta(days=years * 365.25)


def someone() -> Staff:
    return Staff.objects.first() or StaffFactory()


def visit(years: float = 0, *, gear: Inflatable | None = None, stage: str = Stage.HANDED_BACK) -> Job:
    """A visit that began some years ago and is over, unless its stage says otherwise."""
    return JobFactory(
        inflatable=gear or InflatableFactory(),
        stage=stage,
        is_open=stage not in (Stage.HANDED_BACK, Stage.DECLINED, Stage.WITHDRAWN),
        received_at=ago(years),
    )


def covered(years: float, *, failed_after: float | None = None, job: Job | None = None, **facts) -> Cover:
    """A repair given some years ago; `failed_after` as many years it came back as ours."""
    job = job or visit(years)
    back = job.hand_backs.first() or HandBack.objects.create(
        job=job, taker_name="Ilka", known_by="the tag", who=someone(), at=ago(years)
    )
    number = next(_numbers)
    cover = Cover.objects.create(
        number=number,
        inflatable=job.inflatable,
        job=job,
        hand_back=back,
        given_at=ago(years),
        contents="{}",
        digest=f"{number:064d}",
        **({"operation": "patch", "operation_name": "Casing patch"} | facts),
    )
    if failed_after is not None:
        claimed(cover, years - failed_after)
    return cover


def claimed(cover: Cover, years: float, decision: str = Claim.Decision.OURS, **facts) -> Claim:
    """A claim against a cover whose damage was pinned some years ago."""
    job = visit(years, gear=cover.inflatable)
    damage = DamageFactory(job=job)
    Damage.objects.filter(pk=damage.pk).update(created_at=ago(years))
    return Claim.objects.create(
        number=next(_numbers),
        cover=cover,
        damage=damage,
        job=job,
        proposal="owner",
        made_by=someone(),
        made_at=ago(years),
        decision=decision,
        **facts,
    )


def ended(cover: Cover, years: float, reason: str = Ending.Reason.RETIRED) -> Cover:
    """The cover, which ended some years ago."""
    Ending.objects.create(cover=cover, reason=reason, at=ago(years), who_name="Runa")
    return cover
