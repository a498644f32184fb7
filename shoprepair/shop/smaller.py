"""Pages go over the line compressed: a fifth to a tenth of their bytes on a tablet's wireless line.

Only what is text. Photos and papers are compressed already, and files of the program ahead of time. An
answer gets a random length besides (Django's own measure), so that nobody learns from the lengths of many
answers what stands beside something they sent themselves.
"""

from django.http import HttpRequest
from django.http.response import HttpResponseBase
from django.middleware.gzip import GZipMiddleware

TEXT = ("text/html", "image/svg+xml", "application/json")


class SmallerMiddleware(GZipMiddleware):
    """Compresses what a browser that can read it so is answered with."""

    def process_response(self, request: HttpRequest, response: HttpResponseBase) -> HttpResponseBase:
        if response.streaming or not response.get("Content-Type", "").startswith(TEXT):
            return response
        return super().process_response(request, response)
