"""Does the tube hold? Readings of the gauge against what a sound tube shows as it warms and cools.

Every reading is brought back to the temperature and height of the first. What then is missing was lost;
it is set against what the shop allows and against how sure the readings are:

- it does not hold when at any reading more is missing, beyond the uncertainty, than is allowed by then
  (or within the least duration, while that is not over);
- it holds when, at the last reading and after the least duration, what is missing stays within what is
  allowed, the uncertainty counted against it;
- else nobody can tell yet.

Where less air is left at every reading, more is missing at every reading: a bigger leak is never judged
better. Only the times order the readings, so that it never matters in which order they were written down.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from enum import StrEnum
from itertools import pairwise
from math import ceil, hypot, inf

from django.utils.translation import gettext

from shoprepair.mechanics.description import Figure, Sentence
from shoprepair.mechanics.domain import need
from shoprepair.shop.domain import not_negative
from shoprepair.work import doubts, hold_words
from shoprepair.work.leak import Leak, leak
from shoprepair.work.readings import USUAL, Reading, Sureness, as_one, check, in_order, unsure
from shoprepair.work.sealed import TestedTube, brought_back, check_tube, expected, outside

LONGEST_S = 48 * 3600.0
"""Past two days the weather outweighs what a reading could still decide [assumed]."""
ROUND_UP_S = 300.0


class Verdict(StrEnum):
    HOLDS = "holds"
    FAILS = "does not hold"
    OPEN = "cannot tell yet"


@dataclass(frozen=True, kw_only=True, slots=True)
class Allowance:
    """What the shop lets pass [assumed]: a share of the first pressure lost an hour at one temperature."""

    share_per_hour: float = 0.02
    least_s: float = 1800.0
    """No tube passes before this time."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Missing:
    """What one reading says was lost since the first, at its temperature."""

    reading: Reading
    seconds: float
    lost_pa: float
    """Below zero where the readings differ the other way."""
    unsure_pa: float
    allowed_pa: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Expected:
    """Where the gauge of a sound tube stands at one time, for the drawing; Pa."""

    at: datetime
    low_pa: float
    middle_pa: float
    high_pa: float
    allowed_pa: float
    """Where it stands when just as much was lost as is allowed."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Judged:
    """The answer of a hold test, in figures and in words."""

    verdict: Verdict
    reason: Sentence
    readings: tuple[Reading, ...]
    """By their true time; those of one instant as their mean."""
    because: Sentence | None = None
    """The reason where the verdict stands over it already; None where the reason does not name it."""
    missing: tuple[Missing, ...] = ()
    """One for each reading after the first."""
    band: tuple[Expected, ...] = ()
    """One for each reading, and for the next one where it would decide."""
    leak: Leak | None = None
    leak_at_most: Leak | None = None
    """The same with the uncertainty counted against the tube."""
    decides_at: datetime | None = None
    """When a further reading would decide; None where none is needed or none would."""
    next_reading: Sentence | None = None
    notes: tuple[Sentence, ...] = ()
    figures: tuple[Figure, ...] = ()


def judge(
    readings: Iterable[Reading],
    *,
    tube: TestedTube,
    allowance: Allowance,
    now: datetime | None = None,
    sureness: Sureness = USUAL,
) -> Judged:
    """Judge the readings of one hold test, in whatever order they come.

    With `now`, readings of the future are refused. Raises ValueError with one sentence for a reading,
    tube or allowance that cannot be.
    """
    given = list(readings)
    _check(given, tube, allowance, now)
    groups = in_order(given)
    if not groups:
        return Judged(verdict=Verdict.OPEN, reason=hold_words.NONE_YET, readings=())
    means = [as_one(group) for group in groups]
    doubt = doubts.doubt(groups, means, tube, sureness)
    if means[0].pressure_pa <= 0:
        return Judged(verdict=Verdict.OPEN, reason=doubt or hold_words.NONE_YET, readings=tuple(means))
    judged = _judged(means, tube, allowance, sureness, len(given))
    if doubt is None:
        return judged
    return replace(
        judged,
        verdict=Verdict.OPEN,
        reason=doubt,
        because=None,
        leak=None,
        leak_at_most=None,
        decides_at=None,
        next_reading=None,
    )


def _check(readings: list[Reading], tube: TestedTube, allowance: Allowance, now: datetime | None) -> None:
    check_tube(tube)
    need(0 < allowance.share_per_hour < inf, gettext("The loss allowed an hour must be more than zero."))
    not_negative(allowance.least_s, gettext("least duration of a hold test"))
    for reading in readings:
        check(reading, now)


def _judged(
    means: list[Reading], tube: TestedTube, allowance: Allowance, sureness: Sureness, count: int
) -> Judged:
    first, last = means[0], means[-1]
    missing = [_missing(first, reading, tube, allowance, sureness) for reading in means[1:]]
    verdict = _verdict(missing, allowance)
    seconds = _deciding_seconds(first, last, missing, tube, allowance, sureness)
    decides_at = None if verdict is not Verdict.OPEN or seconds == inf else _later(first, seconds)
    leaks = _leaks(first, missing, tube)
    return Judged(
        verdict=verdict,
        reason=hold_words.reason(verdict.value, missing, count),
        because=hold_words.because(verdict.value, missing),
        readings=tuple(means),
        missing=tuple(missing),
        band=tuple(_band(means, decides_at, tube, allowance, sureness)),
        leak=leaks[0],
        leak_at_most=leaks[1],
        decides_at=decides_at,
        next_reading=None if verdict is not Verdict.OPEN else hold_words.next_reading(last, decides_at),
        notes=(*doubts.notes(means, tube), *_creep(missing)),
        figures=hold_words.figures(first, missing, tube, leaks[0], allowance.share_per_hour, sureness),
    )


def _missing(
    first: Reading, reading: Reading, tube: TestedTube, allowance: Allowance, sureness: Sureness
) -> Missing:
    seconds = (reading.instant - first.instant).total_seconds()
    return Missing(
        reading=reading,
        seconds=seconds,
        lost_pa=first.pressure_pa - brought_back(first, reading, tube),
        unsure_pa=_both_unsure(first, reading, tube, sureness),
        allowed_pa=_allowed(first, seconds, allowance),
    )


def _both_unsure(first: Reading, reading: Reading, tube: TestedTube, sureness: Sureness) -> float:
    return hypot(*(unsure(r, outside(r, tube), sureness) for r in (first, reading)))


def _allowed(first: Reading, seconds: float, allowance: Allowance) -> float:
    return allowance.share_per_hour * first.pressure_pa * seconds / 3600


def _verdict(missing: list[Missing], allowance: Allowance) -> Verdict:
    for one in missing:
        by_then = one.allowed_pa * max(1.0, allowance.least_s / one.seconds)
        if one.lost_pa - one.unsure_pa > by_then:
            return Verdict.FAILS
    if not missing or missing[-1].seconds < allowance.least_s:
        return Verdict.OPEN
    last = missing[-1]
    return Verdict.HOLDS if last.lost_pa + last.unsure_pa <= last.allowed_pa else Verdict.OPEN


def _deciding_seconds(
    first: Reading,
    last: Reading,
    missing: list[Missing],
    tube: TestedTube,
    allowance: Allowance,
    sureness: Sureness,
) -> float:
    """Seconds from the first reading until what is allowed outgrows what the readings cannot tell apart.

    Once that is past, until the loss seen so far, going on, has parted from what is allowed; infinite
    where that takes longer than the weather leaves the outside pressure alone.
    """
    doubtful = _both_unsure(first, last, tube, sureness)
    per_second = _allowed(first, 1.0, allowance)
    seconds = max(allowance.least_s, doubtful / per_second)
    if missing and seconds <= missing[-1].seconds:
        apart = abs(missing[-1].lost_pa / missing[-1].seconds - per_second)
        seconds = doubtful / apart if apart else inf
    return _rounded_up(seconds) if seconds <= LONGEST_S else inf


def _rounded_up(seconds: float) -> float:
    return ceil(seconds / ROUND_UP_S) * ROUND_UP_S


def _later(first: Reading, seconds: float) -> datetime:
    return (first.instant + timedelta(seconds=seconds)).astimezone(first.at.tzinfo)


def _leaks(first: Reading, missing: list[Missing], tube: TestedTube) -> tuple[Leak | None, Leak | None]:
    if not missing:
        return None, None
    last = missing[-1]
    lost = (last.lost_pa, last.lost_pa + last.unsure_pa)
    return leak(first, lost[0], last.seconds, tube), leak(first, lost[1], last.seconds, tube)


def _band(
    means: list[Reading],
    decides_at: datetime | None,
    tube: TestedTube,
    allowance: Allowance,
    sureness: Sureness,
) -> list[Expected]:
    """The band at every reading and, in the warmth of the last, when the next one would decide."""
    shown = means if decides_at is None else [*means, replace(means[-1], at=decides_at)]
    return [_expected(means[0], reading, tube, allowance, sureness) for reading in shown]


def _expected(
    first: Reading, reading: Reading, tube: TestedTube, allowance: Allowance, sureness: Sureness
) -> Expected:
    kelvin, around = reading.temperature_k, outside(reading, tube)
    middle = expected(first, kelvin, around, tube)
    give_or_take = _both_unsure(first, replace(reading, pressure_pa=max(middle, 0.0)), tube, sureness)
    allowed = _allowed(first, (reading.instant - first.instant).total_seconds(), allowance)
    return Expected(
        at=reading.at,
        low_pa=middle - give_or_take,
        middle_pa=middle,
        high_pa=middle + give_or_take,
        allowed_pa=middle - allowed * kelvin / first.temperature_k,
    )


def _creep(missing: list[Missing]) -> list[Sentence]:
    """Said when most was lost at once and little since: fresh cloth gives, pumped air cools."""
    if len(missing) < 2:
        return []
    early, last = missing[0], missing[-1]
    since = (last.lost_pa - early.lost_pa) / (last.seconds - early.seconds)
    at_once = early.lost_pa / early.seconds
    steady = all(after.lost_pa - before.lost_pa <= after.unsure_pa for before, after in pairwise(missing))
    return [hold_words.SETTLED] if early.lost_pa > early.unsure_pa and at_once > 3 * since and steady else []
