"""The office's first page: how the shop stands today, and where its owner can go."""

from dataclasses import dataclass
from datetime import date
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from shoprepair.gear.models import Cloth, Pattern
from shoprepair.jobs import queries
from shoprepair.jobs.models import Hold, Job
from shoprepair.mechanics.description import Band
from shoprepair.office.views.load_cases import is_due
from shoprepair.pricing.models import Material, Operation
from shoprepair.shop.access import owner_only
from shoprepair.shop.models import Staff
from shoprepair.shop.outbox import worker
from shoprepair.shop.settings import load_figures
from shoprepair.work import forecast
from shoprepair.work.models import Holiday

LATE_SHOWN = 12


@dataclass(frozen=True, slots=True)
class Number:
    """A big number and the list behind it."""

    count: int
    label: str
    url: str
    band: str = ""


@dataclass(frozen=True, slots=True)
class Late:
    job: Job
    words: str


@owner_only
@require_safe
def office(request: HttpRequest) -> HttpResponse:
    today = timezone.localdate()
    late = Job.objects.filter(is_open=True, promised_on__lt=today)
    page = {
        "numbers": _numbers(late.count()),
        "late": [
            Late(job, _days_late(job, today))
            for job in late.select_related("customer", "inflatable__pattern").order_by("promised_on")[
                :LATE_SHOWN
            ]
        ],
        "will_be_late": forecast.late_jobs().count(),
        "holidays": Holiday.objects.filter(last_day__gte=today).count(),
        "people": Staff.objects.filter(is_active=True).count(),
        "patterns": Pattern.objects.filter(measured_here=False).count(),
        "cloths": Cloth.objects.count(),
        "operations": Operation.objects.filter(active=True).count(),
        "materials": Material.objects.filter(active=True).count(),
        "due": is_due(load_figures()),
        "outbox": worker.standing(request.shop),
    }
    return render(request, "office/office.html", page)


def _numbers(late: int) -> list[Number]:
    open_jobs = queries.counts()
    customer = Hold.CUSTOMER.value
    return [
        Number(open_jobs.total, "open jobs", reverse("rack")),
        Number(open_jobs.bands[Band.GROUNDED], "grounded", _rack(band=Band.GROUNDED), Band.GROUNDED),
        Number(late, "late", "#late"),
        Number(open_jobs.holds[customer], "waiting for the customer", _rack(hold=customer)),
    ]


def _rack(**chosen: str) -> str:
    return f"{reverse('rack')}?{urlencode(chosen)}"


def _days_late(job: Job, today: date) -> str:
    days = (today - job.promised_on).days
    return "1 day late" if days == 1 else f"{days} days late"
