"""Whole shops for tests: one that opened today, one of a day, one of ten years, each made in a blink.

The ten years are written row by row of the past, without a single rule being asked: no page and no chart may
need more than the rows say. Every name is invented.
"""

import datetime
import hashlib
import json
from dataclasses import dataclass
from decimal import Decimal
from itertools import cycle

from django.db import connection
from django.db.models import OuterRef, Subquery
from django.utils import timezone

from shoprepair.cover.models import Claim, Cover
from shoprepair.gear.models import Inflatable, Pattern
from shoprepair.jobs.models import Customer, Damage, Hold, Job, Ownership, Stage
from shoprepair.pricing.models import Material, Quote, QuoteLine
from shoprepair.shop.models import Counter, Shop, Staff
from shoprepair.work.models import BenchHours, Forecast, HandBack, Invoice, Lot, Payment, Stint, StockRule
from tests.factories import KiteFactory, OperationFactory, PatternFactory, QuoteLineFactory, StaffFactory

DAY = datetime.timedelta(days=1)
HOUR = datetime.timedelta(hours=1)
OLD_CURRENCY, CURRENCY = "NOK", "USD"
YEARS_OF_OLD_CURRENCY = 4
KINDS = ("cut", "hole", "scuff", "seam opened", "burst")
ELEMENTS = ("leading edge", "strut", "canopy")
WAITS = Stage.QUOTE_OUT
OPEN_STAGES = (
    Stage.CHECKED_IN,
    Stage.ASSESSED,
    Stage.QUOTE_OUT,
    Stage.QUOTE_OUT,
    Stage.QUOTE_OUT,
    Stage.GO_AHEAD,
    Stage.BENCH,
    Stage.HOLD_TEST,
    Stage.READY,
)


@dataclass(frozen=True)
class Shopful:
    """Who works in a shop that was made."""

    owner: Staff
    bench: list[Staff]


def empty() -> Shopful:
    """A shop as it is when its owner has just opened it."""
    Shop.objects.update_or_create(pk=1, defaults={"name": "Northquay Loft", "currency": CURRENCY})
    owner = Staff.objects.filter(role="owner").first() or StaffFactory(role="owner", first_name="Runa")
    return Shopful(owner, [])


def day_old() -> Shopful:
    """Yesterday it opened: a catalogue, one wing in, a second one quoted today."""
    shop = empty()
    OperationFactory()
    Job.objects.bulk_create([_a_job(1, Stage.CHECKED_IN, timezone.now() - DAY)])
    Counter.objects.update_or_create(name="job", defaults={"value": 1})
    second = _a_job(2, Stage.QUOTE_OUT, timezone.now())
    second.save()
    Counter.objects.update_or_create(name="job", defaults={"value": 2})
    QuoteLineFactory(quote__job=second)
    second.quotes.update(state="out", sent_at=timezone.now())
    return shop


def _a_job(number: int, stage: Stage, at: datetime.datetime) -> Job:
    customer = Customer.objects.create(name=f"Ilka Sandvoort {number}", phone=f"+1 555 0100{number:03d}")
    pattern = Pattern.objects.first() or PatternFactory()
    gear = Inflatable.objects.create(pattern=pattern, serial=f"NQ-{number:05d}")
    Ownership.objects.create(customer=customer, inflatable=gear)
    promised = timezone.localtime(at).date() + 10 * DAY
    return Job(
        number=number, customer=customer, inflatable=gear, stage=stage, received_at=at, promised_on=promised
    )


def ten_years(jobs: int = 300, now: datetime.datetime | None = None) -> Shopful:
    """Ten years of visits, the last of them still open; it counted in another currency at first."""
    now = now or timezone.now()
    shop = empty()
    bench = _people()
    _shelf(now)
    visits = _visits(jobs, now, _gear(max(jobs // 3, 1)))
    _damages(visits)
    _quotes(visits, now)
    closed = [job for job in visits if not job.is_open]
    given = _given(closed, shop.owner)
    _money(closed, shop.owner)
    _time(visits, bench, now)
    covers = _covers(given)
    _claims(covers, visits, shop.owner, now)
    _forecasts(visits, now)
    for name, value in (("job", jobs), ("invoice", len(closed)), ("cover", len(covers))):
        Counter.objects.update_or_create(name=name, defaults={"value": value})
    return Shopful(shop.owner, bench)


def _people() -> list[Staff]:
    bench = [
        Staff.objects.filter(username=name).first()
        or StaffFactory(username=name, role="bench", first_name=name.capitalize())
        for name in ("tomek", "signe")
    ]
    BenchHours.objects.bulk_create(
        [BenchHours(who=who, minutes=[360, 360, 360, 360, 300, 0, 0]) for who in bench]
    )
    return bench


def _shelf(now: datetime.datetime) -> None:
    """An operation, and three materials of which two are low."""
    for number in range(1, 4):
        OperationFactory(code=f"patch-{number}", name=f"Patch {number}")
    for number, left in enumerate((1, 20, 2), 1):
        material = Material.objects.create(
            code=f"cloth-{number}", name=f"Casing cloth {number}", unit="m2", price=Decimal(30)
        )
        StockRule.objects.create(material=material, low_at=5, order_up_to=10, supplier="Weaver & Daughter")
        Lot.objects.create(
            material=material, code=f"R{number}", received_on=now.date() - 90 * DAY, quantity=30, left=left
        )


def _gear(count: int) -> list[Ownership]:
    patterns = list(Pattern.objects.all()[:4]) or [PatternFactory(), KiteFactory()]
    customers = Customer.objects.bulk_create(
        [Customer(name=f"Ilka Sandvoort {n}", phone=f"+1 555 01{n:05d}") for n in range(count)]
    )
    gear = Inflatable.objects.bulk_create(
        [
            Inflatable(pattern=pattern, serial=f"NQ-{n:05d}")
            for n, pattern in zip(range(count), cycle(patterns))
        ]
    )
    owners = zip(customers, gear, strict=True)
    return Ownership.objects.bulk_create([Ownership(customer=who, inflatable=what) for who, what in owners])


def _visits(count: int, now: datetime.datetime, owned: list[Ownership]) -> list[Job]:
    """Ever more of them over ten years; the last ones are open, in every stage, half of them late."""
    stages = [Stage.HANDED_BACK] * (count - len(OPEN_STAGES)) + list(OPEN_STAGES)
    rows = enumerate(zip(stages, cycle(owned), strict=False), 1)
    return Job.objects.bulk_create([_visit(number, count, now, *row) for number, row in rows])


def _visit(number: int, count: int, now: datetime.datetime, stage: Stage, own: Ownership) -> Job:
    is_open = stage != Stage.HANDED_BACK
    at = now - ((count - number) / count) ** 2 * 3650 * DAY - (20 * DAY if is_open else 2 * HOUR)
    promised = now.date() + (number % 2 * 9 - 6) * DAY if is_open else at.date() + 10 * DAY
    return Job(
        number=number,
        customer_id=own.customer_id,
        inflatable_id=own.inflatable_id,
        stage=stage,
        is_open=is_open,
        received_at=at,
        promised_on=promised,
        closed_at=None if is_open else min(at + 8 * DAY, now - HOUR),
        hold=Hold.CUSTOMER if stage == Stage.ASSESSED else Hold.NONE,
        urgency=number % 100,
        rank=100 - number % 100,
        band="Grounded" if number % 3 == 0 else "Watch",
        damage_count=2,
    )


def _damages(visits: list[Job]) -> None:
    """Two a visit, of every kind, all over the gear."""
    Damage.objects.bulk_create(
        Damage(
            job=job,
            number=number,
            x_m=(job.number * 7 % 30 - 15) / 10,
            y_m=0.03,
            element=ELEMENTS[(job.number + number) % 3],
            station=job.number * 7 % 30 / 30,
            side="left" if job.number % 2 else "right",
            kind=KINDS[(job.number + number) % 5],
            length_m=0.02 + job.number % 7 / 100,
            load_ratio=job.number % 13 / 10,
            urgency=job.urgency,
            band=job.band,
        )
        for job in visits
        for number in (1, 2)
    )
    came = Job.objects.filter(pk=OuterRef("job")).values("received_at")[:1]
    Damage.objects.update(created_at=Subquery(came))


def _currency(at: datetime.datetime, now: datetime.datetime) -> str:
    return OLD_CURRENCY if at < now - (10 - YEARS_OF_OLD_CURRENCY) * 365 * DAY else CURRENCY


def _price(job: Job) -> Decimal:
    return Decimal(80 + job.number % 17 * 10) + Decimal("0.10")


def _quotes(visits: list[Job], now: datetime.datetime) -> None:
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


def _given(closed: list[Job], who: Staff) -> list[HandBack]:
    return HandBack.objects.bulk_create(
        [
            HandBack(job=job, taker_name="Ilka Sandvoort", known_by="the tag", who=who, at=job.closed_at)
            for job in closed
        ]
    )


def _money(closed: list[Job], who: Staff) -> None:
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


def _time(visits: list[Job], bench: list[Staff], now: datetime.datetime) -> None:
    """An hour and a half on each job, two days after it came; the last ones just now."""
    Stint.objects.bulk_create(
        Stint(who=who, job=job, began_at=at, ended_at=at + 1.5 * HOUR)
        for job, who in zip(visits, cycle(bench), strict=False)
        for at in [min(job.received_at + 2 * DAY, now - 1.5 * HOUR)]
    )


def _covers(given: list[HandBack]) -> list[Cover]:
    """One for each hand-back, in one chain; each says only what its columns say."""
    covers, previous = [], ""
    for number, back in enumerate(given, 1):
        says = {"format": 1, "number": number, "given_at": back.at.isoformat(), "until": None}
        contents = json.dumps(says, sort_keys=True, separators=(",", ":"))
        digest = hashlib.sha256(f"{previous}\n{contents}".encode()).hexdigest()
        covers.append(
            Cover(
                number=number,
                inflatable_id=back.job.inflatable_id,
                job=back.job,
                hand_back=back,
                given_at=back.at,
                operation=f"patch-{number % 3 + 1}",
                operation_name=f"Patch {number % 3 + 1}",
                kind=KINDS[number % 5],
                element=ELEMENTS[number % 3],
                cloth="polyester casing cloth, 170 g/m²",
                techs=["Tomek" if number % 2 else "Signe"],
                lots=[f"Casing cloth 1 · R{number // 50}"],
                contents=contents,
                previous=previous,
                digest=digest,
            )
        )
        previous = digest
    return Cover.objects.bulk_create(covers)


def _claims(covers: list[Cover], visits: list[Job], who: Staff, now: datetime.datetime) -> None:
    """One for every twentieth cover, held by a later visit; two wait to be decided."""
    damages = list(Damage.objects.filter(number=1).order_by("job__number"))
    held = [
        (cover, damages[place + 10])
        for place, cover in enumerate(covers)
        if place % 20 == 5 and place + 10 < len(damages)
    ]
    open_ones = len(held) - 2
    Claim.objects.bulk_create(
        Claim(
            number=number,
            cover=cover,
            damage=damage,
            job_id=damage.job_id,
            proposal="owner",
            made_by=who,
            made_at=now - 3 * DAY if number > open_ones else damage.created_at,
            decision="" if number > open_ones else ("ours", "new")[number % 2],
            words="" if number > open_ones else "It tore along our row.",
            decided_by=None if number > open_ones else who,
            decided_at=None if number > open_ones else damage.created_at + DAY,
        )
        for number, (cover, damage) in enumerate(held, 1)
    )


def _forecasts(visits: list[Job], now: datetime.datetime) -> None:
    """Open jobs will be ready in five days, perhaps in seven."""
    reason = {"text": "Jobs are ahead of it.", "values": {}}
    Forecast.objects.bulk_create(
        Forecast(
            job=job, likely_on=now.date() + 5 * DAY, late_on=now.date() + 7 * DAY, reason=reason, made_at=now
        )
        for job in visits
        if job.is_open and job.stage != Stage.READY
    )
