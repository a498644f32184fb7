"""What is shown when a request came to nothing, and how it is found again in the log."""

import io
import json
import logging
import re

import pytest
from django.core.exceptions import PermissionDenied, RequestDataTooBig, SuspiciousOperation
from django.http import Http404, HttpRequest
from django.test import Client
from django.urls import path

from shoprepair import urls
from shoprepair.shop.logs import Json, WithoutKeys

IN_PART = {"HX-Request": "true"}
NUMBER = re.compile(r"(?<=<strong>)[2-9a-z]{8}(?=</strong>)")
SECRET = "an address of somebody@lee.example"


def fails(request: HttpRequest, kind: str) -> None:
    """A view that comes to nothing as the address says."""
    raise {
        "fault": ZeroDivisionError(SECRET),
        "refused": PermissionDenied("Only the owner may do that."),
        "gone": Http404(),
        "large": RequestDataTooBig("Request body exceeded settings.DATA_UPLOAD_MAX_MEMORY_SIZE."),
        "odd": SuspiciousOperation("odd"),
    }[kind]


class Urls:
    urlpatterns = [path("fails/<kind>/", fails), *urls.urlpatterns]
    handler400, handler403, handler404, handler500 = (
        urls.handler400,
        urls.handler403,
        urls.handler404,
        urls.handler500,
    )


@pytest.fixture
def client(settings, as_person, counter) -> Client:
    settings.ROOT_URLCONF = Urls
    client = as_person(counter)
    client.raise_request_exception = False
    return client


@pytest.fixture
def log(monkeypatch) -> io.StringIO:
    """What stands in the log, a line of JSON a record."""
    written = io.StringIO()
    handler = logging.StreamHandler(written)
    handler.setFormatter(Json())
    handler.addFilter(WithoutKeys())
    monkeypatch.setattr(logging.getLogger(), "handlers", [handler])
    return written


def test_the_page_about_a_fault_has_the_number_of_its_line_in_the_log_and_tells_nothing_else(
    client: Client, log: io.StringIO
) -> None:
    answer = client.get("/fails/fault/")
    (number,) = NUMBER.findall(answer.content.decode())
    (line,) = [json.loads(line) for line in log.getvalue().splitlines()]
    assert (answer.status_code, line["request"], answer["X-Request-ID"]) == (500, number, number)
    assert "ZeroDivisionError" in line["trace"]
    assert "ZeroDivisionError" not in answer.content.decode()
    assert "somebody" not in log.getvalue() + answer.content.decode()


def test_a_fault_in_a_part_of_a_page_is_said_in_one_sentence_with_its_number(
    client: Client, log: io.StringIO
) -> None:
    answer = client.post("/fails/fault/", headers=IN_PART)
    number = json.loads(log.getvalue().splitlines()[0])["request"]
    assert answer.status_code == 500
    assert answer["X-Sentence"] == answer.content.decode()
    assert number in answer["X-Sentence"]
    assert "<" not in answer.content.decode()


@pytest.mark.parametrize(
    ("kind", "status", "words"),
    [
        ("refused", 403, "Only the owner may do that."),
        ("gone", 404, "nothing at this address"),
        ("large", 413, "too much at once"),
        ("odd", 400, "not understood"),
    ],
)
def test_every_refusal_is_a_page_of_ours_and_in_part_a_sentence(
    client: Client, kind: str, status: int, words: str
) -> None:
    whole, part = client.get(f"/fails/{kind}/"), client.get(f"/fails/{kind}/", headers=IN_PART)
    assert (whole.status_code, part.status_code) == (status, status)
    assert words in whole.content.decode()
    assert "/static/css/fonts+tokens+base+parts" in whole.content.decode()
    assert part["X-Sentence"].endswith(".")
    assert "<html" not in part.content.decode()


@pytest.mark.parametrize("headers", [{}, IN_PART])
def test_a_form_from_before_a_log_in_is_refused_in_words(settings, counter, headers) -> None:
    client = Client(enforce_csrf_checks=True)
    client.force_login(counter)
    answer = client.post("/log-out/", headers=headers)
    assert answer.status_code == 403
    assert "logged in or out on this device" in answer.content.decode()
    assert bool(headers) == ("X-Sentence" in answer)


def test_whoever_stands_outside_is_not_sent_to_the_rack(client: Client, monkeypatch) -> None:
    monkeypatch.setattr("shoprepair.health.views.standing", lambda: fails(None, "fault"))
    page = client.get("/ready/").content.decode()
    assert NUMBER.search(page)
    assert "tell the shop" in page
    assert "rack" not in page


def test_a_page_that_breaks_itself_still_tells_its_number(client: Client, settings) -> None:
    settings.STORAGES = settings.STORAGES | {
        "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"}
    }
    answer = client.get("/fails/fault/")
    assert answer.status_code == 500
    assert answer["X-Request-ID"] in answer.content.decode()
    assert "/static/css/" not in answer.content.decode()


def test_two_requests_have_two_numbers(client: Client) -> None:
    assert client.get("/alive/")["X-Request-ID"] != client.get("/alive/")["X-Request-ID"]
