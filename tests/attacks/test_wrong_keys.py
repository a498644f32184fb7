"""Somebody tries keys of links until one opens."""

import datetime
import re
from pathlib import Path

import pytest
import time_machine
from django.conf import settings

from shoprepair.cover.models import Transfer
from shoprepair.jobs import links
from shoprepair.jobs.models import Job, StatusLink
from shoprepair.portal import guard
from shoprepair.shop.models import Attempt
from tests.portal.visits import address, assessed

WRONG = "A" * 43
ELSEWHERE = {"REMOTE_ADDR": "203.0.113.77"}


@pytest.fixture
def job(counter) -> Job:
    job = assessed()
    links.make(job, who=counter)
    return job


def guess(client, times):
    for number in range(times):
        client.get(f"/{'sco'[number % 3]}/{WRONG}{'/' if number % 2 else '/a/b'}")


@pytest.mark.django_db
def test_after_twenty_wrong_keys_an_address_waits_whatever_it_asks_for(client, job):
    guess(client, guard.MOST_WRONG_KEYS)
    for path in (
        f"/s/{WRONG}/",
        f"/c/{WRONG}/",
        f"/o/{WRONG}/",
        "/s/x",
        address(job),
        address(job, "answer/"),
    ):
        for send in (client.get, client.post):
            answer = send(path)
            assert (answer.status_code, path) == (429, path)
            assert 0 < int(answer["Retry-After"]) <= 3600
            assert answer["Referrer-Policy"] == "no-referrer"
            assert "Too many tries" in answer.content.decode()


@pytest.mark.django_db
def test_a_right_key_opens_from_elsewhere_meanwhile_and_from_there_after_the_pause(client, job):
    guess(client, guard.MOST_WRONG_KEYS + 5)
    assert client.get(address(job)).status_code == 429
    assert client.get(address(job), **ELSEWHERE).status_code == 200
    Attempt.objects.update(at=datetime.datetime.now(datetime.UTC) - guard.PER - datetime.timedelta(seconds=1))
    assert client.get(address(job)).status_code == 200


@pytest.mark.django_db
def test_whoever_waits_is_told_for_how_long_in_whole_minutes(client, job):
    noon = datetime.datetime(2031, 5, 4, 12, tzinfo=datetime.UTC)
    told = []
    with time_machine.travel(noon, tick=False) as clock:
        guess(client, guard.MOST_WRONG_KEYS)
        for passed in (0, 1770, 1800, 3599):
            clock.move_to(noon + datetime.timedelta(seconds=passed))
            answer = client.get(address(job))
            minutes = re.search(r"Wait (\d+ minutes?) and", answer.content.decode())[1]
            told.append((minutes, answer["Retry-After"]))

    assert told == [("60 minutes", "3600"), ("31 minutes", "1830"), ("30 minutes", "1800"), ("1 minute", "1")]


@pytest.mark.django_db
def test_right_keys_are_opened_as_often_as_somebody_likes(client, job):
    assert {client.get(address(job, "photos/none/small.jpg")).status_code for _ in range(25)} == {404}
    assert client.get(address(job)).status_code == 200
    assert not Attempt.objects.exists()


@pytest.mark.django_db
def test_what_is_no_key_at_all_counts_too(client, job):
    for _ in range(guard.MOST_WRONG_KEYS):
        client.get("/s/412/")
    assert client.get("/s/413/").status_code == 429


def test_ten_thousand_keys_are_ten_thousand_different_ones():
    made = {links.token(StatusLink(job_id=1, nonce=str(number))) for number in range(10_000)}
    assert len(made) == 10_000
    assert min(len(key) for key in made) == 43


def test_what_opens_anything_is_made_by_the_source_of_secrets():
    """A version 4 UUID has 122 random bits, and what makes it need not be fit for secrets."""
    for module in (links, *_modules("cover/links.py", "cover/transfer_links.py")):
        text = module if isinstance(module, str) else Path(module.__file__).read_text()
        assert not re.search(r"uuid|random\.|time\(\)", text)
    assert StatusLink._meta.get_field("token_hash").max_length == 64
    assert not [
        field.name
        for field in Transfer._meta.get_fields()
        if "token" in field.name and "hash" not in field.name
    ]


def _modules(*paths):
    return [(Path(settings.BASE_DIR) / "shoprepair" / path).read_text() for path in paths]
