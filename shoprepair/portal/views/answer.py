"""The customer's answer to a quote."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from shoprepair.jobs import links
from shoprepair.jobs.models import StatusLink
from shoprepair.portal.guard import by_link


@by_link
@require_http_methods(["GET", "HEAD", "POST"])
def answer(_request: HttpRequest, link: StatusLink) -> HttpResponse:
    """Take the answer to the quote that was shown."""
    return redirect(f"{links.path(link)}#quote")
