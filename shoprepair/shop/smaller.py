"""Pages go over the line compressed: a tenth of their bytes on a tablet's wireless line.

Only what is text. Photos and papers are compressed already. A whole page goes as Brotli where the browser
reads it, which remembers the whole rack and not its last ten rows; parts of pages go as gzip. Either gets a
random length besides, so that nobody learns from the lengths of many answers what stands beside something
they sent themselves [Gluck, Harris, Prado 2013, BREACH; Django's own measure for gzip].
"""

import secrets

import brotli
from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.middleware.gzip import GZipMiddleware
from django.utils.cache import patch_vary_headers

TEXT = ("text/html", "image/svg+xml", "application/json")
WORTH_IT = 200
"""Bytes; below, what is saved is less than what it takes to say so."""
MOST_ADDED = 100
"""Bytes of random length, as many as Django adds to gzip."""
QUALITY = 7
"""Two per cent lighter than 5 for a fifth of a millisecond; 9 takes ten times as long for next to nothing."""


class SmallerMiddleware(GZipMiddleware):
    """Compresses what a browser that can read it so is answered with."""

    max_random_bytes = MOST_ADDED

    def process_response(self, request: HttpRequest, response: HttpResponseBase) -> HttpResponseBase:
        kind = response.get("Content-Type", "")
        if not isinstance(response, HttpResponse) or not kind.startswith(TEXT):
            return response
        if _goes_as_brotli(request, response):
            return _as_brotli(response)
        return super().process_response(request, response)


def _goes_as_brotli(request: HttpRequest, response: HttpResponse) -> bool:
    """Whether it is a whole page, in which a remark at the end is in nobody's way."""
    return (
        len(response.content) >= WORTH_IT
        and not response.has_header("Content-Encoding")
        and response.content.lstrip()[:9].lower() == b"<!doctype"
        and reads(request, "br")
    )


def reads(request: HttpRequest, coding: str) -> bool:
    """Whether the browser says that it reads what is compressed so [RFC 9110, section 12.5.3]."""
    for told in request.headers.get("Accept-Encoding", "").split(","):
        name, _, weight = told.replace(" ", "").partition(";q=")
        if name == coding:
            return weight.strip("0.") != "" or not weight
    return False


def _as_brotli(response: HttpResponse) -> HttpResponse:
    added = secrets.token_urlsafe(MOST_ADDED)[: secrets.randbelow(MOST_ADDED)]
    page = response.content + b"<!-- " + added.encode() + b" -->"
    response.content = brotli.compress(page, mode=brotli.MODE_TEXT, quality=QUALITY)
    response.headers["Content-Encoding"] = "br"
    response.headers["Content-Length"] = str(len(response.content))
    patch_vary_headers(response, ("Accept-Encoding",))
    return response
