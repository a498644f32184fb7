"""Pages come compressed to whoever can read them so, papers and photos as they are."""

import gzip
import re

import brotli
import pytest
from django.http import HttpResponse, HttpResponseNotModified, StreamingHttpResponse
from django.test import RequestFactory
from django.urls import reverse

from shoprepair.shop.models import Staff
from shoprepair.shop.smaller import SmallerMiddleware
from tests.factories import JobFactory

LONG = b"<p>A tube holds air.</p>" * 200
WHOLE = b"\n<!DOCTYPE html>\n<html><body>" + LONG + b"</body></html>\n"


def answered(rf: RequestFactory, answer: HttpResponse, **headers: str) -> HttpResponse:
    return SmallerMiddleware(lambda _: answer)(rf.get("/", headers=headers))


def test_a_page_is_a_fraction_of_itself_and_reads_the_same(rf: RequestFactory) -> None:
    answer = answered(rf, HttpResponse(LONG), accept_encoding="gzip")
    assert answer["Content-Encoding"] == "gzip"
    assert len(answer.content) < len(LONG) / 5
    assert gzip.decompress(answer.content) == LONG


def test_a_whole_page_is_smaller_still_and_says_nothing_else(rf: RequestFactory) -> None:
    answer = answered(rf, HttpResponse(WHOLE), accept_encoding="gzip, deflate, br")
    assert (answer["Content-Encoding"], answer["Vary"]) == ("br", "Accept-Encoding")
    assert answer["Content-Length"] == str(len(answer.content))
    read = brotli.decompress(answer.content)
    assert read.startswith(WHOLE)
    assert re.fullmatch(rb"<!-- [A-Za-z0-9_-]*? -->", read.removeprefix(WHOLE))


def test_a_part_of_a_page_has_no_remark_at_its_end(rf: RequestFactory) -> None:
    answer = answered(rf, HttpResponse(LONG), accept_encoding="gzip, br")
    assert gzip.decompress(answer.content) == LONG


@pytest.mark.parametrize(
    ("told", "which"),
    [
        ("br;q=1.0, gzip", "br"),
        ("gzip, br;q=0", "gzip"),
        ("gzip, br; q=0.0", "gzip"),
        ("brown", None),
    ],
)
def test_nobody_gets_what_they_cannot_read(rf: RequestFactory, told: str, which: str | None) -> None:
    assert answered(rf, HttpResponse(WHOLE), accept_encoding=told).get("Content-Encoding") == which


def test_kept_answers_are_told_apart_by_what_a_browser_can_read(rf: RequestFactory) -> None:
    answer = answered(rf, HttpResponse(LONG))
    assert not answer.has_header("Content-Encoding")
    assert answer["Vary"] == "Accept-Encoding"
    assert answer.content == LONG


@pytest.mark.parametrize("kind", ["application/pdf", "image/jpeg", "application/zip"])
def test_what_is_compressed_already_is_left_as_it_is(rf: RequestFactory, kind: str) -> None:
    answer = answered(rf, HttpResponse(LONG, content_type=kind), accept_encoding="gzip")
    assert answer.content == LONG


def test_what_has_not_changed_has_nothing_to_compress(rf: RequestFactory) -> None:
    answer = answered(rf, HttpResponseNotModified(), accept_encoding="gzip, br")
    assert (answer.status_code, answer.content) == (304, b"")


def test_what_comes_in_pieces_is_left_as_it_is(rf: RequestFactory) -> None:
    answer = answered(rf, StreamingHttpResponse([LONG]), accept_encoding="gzip")
    assert b"".join(answer.streaming_content) == LONG


def test_the_same_page_has_another_length_each_time(rf: RequestFactory) -> None:
    for coding, page in (("gzip", LONG), ("br", WHOLE)):
        lengths = {len(answered(rf, HttpResponse(page), accept_encoding=coding).content) for _ in range(40)}
        assert len(lengths) > 1


@pytest.mark.django_db
def test_the_rack_goes_over_the_line_compressed(client, counter: Staff) -> None:
    JobFactory.create_batch(12)
    client.force_login(counter)
    whole = client.get(reverse("rack"))
    small = client.get(reverse("rack"), headers={"accept-encoding": "gzip, br"})
    assert len(small.content) < len(whole.content) / 3
