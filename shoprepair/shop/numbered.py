"""Every request has a number, which its lines in the log and the page about its failure share."""

import secrets
from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

from shoprepair.shop.logs import request_id

LETTERS = "23456789abcdefghjkmnpqrstuvwxyz"
"""None that is taken for another when it is read out on the phone."""
LENGTH = 8


class NumberedMiddleware:
    """Stands before all others, so that whatever they write is found again."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        number = "".join(secrets.choice(LETTERS) for _ in range(LENGTH))
        # It stands until this thread's next request: Django writes of a refusal after the last middleware.
        request_id.set(number)
        response = self.get_response(request)
        response["X-Request-ID"] = number
        return response
