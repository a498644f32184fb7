"""The rack beside a page of the same bytes that stands still: what a list costs beyond being sent.

Both go through the whole server program of this process, with every middleware, for somebody who is logged
in and whose browser takes pages compressed, as all do. Nothing is warm that would not be warm in a shop: the
rack was opened before, and nothing on it has changed since.
"""

import gc
from collections.abc import Iterator
from io import BytesIO
from typing import Any

from django.core.wsgi import get_wsgi_application
from django.http import HttpRequest, HttpResponse
from django.test import Client, override_settings
from django.urls import path, reverse

from shoprepair import urls
from tests.measure.fastest import fastest
from tests.measure.said import Said

MOST = 5.0
FEWEST_ROWS = 50
STILL = "/still/"
_kept: list[bytes] = []


def _still(_request: HttpRequest) -> HttpResponse:
    return HttpResponse(_kept[0])


urlpatterns = [path("still/", _still), *urls.urlpatterns]


def beside_a_still_page(person: Client, rounds: int = 25) -> Iterator[Said]:
    """The shortest times of both, in turn; compressed, and as they are."""
    with override_settings(ROOT_URLCONF=__name__):
        rack = _ask(person, reverse("rack"), "")
        rows = rack.count(b'class="row-tag')
        assert rows >= FEWEST_ROWS, f"{rows} rows"
        _kept[:] = [rack]
        # As a worker of the server does before its first request (`serve.post_worker_init`).
        gc.collect()
        gc.freeze()
        for taken, how in (("gzip", "compressed"), ("", "not compressed")):
            best = fastest(
                {
                    "rack": lambda taken=taken: _ask(person, reverse("rack"), taken),
                    "still": lambda taken=taken: _ask(person, STILL, taken),
                },
                rounds,
            )
            note = (
                f"{best['rack'] * 1000:.1f} ms, {best['still'] * 1000:.1f} ms; {rows} rows, {len(rack):,} B"
            )
            said = f"rack to a page of the same bytes that stands still, {how}"
            yield Said(said, best["rack"] / best["still"], MOST, note=note)
        gc.unfreeze()


_answers = get_wsgi_application()


def _ask(person: Client, address: str, taken: str) -> bytes:
    """As the server's program is called for a request; raises where the page is not there."""
    said: list[str] = []

    def begin(status: str, _heads: list[tuple[str, str]], _error: Any = None) -> None:
        said.append(status)

    environ = {
        "REQUEST_METHOD": "GET",
        "PATH_INFO": address,
        "QUERY_STRING": "",
        "SERVER_NAME": "127.0.0.1",
        "SERVER_PORT": "80",
        "HTTP_HOST": "127.0.0.1",
        "HTTP_ACCEPT_ENCODING": taken,
        "HTTP_COOKIE": "; ".join(f"{name}={morsel.value}" for name, morsel in person.cookies.items()),
        "REMOTE_ADDR": "127.0.0.1",
        "wsgi.url_scheme": "http",
        "wsgi.input": BytesIO(),
    }
    answer = _answers(environ, begin)
    body = b"".join(answer)
    answer.close()
    assert said == ["200 OK"], f"{address}: {said}"
    return body
