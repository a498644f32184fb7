"""In which language a visitor reads: the one in the address, else the first of the browser's that we have.

Who asks for none that we have reads the shop's own.
"""

from collections.abc import Callable, Iterator
from functools import wraps
from typing import Any, NamedTuple

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.utils import translation
from django.utils.cache import patch_vary_headers
from django.utils.translation.trans_real import parse_accept_lang_header

PARAMETER = "lang"
OFFERED = tuple(code for code, _name in settings.LANGUAGES)
"""What is wholly translated, and kept so by a test."""


class Switch(NamedTuple):
    """One language to read in: its own name, and the address of this page in it."""

    code: str
    name: str
    address: str
    is_read: bool


def in_their_language(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Let a view speak the visitor's language, in its own words and in the page that it renders."""

    @wraps(view)
    def spoken(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        code = of(request)
        with translation.override(code):
            response = view(request, *args, **kwargs)
            if callable(getattr(response, "render", None)):
                response = response.render()  # type: ignore[attr-defined]
        response["Content-Language"] = code
        patch_vary_headers(response, ("Accept-Language",))
        return response

    return spoken


def of(request: HttpRequest) -> str:
    """Code of the language that this request is answered in."""
    return chosen(request) or _accepted(request) or str(request.shop.language)


def chosen(request: HttpRequest) -> str:
    """Code of the language that the address names; empty where it names none that we have."""
    code = request.GET.get(PARAMETER, "")
    return code if code in OFFERED else ""


def switches(request: HttpRequest) -> Iterator[Switch]:
    """Every language, with the address that shows the same page in it."""
    names, read = dict(settings.LANGUAGES), of(request)
    for code in OFFERED:
        query = request.GET.copy()
        query[PARAMETER] = code
        yield Switch(code, names[code], f"{request.path}?{query.urlencode()}", code == read)


def _accepted(request: HttpRequest) -> str:
    for wanted, _weight in parse_accept_lang_header(request.headers.get("Accept-Language", "")):
        code = wanted.split("-")[0]
        if code in OFFERED:
            return code
    return ""
