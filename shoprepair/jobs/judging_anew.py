"""Judging all open jobs anew after a load figure changed, beside the work: a run that outlives any process.

How far it has come is a note in the database, written in the transaction of each batch: whoever goes on, and
after whatever end of whoever went before, begins where the last whole batch ended. A change during a run
begins it anew. Until a job's turn has come it says so on the rack (`waits`).
"""

import time
from dataclasses import asdict, dataclass
from typing import Any

from django.db import transaction
from django.db.models import BigIntegerField, Exists, Max, OuterRef, QuerySet
from django.db.models.fields.json import KeyTextTransform
from django.db.models.functions import Cast

from shoprepair.jobs.models import Job
from shoprepair.jobs.reassessment import reassess_job
from shoprepair.mechanics.description import LoadCases
from shoprepair.shop import changes, journal, notes, turns
from shoprepair.shop.models import JournalEntry, Note, Staff
from shoprepair.shop.said import gettext
from shoprepair.shop.settings import cases as shop_cases
from shoprepair.shop.settings import load_figures

NAME = "judging-anew"
SUBJECT = "open-jobs:all"
"""What the journal calls all of them. The figures' own entries say which figures a page has seen."""
DONE = "load-figures.jobs-reassessed"
BATCH = 40
"""So many jobs are one transaction, which keeps others from writing for about a tenth of a second."""
SLICE_S = 5.0
"""So long the worker is at it before it looks whether a letter is due."""


@dataclass(frozen=True, slots=True)
class Run:
    """How far it has come: up to the job with the key `after` of those up to `until`."""

    after: int
    until: int
    judged: int = 0
    different: int = 0

    @property
    def left(self) -> int:
        return self.jobs().count()

    def awaits(self, job: Job) -> bool:
        """Whether this job's turn has not come yet."""
        return self.after < job.pk <= self.until

    def jobs(self) -> QuerySet[Job]:
        """Those whose turn has not come yet, by their keys."""
        return Job.objects.filter(is_open=True, pk__gt=self.after, pk__lte=self.until).order_by("pk")


@transaction.atomic
def begin() -> Run:
    """Begin, or begin anew. Jobs that come in later are judged by the new figures as it is."""
    # A batch that is under way read the figures before: what it says of how far it came must not stand.
    turns.take(NAME)
    run = Run(0, Job.objects.aggregate(newest=Max("pk"))["newest"] or 0)
    notes.write(NAME, asdict(run))
    return run


def standing() -> Run | None:
    """The run that is under way; None where all jobs are judged by today's figures."""
    note = notes.read(NAME)
    return Run(**note.said) if note else None


def is_due() -> bool:
    """Whether a figure changed after the open jobs were last judged anew."""
    told = journal.entries(load_figures(), SUBJECT).filter(verb__in=[changes.FIGURES_CHANGED, DONE]).first()
    return told is not None and told.verb == changes.FIGURES_CHANGED


def waits() -> Exists:
    """Whether a job's turn has not come yet, in a query of jobs."""
    run = Note.objects.filter(pk=NAME).annotate(after=_key("after"), until=_key("until"))
    return Exists(run.filter(after__lt=OuterRef("pk"), until__gte=OuterRef("pk")))


def _key(name: str) -> Cast:
    return Cast(KeyTextTransform(name, "said"), BigIntegerField())


def go_on(end: float, who: Staff | None = None) -> Run:
    """Judge batch after batch until all is done or `end` (of time.monotonic) has come; at least one job.

    Nothing is to be done where no run was begun.
    """
    while True:
        run, done = _batch(end, who)
        if done or time.monotonic() >= end:
            return run


def look() -> bool:
    """What the worker does all day; whether there is more to do at once."""
    if standing() is None:
        if not is_due():
            return False
        # Its note was lost: no archive takes one along.
        begin()
    go_on(time.monotonic() + SLICE_S)
    return standing() is not None


@transaction.atomic
def _batch(end: float, who: Staff | None) -> tuple[Run, bool]:
    """The next jobs, in one transaction with how far it has come; whether they were the last."""
    turns.take(NAME)
    run = standing()
    if run is None:
        # Somebody else has just come to the end.
        return Run(0, 0), True
    # One more than is judged: whoever comes after the last job has nothing to come for.
    found = list(run.jobs().select_related("inflatable__pattern").prefetch_related("damages")[: BATCH + 1])
    cases = shop_cases()
    for job in found[:BATCH]:
        run = _judged(run, job, cases, who)
        if time.monotonic() >= end:
            break
    if found and run.after < found[-1].pk:
        notes.write(NAME, asdict(run))
        return run, False
    Note.objects.filter(pk=NAME).delete()
    journal.record(SUBJECT, DONE, said(run), who=who)
    return run, True


def _judged(run: Run, job: Job, cases: LoadCases, who: Staff | None) -> Run:
    change = reassess_job(job, cases=cases, who=who)
    return Run(job.pk, run.until, run.judged + 1, run.different + (change is not None))


def said(run: Run) -> str:
    """What became of it, in a sentence."""
    jobs = (
        gettext("1 open job") if run.judged == 1 else gettext("%(judged)s open jobs") % {"judged": run.judged}
    )
    return gettext("%(jobs)s judged anew, %(different)s came out differently.") % {
        "jobs": jobs,
        "different": run.different,
    }


def on_written(instance: JournalEntry, created: bool, **_: Any) -> None:
    """Receives every entry of the journal as it is written: a change of the figures begins a run with it."""
    if created and instance.verb == changes.FIGURES_CHANGED:
        begin()
