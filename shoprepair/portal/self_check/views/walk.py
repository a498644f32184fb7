"""Every question and the answer: which of them is shown, the address alone decides."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from shoprepair.portal.self_check.page import open_page, shown


@open_page
@require_safe
def walk(request: HttpRequest) -> HttpResponse:
    """The next question that is open, or what is advised."""
    return shown(request, "portal/self_check/step.html", {})
