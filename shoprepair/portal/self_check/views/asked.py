"""How often a question was asked: counted by the page's script, once an answer, and telling of nobody."""

import datetime

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_POST

from shoprepair.jobs import tallies
from shoprepair.jobs.advice import advise_told
from shoprepair.portal.self_check import address
from shoprepair.portal.self_check.page import open_page
from shoprepair.shop import limits

MOST_AN_HOUR = 60
OUR_OWN = frozenset({"same-origin", "none", ""})


@csrf_exempt
@open_page
@require_POST
def asked(request: HttpRequest) -> HttpResponse:
    """Count one answer that was read. Whatever else is sent changes nothing."""
    told = address.from_query(request.POST).told
    if not told.missing() and _counts(request):
        tallies.count(told, advise_told(told), timezone.localdate())
    return HttpResponse(status=204)


def _counts(request: HttpRequest) -> bool:
    if request.headers.get("Sec-Fetch-Site", "") not in OUR_OWN:
        return False
    whom = limits.address(request)
    return limits.allow("self-check-tally", whom, most=MOST_AN_HOUR, per=datetime.timedelta(hours=1))
