"""Whoever measures how long an answer takes learns no more than whoever reads it."""

import gc
import statistics
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import pytest
from django.test import Client

from shoprepair.jobs import links
from shoprepair.shop.models import Attempt
from tests.factories import PASSWORD, StaffFactory
from tests.portal.visits import address, assessed

pytestmark = [pytest.mark.soak, pytest.mark.django_db]
ROUNDS, QUICK_ROUNDS = 50, 120
"""The quicker something is, the more of it is needed to tell it from whatever else the machine does."""
APART = 0.05


def alike(one: Callable[[], object], other: Callable[[], object], what: str, rounds: int = ROUNDS) -> None:
    """Whether both take the processor as long.

    They are set against each other within rounds of one, other, other, one, so that what slows the machine
    for a while slows both; rubbish is collected between the rounds, not while just one of the two is timed.
    """
    ratios, all_took = [], []
    with no_collecting():
        for number in range(rounds):
            took = [0.0, 0.0]
            for which in ((0, 1, 1, 0), (1, 0, 0, 1))[number % 2]:
                took[which] += timed((one, other)[which])
            ratios.append(took[0] / took[1])
            all_took.append(sum(took) / 4)
            gc.collect()
    apart = statistics.median(ratios) - 1
    print(f"{what}: {statistics.median(all_took) * 1000:.2f} ms, {apart:+.1%} apart")
    assert abs(apart) < APART


@contextmanager
def no_collecting() -> Iterator[None]:
    gc.collect()
    gc.freeze()
    gc.disable()
    try:
        yield
    finally:
        gc.enable()
        gc.unfreeze()


def timed(ask: Callable[[], object]) -> float:
    began = time.process_time()
    ask()
    took = time.process_time() - began
    Attempt.objects.all().delete()
    return took


def test_a_name_that_there_is_takes_as_long_as_one_that_there_is_not(settings):
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
    StaffFactory(username="runa", role="owner", password=PASSWORD)

    def tried(name: str) -> Callable[[], object]:
        return lambda: Client().post("/log-in/", {"username": name, "password": "not the password"})

    alike(tried("runa"), tried("nobo"), "a known name and an unknown one")


def test_a_link_that_was_withdrawn_takes_as_long_as_one_that_never_was(owner):
    job = assessed()
    withdrawn = links.make(job, who=owner)
    where = address(job)
    links.withdraw(withdrawn, who=owner)
    client = Client()
    never_was = f"/s/{'A' * 43}/"
    assert (client.get(where).status_code, client.get(never_was).status_code) == (404, 404)
    alike(lambda: client.get(where), lambda: client.get(never_was), "withdrawn and never was", QUICK_ROUNDS)
