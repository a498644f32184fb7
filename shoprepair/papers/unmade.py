"""When a paper was not made: a page that says why, and what to do."""

from collections.abc import Callable
from http import HTTPStatus

from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.utils import translation
from django.utils.cache import patch_vary_headers

from shoprepair.papers.printing.order import Unmade, Why

RETRY_AFTER_S = 60
STATUS = {Why.TOO_LONG: HTTPStatus.UNPROCESSABLE_ENTITY, Why.NOT_NOW: HTTPStatus.SERVICE_UNAVAILABLE}
HEADERS = {
    "Cache-Control": "private, no-store",
    "Referrer-Policy": "no-referrer",
    "X-Robots-Tag": "noindex, nofollow, noarchive",
}


class UnmadeMiddleware:
    """Answers where a view has met a paper that was not made. What the program broke over stays a fault."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """The page, or None for any other trouble."""
        if not isinstance(error, Unmade) or error.why not in STATUS:
            return None
        outside = _is_outside(request)
        with translation.override(
            translation.get_language_from_request(request) if outside else translation.get_language()
        ):
            response = HttpResponse(
                render_to_string(
                    "papers/unmade.html",
                    {
                        "too_long": error.why == Why.TOO_LONG,
                        "outside": outside,
                        "here": request.get_full_path(),
                        "number": _number(request),
                    },
                ),
                status=STATUS[error.why],
                headers=HEADERS,
            )
        if error.why == Why.NOT_NOW:
            response["Retry-After"] = str(RETRY_AFTER_S)
        if outside:
            patch_vary_headers(response, ("Accept-Language",))
        return response


def _is_outside(request: HttpRequest) -> bool:
    """Whether the page is one for people who do not work here."""
    match = request.resolver_match
    return match is not None and not getattr(match.func, "login_required", True)


def _number(request: HttpRequest) -> int | None:
    """Of the job that the paper was to be of; none where it is of something else."""
    match = request.resolver_match
    job = match is not None and match.route.startswith("jobs/")
    return match.kwargs.get("number") if match is not None and job else None
