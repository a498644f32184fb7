"""Where each page of a shop stands, under what its records say. Read in the process of that shop."""

from collections.abc import Iterator, Mapping
from typing import Any

from django.db.models import Case, Count, QuerySet, Value, When
from django.urls import NoReverseMatch, reverse
from django.utils import timezone

from shoprepair.cover import links as cover_links
from shoprepair.cover import transfer_links
from shoprepair.cover.models import Claim, Cover, CoverLink, Transfer
from shoprepair.gear.models import Cloth, Inflatable, Pattern
from shoprepair.jobs import links
from shoprepair.jobs.models import Customer, Damage, Enquiry, Job, Stage, StatusLink
from shoprepair.pricing.models import Material, Operation, Quote, QuoteLine, Repair
from shoprepair.shop.models import Pin, Staff
from shoprepair.shop.weeks import IsoWeek
from shoprepair.work.models import HandBack, HoldTest, Invoice, Lot, Step, Stint
from tests.attacks.routes import TABLE
from tests.attacks.test_routes import routes
from tests.pictures.table import NOT_PICTURED, STAGES

FORTY = 40
PENDING = (Stage.ASSESSED, Stage.QUOTE_OUT, Stage.CHECKED_IN, Stage.ENQUIRY)
AT_WORK = (Stage.BENCH, Stage.GO_AHEAD)


def _few(records: QuerySet[Any], damages: str) -> QuerySet[Any]:
    """Those that the jobs of forty damages have no part in."""
    return records.annotate(found=Count(damages, distinct=True)).filter(found__lt=FORTY)


def _in(*stages: str, **has: Any) -> QuerySet[Job]:
    """Jobs in these stages, the first of them first, the most urgent first in each."""
    wish = Case(*(When(stage=stage, then=Value(place)) for place, stage in enumerate(stages)))
    few = _few(Job.objects.all(), "damages")
    return few.filter(stage__in=stages, **has).order_by(wish, "-is_open", "rank", "pk")


def _newest(records: QuerySet[Any], **has: Any) -> QuerySet[Any]:
    return records.filter(**has).order_by("-pk")


_NUMBER = {"number": "number"}
_PK = {"pk": "pk"}
_OF_JOB = {"number": "job__number"}
_GEAR = {"pk": "inflatable_id"}
_DAMAGE = {"number": "job__number", "damage_number": "number"}
_FINDINGS = Damage.objects.filter(job__stage__in=PENDING, removed_at=None).order_by("-urgency", "pk")
_OUT_OF_HOUSE = _newest(_few(Cover.objects.all(), "inflatable__jobs__damages"), ending=None)
_STEPS = Step.objects.filter(job__in=_in(*AT_WORK), done_by=None).order_by("job__rank", "position")

_GONE = _newest(Customer.objects.exclude(jobs__is_open=True), erased_at=None)

Record = tuple[QuerySet[Any], Mapping[str, str]]
RECORDS: dict[str, Record] = {
    "switch-pin": (Pin.objects.all(), {"pk": "person_id"}),
    "check-in-gear": (_newest(Customer.objects.all(), erased_at=None), {"customer_id": "pk"}),
    "job-check-in": (_in(Stage.CHECKED_IN, Stage.ENQUIRY), _NUMBER),
    "job-checked-in": (_in(Stage.CHECKED_IN, Stage.ENQUIRY), _NUMBER),
    "enquiry-model": (_newest(Enquiry.objects.all(), job__stage=Stage.ENQUIRY), _OF_JOB),
    "damage": (_FINDINGS, _DAMAGE),
    "job": (_in(*PENDING), _NUMBER),
    "job-correct": (_in(*PENDING), _NUMBER),
    "work-order": (_in(*AT_WORK, *PENDING), _NUMBER),
    "bag-tag": (_in(*AT_WORK, *PENDING), _NUMBER),
    "repairs": (_in(*PENDING), _NUMBER),
    "repair": (
        _newest(Repair.objects.all(), damage__job__stage__in=PENDING),
        {"number": "damage__job__number", "pk": "pk"},
    ),
    "quote": (_in(*PENDING), _NUMBER),
    "quote-line": (
        _newest(QuoteLine.objects.all(), quote__state=Quote.State.DRAFT),
        {"number": "quote__job__number", "pk": "pk"},
    ),
    "quote-send": (_in(Stage.ASSESSED, quotes__state=Quote.State.DRAFT), _NUMBER),
    "quote-answer": (_in(Stage.QUOTE_OUT), _NUMBER),
    "quote-pdf": (_in(Stage.QUOTE_OUT), _NUMBER),
    "hand-back": (_in(Stage.READY, *PENDING), _NUMBER),
    "hand-back-pdf": (_newest(_few(HandBack.objects.all(), "job__damages")), _OF_JOB),
    "invoice-pdf": (_newest(_few(Invoice.objects.all(), "job__damages")), _OF_JOB),
    "gear": (_newest(Inflatable.objects.all(), jobs__isnull=False), _PK),
    "gear-retire": (_newest(Inflatable.objects.all()), _PK),
    "cover-pdf": (_OUT_OF_HOUSE, _GEAR),
    "cover-one": (_OUT_OF_HOUSE, _NUMBER),
    "claim": (
        _newest(Claim.objects.all()),
        {"number": "damage__job__number", "damage_number": "damage__number"},
    ),
    "transfer-offer": (_OUT_OF_HOUSE, _GEAR),
    "transfer-customer": (_OUT_OF_HOUSE, _GEAR),
    "transfer": (_newest(Transfer.objects.all()), _PK),
    "hold-test": (_newest(HoldTest.objects.all(), job__is_open=True), _OF_JOB),
    "bench-job": (_in(*AT_WORK), _NUMBER),
    "bench-found": (_in(*AT_WORK), _NUMBER),
    "bench-step": (_STEPS, {"number": "job__number", "pk": "pk"}),
    "step-materials": (_STEPS, {"number": "job__number", "pk": "pk"}),
    "material-stock": (_newest(Lot.objects.all()), {"pk": "material_id"}),
    "lot": (_newest(Lot.objects.all()), _PK),
    "person": (Staff.objects.exclude(role=Staff.Role.OWNER), _PK),
    "pattern": (Pattern.objects.order_by("pk"), _PK),
    "pattern-edit": (Pattern.objects.order_by("pk"), _PK),
    "cloth-edit": (Cloth.objects.order_by("pk"), _PK),
    "operation": (Operation.objects.order_by("pk"), _PK),
    "material": (Material.objects.order_by("pk"), _PK),
    "customer-data": (_newest(Customer.objects.all(), erased_at=None), _PK),
    "customer-erase": (_GONE, _PK),
}
"""The record that each route is shown with, and what of it its address names."""

TOKENS = {
    "enquiry-sent": lambda: _status_token(job__enquiry__isnull=False),
    "parcel-slip": lambda: _status_token(job__enquiry__comes=Enquiry.Comes.BY_POST),
    "status": lambda: _status_token(job__stage=Stage.QUOTE_OUT),
    "status-quote-pdf": lambda: _status_token(job__stage=Stage.QUOTE_OUT),
    "cover-page": lambda: _cover_token(),
    "cover-page-pdf": lambda: _cover_token(),
    "passing": lambda: next((transfer_links.token(one, "taker") for one in Transfer.objects.all()), ""),
}
"""The key that an address holds; empty where the shop gave none out."""

FIXED = {
    "c/<path:rest>": "/c/no/key/",
    "passing-unknown": "/o/no/key/",
    "status-unknown": "/s/no/key/",
    "mail-text": "/office/letters/quote-out/",
}


def everywhere() -> dict[str, str]:
    """The address of every page of this shop by its route's name, and those that `table.SPECIAL` asks for."""
    return {name: where for name, where in [*_walked(), *_asked_for()] if where}


def _walked() -> Iterator[tuple[str, str | None]]:
    for name, _ in routes():
        if name in TABLE and TABLE[name].look and name not in NOT_PICTURED:
            yield name, _address(name)


def _address(name: str) -> str | None:
    if name in FIXED:
        return FIXED[name]
    if name in RECORDS:
        return _of(name, *RECORDS[name])
    if name in TOKENS:
        return reverse(name, args=[token]) if (token := TOKENS[name]()) else None
    try:
        return reverse(name)
    except NoReverseMatch:
        timed = Stint.objects.order_by("began_at").last() if name == "bench-week" else None
        week = IsoWeek.of(timed.began_at) if timed else IsoWeek.of(timezone.now()).back(1)
        return reverse(name, args=[str(week)])


def _of(name: str, records: QuerySet[Any], named: Mapping[str, str]) -> str | None:
    found = records.values_list(*named.values()).first()
    return reverse(name, kwargs=dict(zip(named, found, strict=True))) if found else None


def _asked_for() -> Iterator[tuple[str, str | None]]:
    for stage in STAGES:
        yield f"job:{stage}", _of("job", _in(stage), _NUMBER)
        token = _status_token(job__stage=stage)
        yield f"status:{stage}", reverse("status", args=[token]) if token else None
    many = Job.objects.annotate(found=Count("damages")).filter(found__gte=FORTY)
    for screen in ("job", "job-check-in", "repairs", "quote", "work-order", "bag-tag"):
        yield f"{screen}:forty", _of(screen, many.filter(is_open=True), _NUMBER)
    home = many.filter(stage=Stage.HANDED_BACK)
    for screen in ("quote-pdf", "hand-back-pdf", "invoice-pdf"):
        yield f"{screen}:forty", _of(screen, home, _NUMBER)
    yield "cover-pdf:forty", _of("cover-pdf", home, _GEAR)
    yield "quote:draft", _of("quote", _in(Stage.ASSESSED, quotes__state=Quote.State.DRAFT), _NUMBER)
    yield "quote:out", _of("quote", _in(Stage.QUOTE_OUT), _NUMBER)
    yield "quote:answered", _of("quote", _in(Stage.GO_AHEAD, Stage.BENCH), _NUMBER)
    claimed = _newest(Claim.objects.all()).values_list("cover__inflatable_id", flat=True).first()
    yield "gear:claimed", reverse("gear", args=[claimed]) if claimed else None


def _status_token(**of: Any) -> str:
    live = StatusLink.objects.filter(withdrawn_at=None, **of).order_by("job__rank", "pk")
    return next((links.token(link) for link in live.select_related("job")), "")


def _cover_token() -> str:
    few = _few(CoverLink.objects.all(), "inflatable__jobs__damages")
    given = few.filter(withdrawn_at=None).order_by("-pk")
    return next((cover_links.token(link) for link in given.select_related("inflatable")), "")
