"""Hold tests as the shop keeps them: begun, read, judged, and decided."""

import datetime

from django.db import transaction
from django.db.models import F
from django.utils import timezone
from django.utils.safestring import SafeString

from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing.quotes.steps import lock
from shoprepair.shop import journal
from shoprepair.shop.access import is_owner
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext
from shoprepair.shop.units import Typed, Units
from shoprepair.work import hold_plot, hold_tubes
from shoprepair.work.hold_deciding import decide, standing_against
from shoprepair.work.hold_judging import as_reading, judge, limits, sureness, tube
from shoprepair.work.hold_needs import Standing, last_step_done, needed, passed, standing
from shoprepair.work.hold_refusals import HoldRefused
from shoprepair.work.models import HoldReading, HoldTest
from shoprepair.work.readings import check
from shoprepair.work.saying import moment
from shoprepair.work.suspects import Suspect, suspects

__all__ = [
    "HoldRefused",
    "Standing",
    "Suspect",
    "begin",
    "decide",
    "judge",
    "needed",
    "open_test",
    "passed",
    "plot",
    "read",
    "remove_reading",
    "restore_reading",
    "standing",
    "standing_against",
    "stop",
    "suspects",
]
Verdict = HoldTest.Verdict
EARLIEST = datetime.timedelta(days=1)
"""By how much a reading may lie before the test was begun on screen: it was on paper till then [assumed]."""


def open_test(job: Job, tube_key: str) -> HoldTest | None:
    """The tube's test that runs, unless somebody has worked on the job since it was begun."""
    test = job.hold_tests.filter(tube_key=tube_key, verdict=Verdict.OPEN).first()
    since = last_step_done(job)
    return test if test and (since is None or test.began_at >= since) else None


@transaction.atomic
def begin(job: Job, tube_key: str, pressure: Typed, *, who: Staff, owner_ok: bool = False) -> HoldTest:
    """Begin the test of one tube, or of all that share their air, at a pressure.

    Raises HoldRefused where the job is elsewhere, a test already runs, or the pressure is more than rated
    and the owner has not said that it may be; ValueError with a sentence for what no casing carries.
    """
    lock(job)
    job.refresh_from_db(fields=("stage",))
    pattern = job.inflatable.pattern
    over_rated = _over_rated(job, tube_key, pressure, owner_ok=owner_ok and is_owner(who))
    job.hold_tests.filter(tube_key=tube_key, verdict=Verdict.OPEN).update(verdict=Verdict.STOPPED)
    test = HoldTest.objects.create(
        job=job,
        tube_key=tube_key,
        pressure_pa=pressure.value_si,
        pressure_typed=pressure.text,
        volume_m3=hold_tubes.volume(pattern, tube_key),
        radius_m=hold_tubes.radius(pattern, tube_key),
        allowance=limits(job),
        over_rated_by=who if over_rated else None,
        began_by=who,
        began_at=timezone.now(),
    )
    above = gettext(" above what it is rated for, with the owner's leave") if over_rated else ""
    said = gettext("Hold test of the %(job)s begun at %(text)s%(above)s.") % {
        "job": _name(job, tube_key),
        "text": pressure.text,
        "above": above,
    }
    journal.record(job, "hold.begun", said, who=who)
    return test


def _over_rated(job: Job, tube_key: str, pressure: Typed, *, owner_ok: bool) -> bool:
    """Whether the pressure is more than rated. Raises HoldRefused where no test may begin at it."""
    pattern = job.inflatable.pattern
    _at_the_test(job)
    if tube_key not in hold_tubes.tubes(pattern):
        raise HoldRefused(gettext("There is no such tube on this one. Open the page again."))
    if open_test(job, tube_key):
        raise HoldRefused(
            gettext("A test of the %(job)s already runs. Go on with it, or begin anew.")
            % {"job": _name(job, tube_key)}
        )
    asked = hold_tubes.under_pressure(job, tube_key, pressure.value_si)
    if asked.needs_owner and not owner_ok:
        raise HoldRefused(
            gettext(
                "%(text)s is more than the rated %(rated_pressure_typed)s: only the owner "
                "may allow it, and must say so."
            )
            % {"text": pressure.text, "rated_pressure_typed": pattern.rated_pressure_typed}
        )
    return asked.needs_owner


@transaction.atomic
def read(
    test: HoldTest,
    pressure: Typed,
    temperature: Typed,
    at: datetime.datetime,
    height_m: float | None = None,
    *,
    who: Staff,
) -> HoldReading:
    """Keep one look at the gauge, in whatever order they come. Times are absolute, so no clock change counts.

    Raises ValueError with a sentence for a reading that cannot be or lies in the future, HoldRefused where
    the test is over.
    """
    now = timezone.now()
    fresh = _running(test)
    kept = HoldReading(
        test=fresh,
        at=at,
        pressure_pa=pressure.value_si,
        pressure_typed=pressure.text,
        temperature_k=temperature.value_si,
        temperature_typed=temperature.text[:20],
        height_m=height_m,
        who=who,
    )
    check(as_reading(kept), timezone.localtime(now))
    if at < fresh.began_at - EARLIEST:
        raise ValueError(
            gettext(
                "That is more than a day before this test was begun, at %(began_at)s. Write "
                "the time at which the gauge was read."
            )
            % {"began_at": _clock(fresh.began_at)}
        )
    kept.at = min(at, now)
    kept.save()
    said = gettext("Read %(text)s at %(text_2)s, %(at)s") % {
        "text": pressure.text,
        "text_2": temperature.text,
        "at": _clock(kept.at),
    }
    _changed(test, "hold.read", f"{said}: {_name(fresh.job, fresh.tube_key)}.", who)
    return kept


@transaction.atomic
def remove_reading(reading: HoldReading, *, who: Staff) -> None:
    """Take a reading out of the test; it can be put back."""
    fresh = _running(reading.test)
    if fresh.readings.filter(pk=reading.pk, removed_at=None).update(removed_at=timezone.now()):
        said = gettext("Took out the reading %(pressure_typed)s of %(at)s.") % {
            "pressure_typed": reading.pressure_typed,
            "at": _clock(reading.at),
        }
        _changed(reading.test, "hold.reading-removed", said, who)


@transaction.atomic
def restore_reading(reading: HoldReading, *, who: Staff) -> None:
    """Put back a reading that was taken out."""
    fresh = _running(reading.test)
    if fresh.readings.filter(pk=reading.pk).exclude(removed_at=None).update(removed_at=None):
        said = gettext("Put back the reading %(pressure_typed)s of %(at)s.") % {
            "pressure_typed": reading.pressure_typed,
            "at": _clock(reading.at),
        }
        _changed(reading.test, "hold.reading-restored", said, who)


@transaction.atomic
def stop(test: HoldTest, *, who: Staff) -> None:
    """Give a test up without a verdict, to begin anew: it was pumped again, or the gauge was wrong."""
    fresh = _running(test)
    HoldTest.objects.filter(pk=fresh.pk).update(
        verdict=Verdict.STOPPED, decided_by=who, decided_at=timezone.now()
    )
    _changed(
        test,
        "hold.stopped",
        gettext("Hold test of the %(job)s given up.") % {"job": _name(fresh.job, fresh.tube_key)},
        who,
    )


def plot(test: HoldTest, units: Units) -> SafeString:
    """The readings against the band that a sound tube keeps, as <svg>."""
    return hold_plot.draw(
        judge(test), units, sureness=sureness(test), tube=tube(test), unique=f"hold-{test.pk}"
    )


def _running(test: HoldTest) -> HoldTest:
    """The test as it stands, held until the transaction ends. Raises HoldRefused where it is over."""
    lock(test.job)
    fresh = HoldTest.objects.select_related("job__inflatable__pattern").get(pk=test.pk)
    if fresh.verdict != Verdict.OPEN:
        raise HoldRefused(gettext("This test is over. Begin another one."))
    _at_the_test(fresh.job)
    return fresh


def _at_the_test(job: Job) -> None:
    if job.stage != Stage.HOLD_TEST:
        raise HoldRefused(
            gettext("The job is at “%(label)s”, not at the hold test.") % {"label": Stage(job.stage).label}
        )


def _changed(test: HoldTest, verb: str, text: str, who: Staff) -> None:
    HoldTest.objects.filter(pk=test.pk).update(version=F("version") + 1)
    journal.record(test.job, verb, text, who=who)
    test.refresh_from_db(fields=("version", "verdict", "decided_by", "decided_at"))


def _name(job: Job, key: str) -> str:
    return hold_tubes.name(job.inflatable.pattern, key)


def _clock(at: datetime.datetime) -> str:
    return moment(timezone.localtime(at))
