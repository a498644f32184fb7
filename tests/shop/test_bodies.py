"""How much of a request is read at all."""

import pytest
from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, HttpResponse
from django.http.multipartparser import MultiPartParserError
from django.test import RequestFactory
from django.urls import reverse

from shoprepair.shop.bodies import MOST_BYTES, BodiesMiddleware, bounds_itself
from tests.factories import DamageFactory

pytestmark = pytest.mark.django_db


class Unread:
    """A body that nobody may begin to read."""

    def read(self, *_: object) -> bytes:
        raise AssertionError("It was read.")

    readline = read


@pytest.fixture
def client(as_person, counter):
    client = as_person(counter)
    client.raise_request_exception = False
    return client


def sent(length: object) -> dict[str, object]:
    return {
        "CONTENT_TYPE": "multipart/form-data; boundary=wing",
        "CONTENT_LENGTH": str(length),
        "wsgi.input": Unread(),
        "REQUEST_METHOD": "POST",
    }


def test_two_hundred_megabytes_are_refused_before_the_first_is_read(client):
    job = DamageFactory().job
    answer = client.generic("POST", reverse("photo-add", args=[job.number]), **sent(200_000_000))
    assert answer.status_code == 413
    assert "too much at once" in answer.content.decode()


def test_somebody_outside_sends_no_more_than_that_either(stranger):
    stranger.raise_request_exception = False
    assert stranger.generic("POST", reverse("login"), **sent(MOST_BYTES + 1)).status_code == 413


def test_of_what_states_no_length_nothing_is_read(client):
    job = DamageFactory().job
    chunked = {**sent(""), "HTTP_TRANSFER_ENCODING": "chunked"}
    answer = client.generic("POST", reverse("photo-add", args=[job.number]), **chunked)
    assert answer.status_code == 422
    assert "No photo was chosen" in answer.content.decode()


def test_a_whole_archive_may_be_longer(client, rf: RequestFactory):
    answer = client.generic("POST", reverse("archive-import"), **sent(200_000_000))
    assert answer.status_code == 403


def test_a_form_as_long_as_any_may_be_is_read_and_a_byte_more_only_where_a_page_bounds_itself(rf):
    def page(_request: HttpRequest) -> HttpResponse:
        return HttpResponse()

    stands_before, post = BodiesMiddleware(page), rf.generic
    stands_before.process_view(post("POST", "/", **sent(MOST_BYTES)), page)
    longer = post("POST", "/", **sent(MOST_BYTES + 1))
    with pytest.raises(RequestDataTooBig, match=f"^More than {MOST_BYTES} bytes were sent.$"):
        stands_before.process_view(longer, page)
    stands_before.process_view(longer, bounds_itself(page))


def test_of_a_photo_that_turns_unreadable_on_its_way_nothing_stays_on_the_disk(rf, settings, tmp_path):
    settings.FILE_UPLOAD_TEMP_DIR, settings.FILE_UPLOAD_MAX_MEMORY_SIZE = tmp_path, 10
    head = (
        b'--wing\r\nContent-Disposition: form-data; name="photo"; filename="wing.jpg"\r\n'
        b"Content-Transfer-Encoding: base64\r\n\r\n"
    )
    cut_off = head + b"A" * 4999 + b"\r\n--wing--\r\n"
    request = rf.generic("POST", "/", cut_off, "multipart/form-data; boundary=wing")

    def page(request: HttpRequest) -> HttpResponse:
        with pytest.raises(MultiPartParserError):
            request.FILES  # noqa: B018 - reading it is what fails
        assert len(list(tmp_path.iterdir())) == 1
        return HttpResponse()

    assert BodiesMiddleware(page)(request).status_code == 200
    assert not list(tmp_path.iterdir())
