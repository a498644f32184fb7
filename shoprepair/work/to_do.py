"""The agreed jobs as the plan takes them: what is left to do, what it waits for, and who is at the bench."""

import datetime
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import ceil

from django.db.models import Prefetch, QuerySet
from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.mechanics.description import Band
from shoprepair.mechanics.words import gettext_noop
from shoprepair.pricing import step_codes
from shoprepair.pricing.layup import THREADS
from shoprepair.pricing.models import Quote
from shoprepair.pricing.proposals import layup_of
from shoprepair.pricing.step_codes import Does
from shoprepair.shop.models import Staff
from shoprepair.work import steps
from shoprepair.work.models import BenchHours, Holiday, Step, Stint
from shoprepair.work.people import Person
from shoprepair.work.recipe import SETTLED
from shoprepair.work.tasks import JobToDo, StepToDo

IN_WORK = (Stage.GO_AHEAD, Stage.BENCH)
USUAL_MINUTES = (360, 360, 360, 360, 360, 0, 0)
"""Bench minutes on each weekday of whoever's nobody has entered [assumed]."""
HOT_KNIFE, ADHESIVE = gettext_noop("the hot knife"), gettext_noop("the adhesive")
"""What is set up, kept in English: steps with the same share it."""
_WAITS_FOR = {Hold.CUSTOMER: gettext_noop("the customer"), Hold.DRYING: gettext_noop("the gear to dry")}


def in_work() -> QuerySet[Job]:
    """Agreed jobs that are not through the bench yet, with all that `job_to_do` reads."""
    accepted = Quote.objects.filter(state=Quote.State.ACCEPTED).order_by("number")
    timed = Stint.objects.select_related("who").order_by("began_at", "id")
    made = Step.objects.select_related("repair__operation")
    return (
        Job.objects.filter(is_open=True, stage__in=IN_WORK)
        .select_related("expected_parts", "inflatable__pattern", "customer")
        .prefetch_related(
            Prefetch("steps", made, to_attr="to_do_steps"),
            Prefetch("quotes", accepted, to_attr="to_do_quotes"),
            Prefetch("stints", timed, to_attr="to_do_stints"),
        )
    )


def jobs_to_do(jobs: Iterable[Job], now: datetime.datetime) -> list[JobToDo]:
    """Jobs of `in_work` as the plan takes them."""
    return [job_to_do(job, now) for job in jobs]


def job_to_do(job: Job, now: datetime.datetime) -> JobToDo:
    """One job of `in_work`."""
    made: list[Step] = job.to_do_steps  # type: ignore[attr-defined]
    agreed: list[Quote] = job.to_do_quotes  # type: ignore[attr-defined]
    stints: list[Stint] = job.to_do_stints  # type: ignore[attr-defined]
    parts = getattr(job, "expected_parts", None)
    joined = [quote.answered_at for quote in agreed if quote.answered_at]
    return JobToDo(
        number=job.number,
        band=Band(job.band),
        urgency=job.urgency,
        promised_on=job.promised_on,
        joined_at=min(joined, default=job.received_at),
        steps=steps_to_do(made),
        parts_there=job.hold != Hold.PARTS,
        parts_on=parts.day if parts and job.hold == Hold.PARTS else None,
        dry_at=steps.dry_at(made, now),
        waits_for=_WAITS_FOR.get(Hold(job.hold), ""),
        taken_by=name_of(stints[-1].who) if job.stage == Stage.BENCH and stints else "",
    )


def steps_to_do(made: Sequence[Step]) -> tuple[StepToDo, ...]:
    """What is left of a job's steps; those done in one go with one set-up are one, to plan quickly."""
    left = [step for step in made if step.state not in SETTLED]
    names = {step.made_from for step in left}
    followers = Counter(name for step in left for name in step.after)
    pieces: dict[str, StepToDo] = {}
    for step in left:
        piece = StepToDo(
            name=step.made_from,
            minutes=ceil(step.minutes),
            after=tuple(name for name in step.after if name in names),
            wait_minutes=ceil(step.drying_hours * 60),
            set_up=set_up_of(step),
        )
        before = pieces.get(piece.after[0]) if len(piece.after) == 1 else None
        if before is not None and followers[before.name] == 1 and _in_one_go(before, piece):
            del pieces[before.name]
            piece = replace(
                piece,
                minutes=before.minutes + piece.minutes,
                after=before.after,
                set_up=before.set_up or piece.set_up,
            )
        pieces[piece.name] = piece
    return tuple(pieces.values())


def _in_one_go(before: StepToDo, after: StepToDo) -> bool:
    one_set_up = before.set_up == after.set_up or not before.set_up or not after.set_up
    return one_set_up and not before.wait_minutes


def set_up_of(step: Step) -> str:
    """What must be set up for a step, by its English name; steps with the same share it."""
    does = step_codes.read(step.does)
    if step.kind == Step.Kind.CLOSE or Does.SEW in does:
        layup = layup_of(step.repair) if step.repair else None
        thread = getattr(layup, "thread", None)
        return thread.name if thread else ""
    if Does.KNIFE in does:
        return HOT_KNIFE
    return ADHESIVE if Does.GLUE in does else ""


def set_up_words(set_up: str) -> str:
    """What stands ready, in the reader's language: 'the adhesive', a thread in the machine."""
    if set_up in THREADS:
        return gettext("%(thread)s in the machine") % {"thread": gettext(set_up)}
    return gettext(set_up)


def people() -> tuple[Person, ...]:
    """Who is at the bench and when. Somebody whose hours nobody has entered is there on weekdays."""
    hours = {each.who_id: each.minutes for each in BenchHours.objects.all()}
    away: dict[int, set[datetime.date]] = {}
    for holiday in Holiday.objects.exclude(who=None):
        away.setdefault(holiday.who_id or 0, set()).update(_days(holiday))
    staff = Staff.objects.filter(is_active=True).order_by("pk")
    here = [who for who in staff if who.pk in hours or (not hours and who.role == Staff.Role.BENCH)]
    by_name = {name_of(who): who for who in here or staff[:1]}
    return tuple(
        Person(
            name=name,
            minutes=tuple(hours.get(who.pk) or USUAL_MINUTES),
            away=frozenset(away.get(who.pk, ())),
        )
        for name, who in by_name.items()
    )


def closed_days() -> frozenset[datetime.date]:
    """Days on which the whole shop does not work."""
    return frozenset(day for holiday in Holiday.objects.filter(who=None) for day in _days(holiday))


def name_of(who: Staff) -> str:
    """A person's name in a plan."""
    return str(who)


def today(now: datetime.datetime) -> datetime.date:
    """The day in the shop's time zone."""
    return timezone.localtime(now).date()


def _days(holiday: Holiday) -> Iterable[datetime.date]:
    count = (holiday.last_day - holiday.first_day).days + 1
    return (holiday.first_day + datetime.timedelta(days=day) for day in range(count))
