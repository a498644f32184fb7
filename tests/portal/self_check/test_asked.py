"""What was asked is counted by the day; who asked is not."""

import datetime

from django.test import Client

from shoprepair.jobs.models import SelfCheckTally
from shoprepair.portal.self_check.views.asked import MOST_AN_HOUR
from shoprepair.shop import limits
from shoprepair.shop.models import Shop

TORN = {"kind": "wing", "size": "medium", "at": "canopy-outer", "look": "torn", "length": "palm"}


def test_an_answer_that_was_read_is_counted_with_its_verdict(shop: Shop, stranger: Client) -> None:
    for _ in range(2):
        assert stranger.post("/self-check/asked/", TORN).status_code == 204
    counted = SelfCheckTally.objects.get()
    assert (counted.gear, counted.part, counted.look) == ("wing-medium", "canopy-outer", "torn")
    assert (counted.verdict, counted.rule, counted.count) == ("fix", "tear-tape", 2)


def test_what_is_not_told_to_its_end_is_not_counted(shop: Shop, stranger: Client) -> None:
    for junk in ({}, {"kind": "wing"}, TORN | {"length": "\x00"}, TORN | {"at": "900,900"}):
        assert stranger.post("/self-check/asked/", junk).status_code == 204
    assert not SelfCheckTally.objects.exists()


def test_another_site_counts_nothing_and_nobody_counts_without_end(shop: Shop, stranger: Client) -> None:
    stranger.post("/self-check/asked/", TORN, headers={"Sec-Fetch-Site": "cross-site"})
    assert not SelfCheckTally.objects.exists()
    for _ in range(MOST_AN_HOUR - 1):
        limits.allow("self-check-tally", "127.0.0.1", most=MOST_AN_HOUR, per=datetime.timedelta(hours=1))
    for _ in range(3):
        stranger.post("/self-check/asked/", TORN)
    assert SelfCheckTally.objects.get().count == 1
