"""Whoever measures how long an answer takes learns no more than whoever reads it."""

import statistics
import time
from collections.abc import Callable

import pytest
from django.test import Client

from shoprepair.jobs import links
from shoprepair.shop.models import Attempt
from tests.factories import PASSWORD, StaffFactory
from tests.portal.visits import address, assessed

pytestmark = [pytest.mark.soak, pytest.mark.django_db]
TRIES = 100
APART = 0.05


def medians(one: Callable[[], object], other: Callable[[], object]) -> tuple[float, float]:
    """How long each takes, tried in turn so that whatever else the machine does slows both."""
    took: tuple[list[float], list[float]] = ([], [])
    for number in range(TRIES):
        for which in ((0, 1), (1, 0))[number % 2]:
            began = time.process_time()
            (one, other)[which]()
            took[which].append(time.process_time() - began)
            Attempt.objects.all().delete()
    return statistics.median(took[0]), statistics.median(took[1])


def alike(one: float, other: float, what: str) -> None:
    apart = abs(one - other) / max(one, other)
    print(f"{what}: {one * 1000:.2f} ms and {other * 1000:.2f} ms, {apart:.1%} apart")
    assert apart < APART


def test_a_name_that_there_is_takes_as_long_as_one_that_there_is_not(settings):
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
    StaffFactory(username="runa", role="owner", password=PASSWORD)

    def tried(name: str) -> Callable[[], object]:
        return lambda: Client().post("/log-in/", {"username": name, "password": "not the password"})

    alike(*medians(tried("runa"), tried("nobo")), "a known name and an unknown one")


def test_a_link_that_was_withdrawn_takes_as_long_as_one_that_never_was(owner):
    job = assessed()
    withdrawn = links.make(job, who=owner)
    where = address(job)
    links.withdraw(withdrawn, who=owner)
    client = Client()
    alike(
        *medians(lambda: client.get(where), lambda: client.get(f"/s/{'A' * 43}/")), "withdrawn and never was"
    )
