"""The page under a status link, and what is fetched from it. Opening any of it changes nothing."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from shoprepair.jobs import photos
from shoprepair.jobs.models import StatusLink
from shoprepair.papers import quote as paper
from shoprepair.papers.answer import pdf_response
from shoprepair.portal.findings import shared_photos
from shoprepair.portal.guard import by_link, gone, public
from shoprepair.portal.page import base_url, page
from shoprepair.pricing import quotes


@by_link
@require_safe
def status(request: HttpRequest, link: StatusLink) -> HttpResponse:
    """Where the job stands, what was found, what it costs, what was said."""
    return page(request, link)


@by_link
@require_safe
def photo(request: HttpRequest, link: StatusLink, key: str, size: str) -> HttpResponse:
    """One of the photos that the shop lets this customer see."""
    found = next((one for one in shared_photos(link.job) if one.key == key), None)
    if found is None or size not in photos.SIZES:
        return gone(request)
    try:
        return HttpResponse(photos.path(found, size).read_bytes(), content_type="image/jpeg")
    except FileNotFoundError:
        return gone(request)


@by_link
@require_safe
def quote_pdf(request: HttpRequest, link: StatusLink) -> HttpResponse:
    """The quote that the page shows, as a PDF to keep or to print."""
    quote = quotes.current(link.job)
    if quote is None:
        return gone(request)
    content = paper.render(quote, paper=request.shop.paper, base_url=base_url(request))
    return pdf_response(content, f"quote-{paper.number(quote)}.pdf")


@public
def unknown(request: HttpRequest, **_rest: str) -> HttpResponse:
    """Any other address that begins as a status link does."""
    return gone(request)
