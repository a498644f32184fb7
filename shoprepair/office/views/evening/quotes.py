"""The quotes that await an answer, the longest first."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from shoprepair.pricing.sums import add_up, say_sums
from shoprepair.pricing.waiting import quotes_out
from shoprepair.shop.access import owner_only


@owner_only
@require_safe
def waiting(request: HttpRequest) -> HttpResponse:
    out = quotes_out(timezone.localdate())
    page = {
        "waiting": out,
        "total": say_sums(add_up(each.money for each in out), request.shop.currency),
        "expired": sum(each.expired for each in out),
        "soon": sum(each.soon for each in out),
        "additions": sum(each.addition for each in out),
    }
    return render(request, "office/evening/quotes_waiting.html", page)
