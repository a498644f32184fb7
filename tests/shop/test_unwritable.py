"""A zero byte, which a database server cannot write, never reaches one and breaks no page."""

import pytest
from django.core.exceptions import BadRequest
from django.db import DataError
from django.http import HttpResponse
from django.test import RequestFactory
from django.urls import reverse

from shoprepair.jobs.models import Customer
from shoprepair.shop.unwritable import UnwritableMiddleware

pytestmark = pytest.mark.django_db


def test_a_zero_byte_in_a_name_is_kept_as_a_sign_that_everybody_sees(counter, as_person):
    form = {"name": "Ilka\x00 Sandvoort", "phone": "+1 555 0134", "sure": "1", "key": "k1"}
    for sent in (form, form | {"name": "Ilka Sandvoort", "note": "a\x00b", "key": "k2"}):
        assert as_person(counter).post(reverse("check-in-customer"), sent).status_code == 302
    assert [(one.name, one.note) for one in Customer.objects.order_by("pk")] == [
        ("Ilka\ufffd Sandvoort", ""),
        ("Ilka Sandvoort", "a\ufffdb"),
    ]


def test_a_zero_byte_in_what_is_sought_counts_for_nothing(counter, as_person):
    assert as_person(counter).get("/search/", {"q": "a\x00"}).status_code == 200
    assert as_person(counter).get("/?q=%00%00&stage=%00").status_code == 200


def test_one_that_came_by_another_way_is_a_request_that_was_not_understood():
    middleware = UnwritableMiddleware(lambda _: HttpResponse())
    met = DataError("PostgreSQL text fields cannot contain NUL (0x00) bytes")
    with pytest.raises(BadRequest):
        middleware.process_exception(RequestFactory().get("/"), met)
    assert middleware.process_exception(RequestFactory().get("/"), DataError("out of range")) is None
