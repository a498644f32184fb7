"""Killed at any statement, a change of the shop's is not there at all; sent again, it is there once."""

import os
from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse

from shoprepair.cover import chain
from shoprepair.gear.models import Inflatable
from shoprepair.jobs.enquiries import making
from shoprepair.jobs.models import Enquiry, Job, Photo
from shoprepair.shop.models import Staff
from shoprepair.shop.settings import current
from shoprepair.work import payments
from shoprepair.work.models import HandBack
from tests.counter.checking_in import picture, somebody
from tests.cover.covering import a_light_visit
from tests.factories import JobFactory, PatternFactory
from tests.faults.killed import killed_at, statements, the_shop
from tests.jobs.enquiries.asking import CUT, ask, photo
from tests.shelves import patterns

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(not hasattr(os, "fork"), reason="kills a process made by fork"),
]
AT = pytest.mark.parametrize(
    "every", [pytest.param(False, id="some"), pytest.param(True, id="every", marks=pytest.mark.soak)]
)
"""Killed at three statements, or at every one."""


def dies_whole(act: Callable[[], object], every: bool) -> None:
    """Kill it before its statements, one after the other: each time the shop is as it was, or all is done.

    Done it may be where only the page that tells of it is still read for.
    """
    before, many = the_shop(), statements(act)
    done, step = None, 1 if every else -(-many // 3)
    for number in range(step, many + 1, step):
        died = killed_at(number, act)
        assert died or number > step, "It was never killed."
        if (now := the_shop()) != before:
            done = now
            break
    act()
    assert done in (None, the_shop()), "Half of it was there, for when it was sent again more was done."
    done = the_shop()
    act()
    assert the_shop() == done, "Sent once more, it was done twice."


@pytest.fixture
def log_in(as_person: Callable[[Staff], Client], owner: Staff) -> Client:
    current()
    client = as_person(owner)
    # What is loaded once is loaded here, and not in each that is killed.
    assert client.get(reverse("check-in")).status_code == 200
    return client


@AT
def test_gear_is_checked_in_or_not(log_in: Client, every: bool) -> None:
    customer, inflatable = somebody()
    said = {"customer": customer.pk, "inflatable": inflatable.pk, "key": "k1"}

    def start() -> None:
        assert log_in.post(reverse("check-in-start"), said).status_code == 302

    dies_whole(start, every)
    assert list(Job.objects.values_list("number", flat=True)) == [1]


@AT
def test_a_photo_and_its_key_are_there_or_not(log_in: Client, every: bool) -> None:
    job = JobFactory()

    def send() -> None:
        answer = log_in.post(reverse("photo-add", args=[job.number]), {"photo": picture(), "key": "k1"})
        assert answer.status_code == 302

    dies_whole(send, every)
    assert Photo.objects.count() == 1


@AT
def test_gear_is_handed_back_with_invoice_and_covers_or_not(
    log_in: Client, owner: Staff, every: bool
) -> None:
    job = a_light_visit(Inflatable.objects.create(pattern=PatternFactory()))
    payments.take(job, 110, "cash", who=owner)
    said = {"taker_name": "Ilka Sandvoort", "known_by": "tag", "on_paper": "on", "key": "k1"}

    def give() -> None:
        assert log_in.post(reverse("hand-back-give", args=[job.number]), said).status_code == 302

    dies_whole(give, every)
    assert HandBack.objects.get().job.covers.count() == 1
    assert chain.first_broken() is None


@AT
def test_an_enquiry_comes_with_its_photos_or_not(db: None, every: bool) -> None:
    current()
    patterns()

    def send() -> Enquiry:
        return making.send([CUT], name="Ilka Sandvoort", contact="+1 555 0134", key="k1", photos=[photo()])

    # The first of all makes the pattern that stands for its kind of gear.
    ask(CUT)
    dies_whole(send, every)
    assert Enquiry.objects.get(key="k1").job.photos.count() == 1
