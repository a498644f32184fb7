"""The job to take next, and why: danger, promise, parts there, dry, a set-up shared."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext

from shoprepair.mechanics.description import Sentence
from shoprepair.work.dispatch import Plan, not_known
from shoprepair.work.saying import day, days, moment, tag
from shoprepair.work.tasks import USUAL, JobToDo, Precedence, counts_as, key


@dataclass(frozen=True, kw_only=True, slots=True)
class Next:
    """What somebody is to take next."""

    job: int
    reason: Sentence
    """Why this one and not the one after it."""
    reasons: tuple[Sentence, ...]
    """Danger, promise, parts, dryness, a sentence each."""
    shares: tuple[tuple[int, str], ...] = ()
    """Other jobs that can be worked now with the same set-up, and which."""
    passed_over: tuple[tuple[int, Sentence], ...] = ()
    """Jobs that come before it, and what they wait for."""


def next_job(
    person: str,
    jobs: Iterable[JobToDo],
    made: Plan,
    *,
    now: datetime,
    on_the_table: frozenset[str] = frozenset(),
    precedence: Precedence = USUAL,
    others_before: bool = False,
    on_the_bench: frozenset[int] = frozenset(),
) -> Next | None:
    """What `person` is to take next by the plan; None where nothing can be worked now.

    `on_the_table` names the set-ups that stand ready: among jobs that count for the same day, one that
    shares a set-up goes first. `others_before`: jobs that are not among these are named before it.
    `on_the_bench`: jobs that lie there already. They are named apart: one that stands further down is not
    compared with them.
    """
    by_number = {job.number: job for job in jobs}
    order = [by_number[planned.job] for planned in made.planned if planned.job in by_number]
    ready = [job for job in order if not_ready(job, person, now) is None]
    if not ready:
        return None
    chosen = _sharing(ready, on_the_table, precedence)
    apart = on_the_bench if others_before and chosen.number not in on_the_bench else frozenset()
    rivals = [job for job in ready if job.number not in apart]
    alone = len(rivals) == 1 and not chosen.taken_by
    return Next(
        job=chosen.number,
        reason=_alone(others_before) if alone else _why(chosen, rivals, on_the_table, precedence),
        reasons=tuple(_all_about(chosen)),
        shares=tuple(_shared(chosen, ready)),
        passed_over=tuple(_passed_over(order[: order.index(chosen)], person, now)),
    )


def not_ready(job: JobToDo, person: str, now: datetime) -> Sentence | None:
    """Why `person` cannot work on it now; None where they can."""
    if job.taken_by not in ("", person):
        return Sentence(gettext("%(taken_by)s has begun it.") % {"taken_by": _plain(job.taken_by)})
    if (unknown := not_known(job)) is not None:
        return unknown
    if not job.parts_there and job.parts_on is not None and job.parts_on > now.date():
        return Sentence(gettext("Its parts are expected on %(parts_on)s.") % {"parts_on": day(job.parts_on)})
    if job.dry_at is not None and job.dry_at > now:
        return Sentence(
            gettext("It is not dry before %(moment)s.")
            % {"moment": moment(job.dry_at.astimezone(now.tzinfo))}
        )
    return None


def _sharing(ready: Sequence[JobToDo], on_the_table: frozenset[str], precedence: Precedence) -> JobToDo:
    first = ready[0]
    if first.taken_by:
        return first
    as_soon = (job for job in ready if counts_as(job, precedence) <= counts_as(first, precedence))
    return next((job for job in as_soon if job.set_ups & on_the_table), first)


def _alone(others_before: bool) -> Sentence:
    if others_before:
        return Sentence(gettext("All others that can be worked now go before it."))
    return Sentence(gettext("It is the only job that can be worked now."))


def _why(
    chosen: JobToDo, ready: Sequence[JobToDo], on_the_table: frozenset[str], precedence: Precedence
) -> Sentence:
    if chosen.taken_by:
        return Sentence(gettext("It was begun: finish it before another is taken."))
    others = [job for job in ready if job is not chosen]
    if chosen is not ready[0]:
        shared = _plain(min(chosen.set_ups & on_the_table))
        return Sentence(
            gettext("It counts for the same day as %(number)s, and %(shared)s stands ready.")
            % {"number": tag(ready[0].number), "shared": shared}
        )
    return Sentence(_before(chosen, others[0], precedence))


def _before(chosen: JobToDo, other: JobToDo, precedence: Precedence) -> str:
    """Why one goes before the other; said so that it is true wherever in the row the two stand."""
    own, others = counts_as(chosen, precedence), counts_as(other, precedence)
    number, promised, after = tag(other.number), day(chosen.promised_on), day(other.promised_on)
    if key(chosen, precedence) > key(other, precedence):
        return gettext("Taken before %(number)s, less is late in all; what is dangerous counts more.") % {
            "number": number
        }
    if own < others and chosen.promised_on < other.promised_on:
        return gettext("Promised for %(promised)s, before %(number)s for %(after)s.") % {
            "promised": promised,
            "number": number,
            "after": after,
        }
    if own < others:
        ahead = days(precedence.head_start_days[chosen.band])
        return gettext(
            "Danger puts it before %(number)s: %(band)s counts %(ahead)s ahead of the promise."
        ) % {
            "number": number,
            "band": gettext(chosen.band),
            "ahead": ahead,
        }
    if chosen.urgency != other.urgency:
        return gettext("It counts for the same day as %(number)s and is the more dangerous.") % {
            "number": number
        }
    return gettext("It counts for the same day as %(number)s and was agreed first.") % {"number": number}


def _all_about(job: JobToDo) -> list[Sentence]:
    came = (
        gettext("All parts are there.")
        if job.parts_there
        else gettext("Its parts should have come: look for them.")
    )
    return [
        Sentence(
            gettext("%(band)s, urgency %(urgency)s.") % {"band": gettext(job.band), "urgency": job.urgency}
        ),
        Sentence(gettext("Promised for %(promised_on)s.") % {"promised_on": day(job.promised_on)}),
        Sentence(came),
        Sentence(gettext("It is dry.")),
    ]


def _shared(chosen: JobToDo, ready: Sequence[JobToDo]) -> list[tuple[int, str]]:
    return [
        (job.number, set_up)
        for job in ready
        if job is not chosen
        for set_up in sorted(chosen.set_ups & job.set_ups)
    ]


def _passed_over(before: Sequence[JobToDo], person: str, now: datetime) -> Iterable[tuple[int, Sentence]]:
    for job in before:
        why = not_ready(job, person, now)
        if why is not None:
            yield job.number, why


def _plain(words: str) -> str:
    """A person's own words, safe in a Sentence's text."""
    return words.replace("{", "{{").replace("}", "}}")
