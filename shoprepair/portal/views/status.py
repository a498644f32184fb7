"""The page under a status link, and what is fetched from it. Opening any of it changes nothing."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from shoprepair.jobs import photos
from shoprepair.jobs.models import Job, StatusLink
from shoprepair.papers import quote as paper
from shoprepair.papers.answer import pdf_response
from shoprepair.portal.findings import shared_photos
from shoprepair.portal.guard import by_link, gone, keyed, missed
from shoprepair.portal.page import base_url, page
from shoprepair.pricing import quotes
from shoprepair.pricing.models import Quote


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
        return HttpResponse(photos.file(found, size).read_bytes(), content_type="image/jpeg")
    except OSError:
        return HttpResponse(
            photos.IN_ITS_PLACE,
            status=404,
            content_type="image/svg+xml",
            headers={"Cache-Control": "private, no-store"},
        )


@by_link
@require_safe
def quote_pdf(request: HttpRequest, link: StatusLink) -> HttpResponse:
    """The quote that the page shows, or the one of this number beside it, as a PDF to keep or to print."""
    quote = _shown(link.job, request.GET.get("number", ""))
    if quote is None:
        return gone(request)
    content = paper.render(quote, paper=request.shop.paper, base_url=base_url(request))
    return pdf_response(content, f"quote-{paper.number(quote)}.pdf")


def _shown(job: Job, number: str) -> Quote | None:
    current = quotes.current(job)
    if not number:
        return current
    beside = [*quotes.agreements(job), *quotes.declined_additions(job)]
    return next((one for one in [current, *beside] if one and str(one.number) == number), None)


@keyed
def unknown(request: HttpRequest, **_rest: str) -> HttpResponse:
    """Any other address that begins as a status link does."""
    return missed(request)
