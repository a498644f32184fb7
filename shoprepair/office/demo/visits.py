"""One visit of an inflatable, walked through the shop as the three would walk it."""

from collections.abc import Sequence
from datetime import date, datetime

from django.utils import timezone

from shoprepair.gear.models import Inflatable
from shoprepair.jobs import checkin, corrections, damages, stages
from shoprepair.jobs.models import Damage, Job, Stage
from shoprepair.office.demo import clock, holding, leaving, quoting, ticking
from shoprepair.office.demo.finds import Find, pin
from shoprepair.office.demo.people import Crew
from shoprepair.office.demo.quoting import PLAIN, Offer
from shoprepair.shop.units import Units, read_length

WAY = (
    Stage.CHECKED_IN,
    Stage.ASSESSED,
    Stage.QUOTE_OUT,
    Stage.GO_AHEAD,
    Stage.BENCH,
    Stage.HOLD_TEST,
    Stage.READY,
    Stage.HANDED_BACK,
)


def take_in(inflatable: Inflatable, finds: Sequence[Find], crew: Crew) -> tuple[Job, list[Damage]]:
    """The enquiry: a job with its damages pinned and answered."""
    owner = inflatable.ownerships.get(until=None).customer
    job = checkin.start(owner, inflatable, who=crew.counter)
    return job, [pin(job, find, who=crew.counter) for find in finds]


def promise(job: Job, day: date, crew: Crew) -> None:
    """Agree another date than the shop's usual one."""
    day = max(clock.open_day(day), timezone.localdate(job.received_at))
    if day != job.promised_on:
        corrections.correct(job, promised_on=day, who=crew.counter)


def check_in(job: Job, crew: Crew, *, came_with: Sequence[str], wet: bool | None, note: str = "") -> None:
    """What came along, the terms, and the bag on the shelf."""
    checkin.note_arrival(job, came_with=list(came_with), arrived_wet=wet, note=note, who=crew.counter)
    checkin.agree_terms(job, who=crew.counter)
    checkin.finish(job, who=crew.counter)


def measure_again(damage: Damage, length: str, crew: Crew) -> None:
    """The bench lays the rule on and corrects what the counter wrote."""
    damages.answer(damage, length=read_length(length, Units()), who=crew.bench)


def walk(
    job: Job, to: Stage, until: datetime, crew: Crew, offer: Offer = PLAIN, leaks_first: bool = False
) -> datetime:
    """Take a checked-in job from stage to stage up to `to`, at even steps of time from now until then.

    Answers when it came to the last. `leaks_first`: its first hold test sends it back to the bench once.
    """
    way = WAY[WAY.index(Stage(job.stage)) + 1 : WAY.index(to) + 1]
    moment = since = timezone.now()
    for stage, moment in zip(way, clock.between(since, until, len(way)), strict=True):
        if stage == Stage.READY and leaks_first:
            _leak_once(job, since, moment, crew)
        with clock.at(moment):
            _step(job, stage, since, crew, offer)
        since = moment
    return moment


def _step(job: Job, stage: Stage, since: datetime, crew: Crew, offer: Offer) -> None:
    if stage == Stage.QUOTE_OUT:
        quoting.send(job, crew, offer)
    elif stage == Stage.GO_AHEAD:
        quoting.answer(job, crew, accepted=True, offer=offer)
    elif stage == Stage.HANDED_BACK:
        leaving.fetch(job, crew)
    else:
        if stage == Stage.BENCH and job.hold:
            stages.set_hold(job, "", who=crew.bench)
        if stage == Stage.HOLD_TEST:
            ticking.work_through(job, crew, since)
        if stage == Stage.READY:
            holding.prove(job, crew)
        stages.move(job, stage, who=crew.bench)


def _leak_once(job: Job, since: datetime, until: datetime, crew: Crew) -> None:
    """The first hold test fails, the bench does again what leaks, and the job is back at the hold test."""
    failed, back, mended = clock.between(since, until, 3)
    with clock.at(failed):
        holding.begin(job, holding.LEAKING, crew, failed, decided=True)
    job.refresh_from_db()
    with clock.at(back):
        ticking.do_again(job, crew, mended)
    with clock.at(mended):
        stages.move(job, Stage.HOLD_TEST, who=crew.bench)
