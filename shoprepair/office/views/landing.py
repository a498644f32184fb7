"""The office's first page: the owner's evening, and the ways to all that the shop is set up with."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from shoprepair.jobs import judging_anew
from shoprepair.office import evening
from shoprepair.office.demo import removing
from shoprepair.office.first_steps import first_steps, next_open
from shoprepair.shop import log_ins, second_factor
from shoprepair.shop.access import owner_only
from shoprepair.shop.backup import standing as backups
from shoprepair.shop.outbox import worker
from shoprepair.shop.weeks import IsoWeek


@owner_only
@require_safe
def office(request: HttpRequest) -> HttpResponse:
    now, own = timezone.now(), request.shop.currency
    week = IsoWeek.of(now)
    standing = evening.standing(timezone.localdate())
    page = {
        **standing,
        "week": week,
        "due": judging_anew.is_due(),
        "outbox": worker.standing(request.shop),
        "failed_log_ins": log_ins.told_lately(),
        "backup_troubles": backups.troubles(),
        "is_demo": removing.is_offered(),
        "demo_back": removing.to_bring_back(),
        "wants_second_factor": second_factor.should_be_set_up(request, request.user),
    }
    if standing["any_job"]:
        page |= {
            "decisions": evening.decisions(now, own),
            "in_the_shop": evening.in_the_shop(),
            "money": evening.money_of(week, own),
            "bench": evening.bench_of(week, now),
        }
    else:
        page["steps"] = first_steps(request.shop)
        page["next"] = next_open(page["steps"])
    return render(request, "office/office.html", page)
