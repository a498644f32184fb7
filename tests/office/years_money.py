"""Ten years of money and time: quotes and their answers, invoices, payments, stints."""

import datetime
import json
from decimal import Decimal
from itertools import cycle

from django.db import connection

from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing.models import Quote, QuoteLine
from shoprepair.shop.models import Staff
from shoprepair.work.models import HandBack, Invoice, Payment, Stint

DAY = datetime.timedelta(days=1)
HOUR = datetime.timedelta(hours=1)
OLD_CURRENCY, CURRENCY = "NOK", "USD"
YEARS_OF_OLD_CURRENCY = 4
WAITS = Stage.QUOTE_OUT


def _currency(at: datetime.datetime, now: datetime.datetime) -> str:
    return OLD_CURRENCY if at < now - (10 - YEARS_OF_OLD_CURRENCY) * 365 * DAY else CURRENCY


def _price(job: Job) -> Decimal:
    return Decimal(80 + job.number % 17 * 10) + Decimal("0.10")


def quotes(visits: list[Job], now: datetime.datetime) -> None:
    """One a visit, of two lines, no tax; agreed but for those that are out, one of which has run out."""
    quotes = [_quote(job, now) for job in visits if job.stage not in (Stage.CHECKED_IN, Stage.ASSESSED)]
    made = Quote.objects.bulk_create(quotes)
    lines = QuoteLine.objects.bulk_create(
        QuoteLine(
            quote=quote,
            position=position,
            kind="repair",
            text=f"Patch {position}",
            operation_code=f"patch-{position}",
            damages=[position],
            minutes=50,
            cost=30,
            amount=amount,
        )
        for quote in made
        for position, amount in ((1, _price(quote.job) - 40), (2, Decimal(40)))
    )
    Quote.objects.filter(pk__in=[quote.pk for quote in made]).update(state=Quote.State.OUT)
    _accept([each for each in zip(made, lines[::2], lines[1::2], strict=True) if each[0].job.stage != WAITS])


def _accept(agreed: list[tuple[Quote, QuoteLine, QuoteLine]]) -> None:
    """By one statement run over and over: a single one for all takes seconds to write."""
    moment = connection.ops.adapt_datetimefield_value
    rows = [
        (json.dumps(_agreed(quote, (first, second))), moment(quote.sent_at + HOUR / 2), quote.pk)
        for quote, first, second in agreed
    ]
    with connection.cursor() as cursor:
        cursor.executemany(
            "UPDATE pricing_quote SET state = 'accepted', answered_name = 'Ilka Sandvoort', "
            "agreed = %s, answered_at = %s WHERE id = %s",
            rows,
        )


def _quote(job: Job, now: datetime.datetime) -> Quote:
    waits = job.stage == WAITS
    lately = now - job.number % 3 * 8 * DAY if waits else now - HOUR
    at = job.received_at + HOUR if job.stage not in (WAITS, Stage.GO_AHEAD) else lately
    return Quote(
        job=job,
        number=1,
        currency=_currency(job.received_at, now),
        tax_name="Tax",
        tax_percent=0,
        rounding=Decimal("0.01"),
        valid_until=(at + 14 * DAY).date(),
        sent_at=at,
    )


def _agreed(quote: Quote, lines: tuple[QuoteLine, ...]) -> dict[str, object]:
    total = str(sum(line.amount for line in lines))
    said = [
        {
            "id": line.pk,
            "taken": True,
            "text": line.text,
            "detail": "",
            "damages": [],
            "amount": str(line.amount),
        }
        for line in lines
    ]
    sums = dict.fromkeys(("subtotal", "net", "total"), total) | {"tax": "0.00", "deposit": "20.00"}
    return {"lines": said, "currency": quote.currency, **sums}


def given(closed: list[Job], who: Staff) -> list[HandBack]:
    return HandBack.objects.bulk_create(
        [
            HandBack(job=job, taker_name="Ilka Sandvoort", known_by="the tag", who=who, at=job.closed_at)
            for job in closed
        ]
    )


def money(closed: list[Job], who: Staff) -> None:
    """An invoice for each visit that is over, paid by a deposit and the rest."""
    quotes = {quote.job_id: quote for quote in Quote.objects.filter(job__in=closed)}
    Invoice.objects.bulk_create(
        Invoice(
            number=number,
            job=job,
            lines={},
            currency=quotes[job.pk].currency,
            total=_price(job),
            made_by=who,
            made_at=job.closed_at,
        )
        for number, job in enumerate(closed, 1)
    )
    Payment.objects.bulk_create(
        Payment(job=job, amount=amount, method="card", is_deposit=deposit, who=who, at=at)
        for job in closed
        for amount, deposit, at in (
            (Decimal(20), True, job.received_at + 2 * HOUR),
            (_price(job) - 20, False, job.closed_at),
        )
    )


def time(visits: list[Job], bench: list[Staff], now: datetime.datetime) -> None:
    """An hour and a half on each job, two days after it came; the last ones just now."""
    Stint.objects.bulk_create(
        Stint(who=who, job=job, began_at=at, ended_at=at + 1.5 * HOUR)
        for job, who in zip(visits, cycle(bench), strict=False)
        for at in [min(job.received_at + 2 * DAY, now - 1.5 * HOUR)]
    )
