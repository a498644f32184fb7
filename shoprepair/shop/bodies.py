"""How much of a request is read at all. What is longer is refused before its first byte is."""

from collections.abc import Callable
from typing import Any

from django.core.exceptions import RequestDataTooBig
from django.core.files.uploadedfile import TemporaryUploadedFile
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext

MOST_BYTES = 110_000_000
"""Four photos as large as they may be, and what is written beside them."""
View = Callable[..., HttpResponse]


class BodiesMiddleware:
    """Stands before whatever reads a form: the key in it is looked at only once its length is known."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        try:
            return self.get_response(request)
        finally:
            _take_away(request)

    def process_view(self, request: HttpRequest, view: View, *_: Any) -> None:
        """Raises RequestDataTooBig. A request that states no length has nothing that is read."""
        length = request.META.get("CONTENT_LENGTH") or "0"
        if getattr(view, "bounds_itself", False) or not length.isdecimal():
            return
        if int(length) > MOST_BYTES:
            raise RequestDataTooBig(
                gettext("More than %(MOST_BYTES)s bytes were sent.") % {"MOST_BYTES": MOST_BYTES}
            )


def _take_away(request: HttpRequest) -> None:
    """Close, and so delete, what came in parts of which one could not be read: Django forgets it there."""
    for handler in request.upload_handlers if request.content_type == "multipart/form-data" else ():
        file = getattr(handler, "file", None)
        if isinstance(file, TemporaryUploadedFile):
            file.close()


def bounds_itself(view: View) -> View:
    """Decorate a view that takes more, or that has words of its own for too much."""
    view.bounds_itself = True  # type: ignore[attr-defined]
    return view
