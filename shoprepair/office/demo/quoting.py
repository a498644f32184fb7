"""Quotes of the demo: written from the repairs, sent, asked about, revised, answered."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from django.utils import timezone

from shoprepair import serve
from shoprepair.jobs import conversation
from shoprepair.jobs.models import Job
from shoprepair.office.demo import clock
from shoprepair.office.demo.people import Crew
from shoprepair.pricing import answers, quotes, totals
from shoprepair.pricing.models import Quote

FULL_CHECK = "Full check of every seam, valve and hose while it is here"


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """What happens to one job's quote, beside its being sent."""

    note: str = ""
    valid_days: int | None = None
    discount_percent: int = 0
    full_check: bool = False
    """Offered as an extra that nobody needs to take."""
    revised: str = ""
    """What the newer version says to the customer; empty: there is one version."""
    question: str = ""
    reply: str = ""
    declines_extras: bool = False
    """The customer leaves out whatever may be left out."""
    by_phone: bool = False


PLAIN = Offer()


def send(job: Job, crew: Crew, offer: Offer = PLAIN) -> Quote:
    """Write the quote of an assessed job and send it out; the job is at Quote out then."""
    quote = _written(quotes.draft(job, who=crew.owner), crew, offer)
    quotes.send(quote, who=crew.owner, version=quote.version, base_url=serve.url())
    job.refresh_from_db()
    return quote


def talk(job: Job, until: datetime, crew: Crew, offer: Offer) -> None:
    """What is asked, answered and quoted again between now and then."""
    asked, replied, revised = clock.between(timezone.now(), until, 3)
    if offer.question:
        with clock.at(asked):
            conversation.ask(job, name=job.customer.name, text=offer.question)
    if offer.reply:
        with clock.at(replied):
            conversation.reply(job, who=crew.counter, text=offer.reply, base_url=serve.url())
    if offer.revised:
        with clock.at(revised):
            _revise(job, crew, offer)


def answer(job: Job, crew: Crew, *, accepted: bool, offer: Offer = PLAIN) -> Quote:
    """The customer answers what is out; the job is at Go-ahead or Declined then."""
    quote = quotes.current(job)
    if quote is None:
        raise LookupError(f"Job {job} has no quote that could be answered.")
    taken = {
        line.pk
        for line in quote.lines.all()
        if line.taken and not (offer.declines_extras and line.optional and not line.choice)
    }
    answers.answer(
        quote,
        name=job.customer.name[: answers.LONGEST_NAME],
        accepted=accepted,
        taken=taken,
        total_shown=totals.of(quote, taken).total,
        version=quote.version,
        who=crew.counter if offer.by_phone else None,
        base_url=serve.url(),
    )
    job.refresh_from_db()
    return quote


def _revise(job: Job, crew: Crew, offer: Offer) -> None:
    out = quotes.current(job)
    if out is not None:
        new = quotes.revise(out, who=crew.owner)
        quotes.change(
            new, who=crew.owner, version=new.version, note=offer.revised, discount_percent=Decimal(5)
        )
        quotes.send(new, who=crew.owner, version=new.version, base_url=serve.url())


def _written(quote: Quote, crew: Crew, offer: Offer) -> Quote:
    """The draft with what the owner adds by hand."""
    if offer.full_check or not quote.lines.exists():
        quotes.add_line(
            quote,
            who=crew.owner,
            version=quote.version,
            text=FULL_CHECK,
            amount=Decimal("38.00"),
            cost=Decimal("23.00"),
            minutes=Decimal(30),
            optional=quote.lines.exists(),
        )
        quote.refresh_from_db()
    fields: dict[str, object] = {}
    if offer.note:
        fields["note"] = offer.note
    if offer.discount_percent:
        fields["discount_percent"] = Decimal(offer.discount_percent)
    if offer.valid_days is not None:
        fields["valid_until"] = timezone.localdate() + timedelta(days=offer.valid_days)
    if fields:
        quotes.change(quote, who=crew.owner, version=quote.version, **fields)
    return quote
