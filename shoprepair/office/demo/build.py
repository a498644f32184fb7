"""Builds the demo shop: the same shop each time, seen from the moment it is built."""

import io
from collections.abc import Iterable
from datetime import datetime, timedelta
from pathlib import Path
from random import Random

from django.conf import settings
from django.db import transaction
from django.utils import timezone

from shoprepair.gear.models import Inflatable
from shoprepair.jobs import photos, stages
from shoprepair.jobs.models import Damage, Job, Stage
from shoprepair.mechanics.description import Element, FindingKind
from shoprepair.office.demo import camera, clock, gear, haste, history, people, post, quoting, shelf, visits
from shoprepair.office.demo.bench_day import BenchDay
from shoprepair.office.demo.people import Crew
from shoprepair.office.demo.today import TODAY, Visit
from shoprepair.pricing import catalogue, quotes
from shoprepair.shop.models import Staff
from shoprepair.work import forecast

SEED = 7
DYES = {
    "white": (222, 218, 206),
    "sea": (38, 104, 116),
    "amber": (206, 164, 62),
    "navy": (60, 72, 120),
    "moss": (88, 116, 62),
    "coral": (188, 66, 48),
    "plum": (120, 62, 104),
    "grey": (150, 152, 148),
}
ON_TUBES = (
    Element.LEADING_EDGE,
    Element.STRUT,
    Element.VALVE,
    Element.HOSE,
    Element.HANDLE,
    Element.BRIDLE_POINT,
)
SHOWN = (Stage.QUOTE_OUT, Stage.GO_AHEAD, Stage.BENCH, Stage.HOLD_TEST, Stage.READY)
"""Stages in which the customer has a link and sees the first photo under it."""
USUAL_LENGTH_M = {FindingKind.BURST: 0.5, FindingKind.STITCHING: 0.08}


def is_empty() -> bool:
    """Whether nobody works here yet and nothing was ever checked in."""
    return not Staff.objects.exists() and not Job.objects.exists()


def is_the_demo() -> bool:
    """Whether the shop of this data folder was made by `build`."""
    return _mark().exists()


def build(now: datetime) -> None:
    """Found the shop, live through its five years, hang today's jobs on the rack: all of it or nothing."""
    rng = Random(SEED)  # noqa: S311 - the demo is the same each time; nothing is kept secret by it
    began = now - gear.HISTORY - timedelta(days=1)
    with transaction.atomic(), haste.made():
        with clock.at(began):
            crew = people.open_shop()
        inflatables = gear.add_all(now, rng, crew.counter)
        catalogue.load()
        history.live_through(now, inflatables, crew, rng)
        shelf.fill(now, crew)
        day = BenchDay(now, crew)
        for visit in sorted(TODAY, key=lambda one: -one.days_in):
            hang(visit, now, day, rng)
        post.deliver()
        forecast.refresh(now)
    _mark().write_text("This folder holds the demo shop; `make demo-fresh` throws it away.\n")


def hang(visit: Visit, now: datetime, day: BenchDay, rng: Random) -> Job:
    """Take in one of today's jobs, walk it to its stage, and go on with it there."""
    crew = day.crew
    received = min(
        clock.during((now - timedelta(days=visit.days_in)).date(), rng), now - timedelta(minutes=40)
    )
    today = timezone.localdate(now)
    with clock.at(received):
        job, found = visits.take_in(_inflatable(visit), visit.finds, crew)
        visits.promise(job, today + timedelta(days=visit.promised_in), crew)
        _photograph(visit, job, found, crew, rng)
        if visit.stage == Stage.ENQUIRY:
            return job
        visits.check_in(job, crew, came_with=visit.came_with, wet=visit.wet, note=visit.note)
    with clock.at(received + timedelta(minutes=20)):
        if visit.measured_again:
            visits.measure_again(found[0], visit.measured_again, crew)
        if visit.stage in SHOWN:
            for photo in job.photos.all()[:1]:
                photos.share(photo, True, who=crew.counter)
        visits.walk(job, visit.stage, day.arrives(visit), crew, visit.offer)
    with clock.at(now - timedelta(minutes=30)):
        if visit.begun:
            quotes.draft(job, who=crew.owner)
        quoting.talk(job, now - timedelta(minutes=5), crew, visit.offer)
    with clock.at(now - timedelta(minutes=5)):
        if visit.hold:
            stages.set_hold(job, visit.hold, visit.hold_note, who=crew.bench)
    day.go_on(job, visit)
    return job


def _inflatable(visit: Visit) -> Inflatable:
    return Inflatable.objects.get(
        pattern__name=visit.pattern, ownerships__customer__name=visit.owner, ownerships__until=None
    )


def _photograph(visit: Visit, job: Job, found: Iterable[Damage], crew: Crew, rng: Random) -> None:
    dye = DYES[(job.inflatable.colour or "grey").split()[0]]
    for find, damage in zip(visit.finds, found, strict=True):
        if find.photo:
            kind = FindingKind(damage.kind)
            length_m = damage.length_m or USUAL_LENGTH_M.get(kind, 0.15)
            on_tube = damage.element in ON_TUBES
            jpeg = camera.photograph(kind, rng, colour=dye, length_m=length_m, tube=on_tube)
            photos.keep(job, io.BytesIO(jpeg), damage=damage, who=crew.counter)


def _mark() -> Path:
    return Path(settings.DATA_DIR) / "demo-shop"
