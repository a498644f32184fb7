"""Judging stored damages anew, after the model, the load figures or a pattern changed."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.db import transaction

from shoprepair.jobs import assessment
from shoprepair.jobs.models import Damage, Job
from shoprepair.mechanics.description import LoadCases
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext
from shoprepair.shop.settings import cases as shop_cases

CHUNK = 200


@dataclass(frozen=True, slots=True)
class Change:
    """How a job's urgency and band came out anew."""

    job: Job
    urgency: tuple[int, int]
    band: tuple[str, str]

    def __str__(self) -> str:
        before, after = (gettext(band) for band in self.band)
        bands = after if before == after else f"{before} → {after}"
        return gettext("%(job)s: urgency %(urgency)s → %(urgency_2)s, %(bands)s") % {
            "job": self.job,
            "urgency": self.urgency[0],
            "urgency_2": self.urgency[1],
            "bands": bands,
        }


def reassess(
    *, after: int = 0, closed: bool = False, who: Staff | None = None
) -> Iterator[tuple[int, Change | None]]:
    """Judge every open job anew, or also the closed, by rising key from `after`.

    Yields each job's key with its change, or None. Memory stays that of one chunk, each job is its
    own transaction, and a run that was broken off goes on from the last key it gave.
    """
    cases = shop_cases()
    jobs = Job.objects.select_related("inflatable__pattern").order_by("pk")
    if not closed:
        jobs = jobs.filter(is_open=True)
    while chunk := list(jobs.filter(pk__gt=after)[:CHUNK]):
        for job in chunk:
            after = job.pk
            yield after, reassess_job(job, cases=cases, who=who)


def reassess_job(job: Job, *, cases: LoadCases | None = None, who: Staff | None = None) -> Change | None:
    """Judge every damage of one job anew. A job that comes out differently says so in its journal."""
    before = (job.urgency, job.band)
    cases = cases or shop_cases()
    # Where it is one of many of a transaction, that is given up with it: no save point for each.
    with transaction.atomic(savepoint=False):
        damages = list(job.damages.all())
        for damage in damages:
            damage.job = job
        graver_or_milder = [damage for damage in damages if _reassess_damage(damage, cases)]
        if graver_or_milder or not assessment.is_assessed_by(job, damages):
            assessment.assess_job(job)
        if before == (job.urgency, job.band):
            return None
        change = Change(job, (before[0], job.urgency), (before[1], job.band))
        journal.record(
            job,
            "job.reassessed",
            gettext("Judged anew: %(change)s.") % {"change": change},
            who=who,
            changes={"urgency": list(change.urgency), "band": list(change.band)},
        )
    return change


def _reassess_damage(damage: Damage, cases: LoadCases) -> bool:
    """Whether it counts otherwise for its job than before.

    Written only where somebody has not answered meanwhile: their answer was judged by the same figures.
    """
    kept = {name: getattr(damage, name) for name in assessment.COMPUTED}
    assessment.assess_damage(damage, cases)
    values = {name: getattr(damage, name) for name in assessment.COMPUTED}
    if values == kept:
        return False
    written = Damage.objects.filter(pk=damage.pk, version=damage.version).update(**values)
    return not written or (kept["urgency"], kept["band"]) != (values["urgency"], values["band"])
