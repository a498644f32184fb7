"""Agreed jobs with real repairs, as the tests of the bench need them."""

import datetime
from collections.abc import Collection
from typing import Any

from django.utils import timezone

from shoprepair.jobs import stages
from shoprepair.jobs.models import Customer, Damage, Job, Stage
from shoprepair.pricing import estimate, proposals, quotes, rules
from shoprepair.pricing.models import Quote
from shoprepair.shop.models import Staff
from shoprepair.work import next_up, steps, ticks
from shoprepair.work.models import Step
from tests import again
from tests.factories import QuoteFactory, StaffFactory, accepted
from tests.pricing.mending import a_job, on_the_edge, stocked

BASE = "https://loft.example"
MINUTE = datetime.timedelta(minutes=1)


def a_cut_job() -> Job:
    """A wing with a cut near the centre of its leading edge that went through the bladder."""
    job = a_job()
    on_the_edge(job, 0.1, "cut", mm=40, through_bladder="yes")
    return job


def agree(job: Job, who: Staff | None = None) -> Quote:
    """Quote all that is found on a job, and let the customer accept it as advised."""
    who = who or StaffFactory()
    Customer.objects.filter(pk=job.customer_id).update(email="ilka@sandvoort.example")
    Job.objects.filter(pk=job.pk).update(stage=Stage.ASSESSED)
    job.refresh_from_db()
    draft = quotes.draft(job, who=who)
    sent = quotes.send(draft, who=who, version=draft.version, base_url=BASE)
    return accepted(sent, job)


def add(job: Job, damage: Damage) -> Quote:
    """An addition for one damage found in work, accepted as advised."""
    first = Quote.objects.get(job=job, state=Quote.State.ACCEPTED, addition_to=None)
    quote = QuoteFactory(job=job, addition_to=first)
    for place, repair in enumerate(proposals.propose(damage), 1):
        line = estimate.line_for(repair, rules.current())
        quote.lines.create(
            position=place,
            kind=line.kind,
            text=line.text,
            repair=repair,
            operation_code=line.operation_code,
            damages=list(line.damages),
            minutes=line.minutes,
            amount=line.amount,
            taken=line.taken,
        )
    return put_in_force(quote)


def put_in_force(quote: Quote, taken: Collection[int] | None = None) -> Quote:
    """A draft as it stands once the customer has accepted it; these lines of it, or those advised."""
    lines = [
        {"id": line.pk, "taken": line.taken if taken is None else line.pk in taken}
        for line in quote.lines.all()
    ]
    Quote.objects.filter(pk=quote.pk).update(state=Quote.State.OUT)
    Quote.objects.filter(pk=quote.pk).update(state=Quote.State.ACCEPTED, agreed={"lines": lines})
    return Quote.objects.get(pk=quote.pk)


def on_the_bench(who: Staff, job: Job | None = None) -> Job:
    """An agreed job that somebody has taken to the bench."""
    if job is None:
        job = an_agreed_cut()
    else:
        agree(job)
    return next_up.take(job, who)


def an_agreed_cut() -> Job:
    """Such a wing in a shop with its catalogue, quoted and agreed."""

    def make() -> Job:
        stocked()
        job = a_cut_job()
        agree(job)
        return Job.objects.get(pk=job.pk)

    return again.once("an agreed cut", make)


def a_worked_cut(who: Staff) -> Job:
    """Such a wing with every step done by one person, waiting for its hold test."""

    def make() -> Job:
        job = stages.move(an_agreed_cut(), Stage.BENCH, who=who)
        do_all(job, who)
        return stages.move(job, Stage.HOLD_TEST, who=who)

    return again.once(f"a cut worked by {who.pk}", make)


_taps = iter(range(10**9))


def tap(step: Step, verb: str, who: Staff, at: datetime.datetime | None = None, **more: Any) -> Step:
    """A tick as the page sends it, with a key of its own."""
    at = at or datetime.datetime.now(tz=datetime.UTC)
    return ticks.take(step, verb, who=who, at=at, **{"key": f"tap-{next(_taps)}", **more})


def named(job: Job, start: str) -> Step:
    """The first step whose text begins so."""
    return next(step for step in steps.of(job) if step.text.startswith(start))


def do_all(job: Job, who: Staff, *, timed: bool = True) -> None:
    """Every step done in order three days ago, for as many minutes as it was reckoned, on a device without
    a line."""
    at = timezone.now() - datetime.timedelta(days=3)
    Job.objects.filter(pk=job.pk).update(received_at=at)
    for step in steps.of(job):
        if timed:
            tap(step, "start", who, at)
        at += float(step.minutes) * MINUTE
        tap(step, "done", who, at)
