"""How much of a request is read at all."""

import pytest
from django.test import RequestFactory
from django.urls import reverse

from shoprepair.shop.bodies import MOST_BYTES
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
