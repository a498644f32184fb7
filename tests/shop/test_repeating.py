"""A request that lost to another at the database server is done again, where nothing can be done twice."""

import psycopg
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import OperationalError, transaction
from django.http import HttpResponse
from django.test import RequestFactory
from django.urls import ResolverMatch

from shoprepair.jobs.models import Customer
from shoprepair.shop.repeating import MOST, RepeatMiddleware
from shoprepair.shop.settings import current

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture(autouse=True)
def _shop_is_there():
    current()


def lost():
    """What Django raises for a transaction that the server gave up."""
    error = OperationalError("deadlock detected")
    error.__cause__ = psycopg.errors.DeadlockDetected()
    return error


class Desk:
    """Takes a customer in, and loses to another so many times first."""

    def __init__(self, losses, *, saved_before=False, error=lost):
        self.losses, self.saved_before, self.error = losses, saved_before, error
        self.tries = 0

    def view(self, request):
        self.tries += 1
        if self.saved_before:
            Customer.objects.create(name="Saved before")
        with transaction.atomic():
            Customer.objects.create(name=request.POST.get("name", "Somebody"))
            if self.tries <= self.losses:
                raise self.error()
        return HttpResponse("Taken in.")

    def take(self, data, **headers):
        """As Django's own handler calls view and middleware."""
        request = RequestFactory().post("/", data, **headers)
        request.session = {}
        request.resolver_match = ResolverMatch(self.view, (), {})

        def answer(request):
            try:
                return self.view(request)
            except OperationalError as error:
                return repeats.process_exception(request, error)

        repeats = RepeatMiddleware(answer)
        return repeats(request)


def names():
    return sorted(Customer.objects.values_list("name", flat=True))


@pytest.mark.parametrize("losses", [0, 1, MOST])
def test_what_was_lost_up_to_three_times_is_done_in_the_end_and_once(losses):
    desk = Desk(losses)
    assert desk.take({"name": "Ilka"}).content == b"Taken in."
    assert desk.tries == losses + 1
    assert names() == ["Ilka"]


def test_what_is_lost_again_and_again_is_left_to_the_page_that_says_so():
    desk = Desk(MOST + 1)
    assert desk.take({"name": "Ilka"}) is None
    assert desk.tries == MOST + 1
    assert names() == []


def test_what_was_committed_before_is_not_done_twice():
    desk = Desk(1, saved_before=True)
    assert desk.take({"name": "Ilka"}) is None
    assert names() == ["Saved before"]


def test_a_form_with_a_photo_is_not_sent_again_by_the_program():
    desk = Desk(1)
    assert desk.take({"name": "Ilka", "photo": SimpleUploadedFile("p.jpg", b"\xff\xd8")}) is None
    assert desk.tries == 1


def test_what_is_no_form_is_not_sent_again_by_the_program():
    assert Desk(1).take(b"{}", content_type="application/json") is None


def test_another_trouble_is_nobody_elses_doing_and_not_tried_again():
    desk = Desk(1, error=lambda: OperationalError("no line"))
    assert desk.take({"name": "Ilka"}) is None
    assert desk.tries == 1
