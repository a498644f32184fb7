"""Saying that a tube holds or does not, by the readings, before them or against them."""

from django.db import transaction
from django.db.models import F
from django.utils import timezone

from shoprepair.jobs import stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing.quotes.steps import lock
from shoprepair.pricing.stale import Stale
from shoprepair.shop import journal
from shoprepair.shop.access import is_owner
from shoprepair.shop.languages import begun_large, in_a_sentence
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext
from shoprepair.shop.settings import current
from shoprepair.shop.units import Units, say, units_for
from shoprepair.work import hold_tubes
from shoprepair.work.hold_judging import VERDICTS, judge, stored
from shoprepair.work.hold_refusals import HoldRefused
from shoprepair.work.hold_test import Judged
from shoprepair.work.models import HoldTest
from shoprepair.work.suspects import Suspect, suspects

Verdict = HoldTest.Verdict
MOST_NAMED = 4
"""Suspects that fit into one sentence of the journal; the page shows all."""


def standing_against(judged: Judged, holds: bool) -> bool:
    """Whether deciding so goes against the readings, or beyond what they say."""
    return VERDICTS[judged.verdict] != (Verdict.HOLDS if holds else Verdict.FAILS)


@transaction.atomic
def decide(
    test: HoldTest,
    holds: bool | None = None,
    *,
    who: Staff,
    reason: str = "",
    version: int | None = None,
) -> Verdict:
    """Write down whether the tube holds: as the readings say, or otherwise with a reason.

    1. That it holds although the readings do not say so is the owner's to decide, with a reason and at least
       one reading.
    2. That it does not hold may be said by anybody, with a reason where the readings do not say it: somebody
       hears it hiss.
    3. A tube that does not hold takes the job back to the bench, with the places to look at in the journal.

    Raises HoldRefused with a sentence, and Stale where the readings changed since `version`.
    """
    lock(test.job)
    fresh = HoldTest.objects.select_related("job__inflatable__pattern").get(pk=test.pk)
    judged = judge(fresh)
    _check_open(fresh, version)
    if holds is None:
        holds = _by_the_readings(judged)
    because = " ".join(reason.split())[:300]
    _check_reason(judged, holds, because, who)
    found = () if holds else suspects(fresh.job, fresh.tube_key)
    verdict = Verdict.HOLDS if holds else Verdict.FAILS
    HoldTest.objects.filter(pk=fresh.pk).update(
        verdict=verdict,
        judged=stored(judged, found, reason=because if standing_against(judged, holds) else ""),
        suspects=[one.damage for one in found if one.damage is not None],
        decided_by=who,
        decided_at=timezone.now(),
        version=F("version") + 1,
    )
    _tell(fresh, judged, holds, because, found, who)
    test.refresh_from_db()
    test.job.refresh_from_db(fields=("stage", "version"))
    return verdict


def _check_open(test: HoldTest, version: int | None) -> None:
    if test.verdict != Verdict.OPEN:
        raise HoldRefused(
            gettext("This test is decided already: %(lower)s.")
            % {"lower": in_a_sentence(test.get_verdict_display())}
        )
    if test.job.stage != Stage.HOLD_TEST:
        raise HoldRefused(
            gettext("The job is at “%(label)s”, not at the hold test.")
            % {"label": Stage(test.job.stage).label}
        )
    if version is not None and version != test.version:
        raise Stale(gettext("the readings"), test)


def _by_the_readings(judged: Judged) -> bool:
    if VERDICTS[judged.verdict] == Verdict.OPEN:
        raise HoldRefused(
            gettext("The readings do not decide yet. Read again later, or say why it is decided now.")
        )
    return VERDICTS[judged.verdict] == Verdict.HOLDS


def _check_reason(judged: Judged, holds: bool, because: str, who: Staff) -> None:
    if not standing_against(judged, holds):
        return
    if not holds:
        if not because:
            raise HoldRefused(
                gettext("The readings do not say so: say what you heard or saw, in a few words.")
            )
        return
    if not judged.readings:
        raise HoldRefused(gettext("Take at least one reading before it can be said to hold."))
    if not is_owner(who):
        raise HoldRefused(
            gettext("The readings do not say that it holds. Only the owner may decide so, with a reason.")
        )
    if not because:
        raise HoldRefused(gettext("The readings do not say that it holds: say why it is decided so."))


def _tell(
    test: HoldTest, judged: Judged, holds: bool, because: str, found: tuple[Suspect, ...], who: Staff
) -> None:
    units = units_for(None, current())
    name = hold_tubes.label(test.job.inflatable.pattern, test.tube_key)
    agreed = judged.because if not standing_against(judged, holds) else None
    said = say(agreed or judged.reason, units)
    if holds:
        against = (
            gettext(" Decided otherwise: %(because)s") % {"because": because}
            if standing_against(judged, True)
            else ""
        )
        text = gettext("Hold test of %(name)s: it holds. %(said)s%(against)s") % {
            "name": name,
            "said": said,
            "against": against,
        }
        journal.record(test.job, "hold.passed", text, who=who)
        return
    text = f"{begun_large(name)}: {because or said} {_look_at(found, units)}".strip()
    journal.record(test.job, "hold.failed", gettext("Hold test failed. %(text)s") % {"text": text}, who=who)
    stages.move(Job.objects.get(pk=test.job_id), Stage.BENCH, who=who, reason=f"{begun_large(name)}.")
    left = HoldTest.objects.filter(job=test.job_id, verdict=Verdict.OPEN)
    left.update(verdict=Verdict.STOPPED, decided_by=who, decided_at=timezone.now(), version=F("version") + 1)


def _look_at(found: tuple[Suspect, ...], units: Units) -> str:
    if not found:
        return ""
    named = "; ".join(say(one.words, units) for one in found[:MOST_NAMED])
    more = gettext("; and more") if len(found) > MOST_NAMED else ""
    return gettext("Look first at: %(named)s%(more)s.") % {"named": named, "more": more}
