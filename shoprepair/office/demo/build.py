"""Builds the demo shop: the same shop each time, seen from the moment it is built."""

from datetime import datetime, timedelta
from random import Random

from django.db import transaction
from django.utils import timezone

from shoprepair.gear.models import Inflatable
from shoprepair.jobs import photos
from shoprepair.jobs.models import Job, Stage
from shoprepair.office.demo import (
    album,
    claiming,
    clock,
    enquiring,
    gear,
    haste,
    history,
    mark,
    people,
    post,
    quoting,
    shelf,
    ticking,
    visits,
)
from shoprepair.office.demo.bench_day import BenchDay
from shoprepair.office.demo.earlier import COME_BACK
from shoprepair.office.demo.open_job import Visit
from shoprepair.office.demo.today import TODAY
from shoprepair.pricing import catalogue, quotes
from shoprepair.shop.models import Staff
from shoprepair.work import forecast

SEED = 7
SHOWN = (Stage.QUOTE_OUT, Stage.GO_AHEAD, Stage.BENCH, Stage.HOLD_TEST, Stage.READY)
"""Stages in which the customer has a link and sees the first photo under it."""


def is_empty() -> bool:
    """Whether nobody works here yet and nothing was ever checked in."""
    return not Staff.objects.exists() and not Job.objects.exists()


def is_the_demo() -> bool:
    """Whether the shop of this data folder was made by `build`."""
    return mark.is_set()


def build(now: datetime) -> None:
    """Found the shop, live through its five years, hang today's jobs on the rack: all of it or nothing."""
    rng = Random(SEED)  # noqa: S311 - the demo is the same each time; nothing is kept secret by it
    began = clock.open_at(now - gear.HISTORY - timedelta(days=1))
    with timezone.override(people.TIME_ZONE), transaction.atomic():
        with haste.made():
            crew = _years(now, began, rng)
        # Whoever is known already takes over what was written of the stranger: that must be written by then.
        enquiring.happen(now, crew, rng)
        haste.put_in_order()
        people.log_in(now, crew)
        post.deliver()
        forecast.refresh(now)
    mark.put()


def _years(now: datetime, began: datetime, rng: Random) -> people.Crew:
    """From the shop's first day to what hangs on its rack today."""
    with clock.at(began):
        crew = people.open_shop()
    inflatables = gear.add_all(now, rng, crew.counter)
    catalogue.load()
    history.live_through(now, inflatables, crew, rng)
    shelf.fill(now, crew)
    people.close_one_day(now, crew)
    day = BenchDay(now, crew)
    for visit in sorted((*TODAY, COME_BACK), key=lambda one: -one.days_in):
        hang(visit, now, day, rng)
    ticking.keep_time()
    claiming.hold_todays(now, crew)
    return crew


def hang(visit: Visit, now: datetime, day: BenchDay, rng: Random) -> Job:
    """Take in one of today's jobs, walk it to its stage, and go on with it there."""
    crew = day.crew
    day_in = timezone.localdate(now) - timedelta(days=visit.days_in)
    received = min(clock.during(day_in, rng), clock.earlier(now, timedelta(minutes=40)))
    today = timezone.localdate(now)
    with clock.at(received):
        job, found = visits.take_in(_inflatable(visit), visit.finds, crew)
        visits.promise(job, today + timedelta(days=visit.promised_in), crew)
        album.photograph(job, visit.finds, found, crew, rng)
        if visit.stage == Stage.ENQUIRY:
            return job
        visits.check_in(job, crew, came_with=visit.came_with, wet=visit.wet, note=visit.note)
    with clock.at(clock.later(received, timedelta(minutes=20))):
        if visit.measured_again:
            visits.measure_again(found[0], visit.measured_again, crew)
        if visit.stage in SHOWN:
            for photo in job.photos.all()[:1]:
                photos.share(photo, True, who=crew.counter)
        since = visits.walk(job, visit.stage, day.arrives(visit), crew, visit.offer, visit.leaked_first)
    with clock.at(clock.between(since, now, 1)[0]):
        if visit.begun:
            quotes.draft(job, who=crew.owner)
        quoting.talk(job, now, crew, visit.offer)
    day.go_on(job, visit, since)
    return job


def _inflatable(visit: Visit) -> Inflatable:
    return Inflatable.objects.get(
        pattern__name=visit.pattern, ownerships__customer__name=visit.owner, ownerships__until=None
    )
