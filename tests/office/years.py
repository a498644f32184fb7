"""Whole shops for tests: one that opened today, one of a day, one of ten years, each made in a blink.

The ten years are written row by row of the past, without a single rule being asked: no page and no chart may
need more than the rows say. Every name is invented.
"""

import datetime
from dataclasses import dataclass
from decimal import Decimal
from itertools import cycle

from django.db.models import OuterRef, Subquery
from django.utils import timezone

from shoprepair.cover.models import Claim
from shoprepair.gear.models import Inflatable, Pattern
from shoprepair.jobs.models import Customer, Damage, Hold, Job, Ownership, Stage
from shoprepair.pricing.models import Material
from shoprepair.shop.models import Counter, Shop, Staff
from shoprepair.work.models import BenchHours, Forecast, Lot, StockRule
from tests.factories import KiteFactory, OperationFactory, PatternFactory, QuoteLineFactory, StaffFactory
from tests.office import years_covers, years_money
from tests.office.years_covers import ELEMENTS, KINDS
from tests.office.years_money import CURRENCY

DAY = datetime.timedelta(days=1)
HOUR = datetime.timedelta(hours=1)
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
    years_money.quotes(visits, now)
    closed = [job for job in visits if not job.is_open]
    given = years_money.given(closed, shop.owner)
    years_money.money(closed, shop.owner)
    years_money.time(visits, bench, now)
    covers = years_covers.covers(given)
    years_covers.claims(covers, visits, shop.owner, now)
    _forecasts(visits, now)
    for name, value in (
        ("job", jobs),
        ("invoice", len(closed)),
        ("cover", len(covers)),
        ("claim", Claim.objects.count()),
    ):
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
