"""The page behind the code on a cover record."""

import datetime
import re

import pytest

from shoprepair.cover import endings, links
from shoprepair.cover.models import Transfer
from shoprepair.papers.cover_words import told
from tests.factories import CustomerFactory, InflatableFactory, OwnershipFactory
from tests.papers.covering import cover, visit
from tests.papers.reading import text
from tests.portal.visits import kept, said_beside, words

pytestmark = pytest.mark.django_db

DAY = datetime.datetime(2026, 5, 20, 10, tzinfo=datetime.UTC)
PARTS = ["", "cover.pdf"]
NOWHERE = "A" * 43


@pytest.fixture
def wing(shop):
    """A wing with two repairs from two visits, one of them of a former owner."""
    wing = InflatableFactory(pattern__name="Holm 5.0 wing", serial="HM-20418")
    ida = CustomerFactory(name="Ida Quist", phone="+1 555 0142 318", email="ida@quist.example")
    OwnershipFactory(customer=ida, inflatable=wing)
    cover(visit(wing, DAY, customer=ida))
    cover(visit(wing, DAY + datetime.timedelta(days=90), customer=ida), -0.6, 0.15, checked_by="")
    links.make(wing)
    return wing


def address(wing, part: str = "") -> str:
    return links.path(links.current(wing)) + part


def test_it_says_exactly_what_the_paper_says(stranger, wing, metric):
    from zoneinfo import ZoneInfo

    page = words(stranger.get(address(wing)))
    paper = text(stranger.get(address(wing, "cover.pdf")).content)
    said = told(wing, metric, ZoneInfo("UTC"), datetime.date(2026, 11, 1))
    facts = {said.name, said.serial, said.summary}
    facts |= {promise.words for promise in said.promises}
    for one in said.covers:
        facts |= {
            one.name,
            one.made,
            one.until,
            one.code,
            *one.mended,
            *one.lots,
            *one.techs,
            *(said for _, said in one.tests),
        }
    assert [fact for fact in facts if fact not in page or fact not in paper] == []


def test_it_tells_nothing_of_any_customer_nor_of_money(stranger, wing):
    page = stranger.get(address(wing)).content.decode()
    assert not [word for word in ("Ida", "Quist", "0142", "quist.example", "$100", "100.00") if word in page]


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize("method", ["get", "head", "post", "options"])
def test_an_address_that_never_was_answers_as_one_that_was_withdrawn(stranger, wing, owner, part, method):
    withdrawn = address(wing, part)
    links.withdraw(wing, who=owner)
    answers = [
        getattr(stranger, method)(path) for path in (withdrawn, f"/c/{NOWHERE}/{part}", f"/c/x/{part}")
    ]
    assert {answer.status_code for answer in answers} == {404}
    assert len({answer.content for answer in answers}) == 1
    assert len({str(said_beside(answer)) for answer in answers}) == 1


def test_it_is_kept_by_nobody_found_by_nobody_and_framed_by_nobody(stranger, wing):
    for part in PARTS:
        answer = stranger.get(address(wing, part))
        assert answer["Cache-Control"] == "private, no-store"
        assert answer["Referrer-Policy"] == "no-referrer"
        assert answer["X-Robots-Tag"] == "noindex, nofollow, noarchive"
        assert "default-src 'none'" in answer["Content-Security-Policy"]
        assert "frame-ancestors 'none'" in answer["Content-Security-Policy"]


def test_looking_changes_nothing_and_a_phone_needs_no_script(stranger, wing):
    before = kept()
    page = stranger.get(address(wing)).content.decode()
    assert kept() == before
    assert not re.search(r"<script|style=| on\w+=|https?://(?!www\.w3\.org)", page)
    assert len(page) < 60_000


def test_somebody_of_the_shop_opens_the_gear_from_it_and_a_stranger_is_not_shown_the_way(
    stranger, as_person, bench, wing
):
    assert f"/gear/{wing.pk}/" in as_person(bench).get(address(wing)).content.decode()
    assert "/gear/" not in stranger.get(address(wing)).content.decode()


def test_it_says_that_the_gear_passed_on_and_not_between_whom(stranger, wing, owner):
    taker = CustomerFactory(name="Oda Tveit")
    Transfer.objects.create(
        inflatable=wing,
        giver=wing.ownerships.get().customer,
        taker=taker,
        offered_by=owner,
        offered_at=DAY,
        giver_hash="a",
        taker_hash="b",
        done_at=datetime.datetime(2027, 5, 3, 9, tzinfo=datetime.UTC),
    )
    page = stranger.get(address(wing)).content.decode()
    assert "Passed to a new owner on 3 May 2027." in page
    assert not [word for word in ("Ida", "Quist", "Oda", "Tveit") if word in page]


def test_a_cover_that_ended_says_so_at_once(stranger, wing, owner):
    endings.retire(wing, "Ida cut it up.", who=owner)
    page = words(stranger.get(address(wing)))
    assert "No repair is covered, 2 no longer are." in page
    assert "the gear is no longer used" in page
    assert "cut it up" not in page


def test_paper_printed_before_the_shop_s_key_changed_still_opens(stranger, wing, settings):
    printed = address(wing)
    settings.SECRET_KEY = "another key than that day's, as long as a key has to be"
    assert "Holm 5.0 wing" in words(stranger.get(printed))


def test_it_asks_the_database_as_often_for_many_covers_as_for_two(stranger, wing, django_assert_num_queries):
    path = address(wing)
    stranger.get(path)
    for more in (0, 3):
        for n in range(more):
            cover(visit(wing, DAY), 0.1 * n, 0.05)
        # The shop, how often this address has guessed, the link, the covers, what passed.
        with django_assert_num_queries(5):
            stranger.get(path)
