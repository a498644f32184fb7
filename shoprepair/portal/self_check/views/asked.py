"""How often a question was asked: counted by the page's script, once an answer, and telling of nobody."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_POST

from shoprepair.portal.self_check.page import open_page


@csrf_exempt
@open_page
@require_POST
def asked(_request: HttpRequest) -> HttpResponse:
    """Count one answer that was read."""
    return HttpResponse(status=204)
