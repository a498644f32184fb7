"""A job in work, and an addition to its quote: found, sent, answered."""

from shoprepair.jobs import stages
from shoprepair.jobs.models import Customer, Damage, Job, Stage
from shoprepair.pricing import quotes
from shoprepair.pricing.models import Quote
from shoprepair.shop.models import Staff
from tests.factories import accepted
from tests.pricing.mending import a_job, on_the_edge
from tests.pricing.quoting import answered

State = Quote.State


BASE = "https://loft.example"


def in_work(owner: Staff) -> Job:
    job = a_job()
    on_the_edge(job, 0.1, "cut", mm=40)
    Customer.objects.filter(pk=job.customer_id).update(email="ilka@sandvoort.example")
    Job.objects.filter(pk=job.pk).update(stage=Stage.ASSESSED)
    job = Job.objects.get(pk=job.pk)
    accepted(send(quotes.draft(job, who=owner), owner), job)
    stages.move(job, Stage.BENCH, who=owner)
    return job


def send(quote: Quote, who: Staff) -> Quote:
    return quotes.send(quote, who=who, version=quote.version, base_url=BASE)


def found(job: Job, station: float = 0.12, **facts) -> Damage:
    """A cut that only shows once the tube is open."""
    return on_the_edge(job, station, "cut", **{"mm": 20, **facts})


def out(job: Job, who: Staff) -> Quote:
    """The addition for what was found, sent out."""
    return send(quotes.draft(job, who=who), who)


def said(quote: Quote, *, yes: bool = True, **changes) -> Quote:
    """The customer's answer to the quote as the shop advises it."""
    return answered(quote, *quote.lines.filter(taken=True), accepted=yes, **changes)
