"""Who works at the bench and when, when nobody does, and when the parts come that a job waits for."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from django.core.exceptions import ValidationError
from django.db import transaction

from shoprepair.jobs.models import Hold, Job
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext
from shoprepair.work import to_do
from shoprepair.work.models import BenchHours, ExpectedParts, Holiday
from shoprepair.work.people import DAY, NINE
from shoprepair.work.saying import dated

LONGEST_DAY = DAY - NINE
"""Bench minutes from the morning until midnight."""
LONGEST_HOLIDAY_DAYS = 366
FARTHEST_DAYS = 3 * 366
LONGEST_NOTE = 120
LONGEST_PARTS_NOTE = 200
SUBJECT = "hours:shop"
"""What the journal calls the shop's hours and holidays."""


@dataclass(frozen=True, slots=True)
class Week:
    """One person's bench minutes, Monday first."""

    who: Staff
    minutes: tuple[int, ...]
    entered: bool
    """Whether somebody has entered them; else they are what the plan takes."""


def weeks() -> list[Week]:
    """Everybody who may log in, with the bench minutes that the plan takes."""
    entered = {hours.who_id: tuple(hours.minutes) for hours in BenchHours.objects.all()}
    planned = {person.name: person.minutes for person in to_do.people()}
    staff = Staff.objects.filter(is_active=True).order_by("first_name", "username")
    nothing = (0,) * 7
    return [
        Week(who, entered.get(who.pk) or planned.get(to_do.name_of(who), nothing), who.pk in entered)
        for who in staff
    ]


def set_hours(wanted: Sequence[tuple[Staff, Sequence[int]]], *, who: Staff) -> bool:
    """Keep everybody's bench minutes, Monday first; answers whether any were different.

    Raises ValidationError with a sentence, and then keeps none of them.
    """
    for person, minutes in wanted:
        check_minutes(person, minutes)
    before = {week.who.pk: (week.minutes, week.entered) for week in weeks()}
    changed = False
    with transaction.atomic():
        for person, minutes in wanted:
            old, entered = before.get(person.pk, ((0,) * 7, False))
            if entered and tuple(minutes) == old:
                continue
            BenchHours.objects.update_or_create(who=person, defaults={"minutes": list(minutes)})
            changed = changed or tuple(minutes) != old or not entered
            journal.record(
                SUBJECT,
                "hours.changed",
                _set_or_kept(person, is_other=tuple(minutes) != old),
                who=who,
                changes=journal.differences({str(person): list(old)}, {str(person): list(minutes)}),
            )
    return changed


def _set_or_kept(person: Staff, *, is_other: bool) -> str:
    if is_other:
        return gettext("The bench minutes of %(person)s were set.") % {"person": person}
    return gettext("The bench minutes of %(person)s were kept as they were planned.") % {"person": person}


def check_minutes(person: Staff, minutes: Sequence[int]) -> None:
    """Raises ValidationError with a sentence for minutes that fit no week."""
    if len(minutes) != 7:
        raise ValidationError(
            gettext("%(person)s needs bench minutes for seven weekdays, Monday first.") % {"person": person}
        )
    if not all(0 <= each <= LONGEST_DAY for each in minutes):
        raise ValidationError(
            gettext("The bench minutes of a day lie between 0 and %(LONGEST_DAY)s, such as 360.")
            % {"LONGEST_DAY": LONGEST_DAY}
        )


def add_holiday(
    first: datetime.date,
    last: datetime.date | None,
    *,
    who: Staff,
    person: Staff | None = None,
    note: str = "",
) -> Holiday:
    """Days on which one person, or without one the whole shop, does not work; one day without a last one.

    Raises ValidationError with a sentence per field.
    """
    last = last or first
    if last < first:
        raise ValidationError(
            {
                "last_day": gettext("It ends on %(last)s, before it begins on %(first)s.")
                % {"last": dated(last), "first": dated(first)}
            }
        )
    if (last - first).days >= LONGEST_HOLIDAY_DAYS:
        raise ValidationError(
            {"last_day": gettext("A holiday lasts a year at most; write an earlier last day.")}
        )
    if len(note) > LONGEST_NOTE:
        raise ValidationError(
            {"note": gettext("Say it in %(LONGEST_NOTE)s letters or fewer.") % {"LONGEST_NOTE": LONGEST_NOTE}}
        )
    with transaction.atomic():
        made = Holiday.objects.create(who=person, first_day=first, last_day=last, note=note)
        journal.record(SUBJECT, "holiday.added", f"{words(made)}.", who=who)
    return made


def remove_holiday(holiday: Holiday, *, who: Staff) -> None:
    """Take it back: the days are worked after all. Removed already, it stays removed."""
    with transaction.atomic():
        gone, _ = Holiday.objects.filter(pk=holiday.pk).delete()
        if gone:
            journal.record(
                SUBJECT,
                "holiday.removed",
                gettext("Worked after all: %(holiday)s.") % {"holiday": words(holiday)},
                who=who,
            )


def words(holiday: Holiday) -> str:
    """'The shop is closed on Fri 25 Dec', 'Benno Skarre is away from Mon 3 Aug to Fri 14 Aug'."""
    whose = (
        gettext("%(who)s is away") % {"who": holiday.who} if holiday.who else gettext("The shop is closed")
    )
    if holiday.first_day == holiday.last_day:
        return gettext("%(whose)s on %(first_day)s") % {"whose": whose, "first_day": dated(holiday.first_day)}
    return gettext("%(whose)s from %(first_day)s to %(last_day)s") % {
        "whose": whose,
        "first_day": dated(holiday.first_day),
        "last_day": dated(holiday.last_day),
    }


def expect_parts(
    job: Job, on: datetime.date | None, note: str = "", *, today: datetime.date, who: Staff
) -> None:
    """Say when the parts of a job are expected; without a day, that nobody knows.

    Raises ValidationError with a sentence per field. A job that did not wait for parts waits for them now.
    """
    if problem := _problem(job, on, note, today):
        raise ValidationError(problem)
    kept = ExpectedParts.objects.filter(job=job).first()
    before = {"day": kept and kept.day, "note": kept.note if kept else ""}
    changes = journal.differences(before, {"day": on, "note": note if on else ""})
    if not changes:
        return
    with transaction.atomic():
        if on:
            ExpectedParts.objects.update_or_create(job=job, defaults={"day": on, "note": note})
        else:
            ExpectedParts.objects.filter(job=job).delete()
        said = (
            gettext("Parts are expected on %(on)s.") % {"on": dated(on)}
            if on
            else gettext("Nobody knows when the parts come.")
        )
        journal.record(job, "parts.expected", said, who=who, changes=changes)


def _problem(job: Job, on: datetime.date | None, note: str, today: datetime.date) -> dict[str, str]:
    """What keeps parts from being expected on that day, as a sentence beside its field; else nothing."""
    if len(note) > LONGEST_PARTS_NOTE:
        longest = {"LONGEST_PARTS_NOTE": LONGEST_PARTS_NOTE}
        return {"note": gettext("Say it in %(LONGEST_PARTS_NOTE)s letters or fewer.") % longest}
    if on and on < today:
        past = gettext("%(on)s is past; write the day on which they are expected now.")
        return {"day": past % {"on": dated(on)}}
    if on and (on - today).days > FARTHEST_DAYS:
        return {"day": gettext("That is more than three years ahead; look at the year.")}
    if job.hold != Hold.PARTS:
        return {"day": gettext("This job does not wait for parts. Put it on that hold first.")}
    return {}
