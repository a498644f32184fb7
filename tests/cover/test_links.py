import hashlib

import pytest
from django.conf import settings as shop_settings
from django.utils import timezone

from shoprepair.cover import links
from shoprepair.cover.models import CoverLink
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from tests.cover.covering import lightly_covered
from tests.factories import InflatableFactory
from tests.pricing.test_answers_at_once import at_once

pytestmark = pytest.mark.django_db


def test_the_gear_has_its_link_from_the_hand_back_on_and_keeps_it() -> None:
    cover = lightly_covered()
    link = links.current(cover.inflatable)
    assert links.find(links.token(link)) == link
    lightly_covered(cover.inflatable)
    assert links.make(cover.inflatable) == link
    assert links.url(link, "https://loft.example/") == f"https://loft.example/c/{links.token(link)}/"


def test_of_the_token_only_its_digest_is_kept() -> None:
    link = links.make(InflatableFactory())
    token = links.token(link)
    assert token not in repr(vars(CoverLink.objects.get()))
    assert link.token_hash == hashlib.sha256(token.encode()).hexdigest()


def test_a_printed_paper_opens_after_the_shop_s_key_has_changed(settings) -> None:
    gear = InflatableFactory()
    old = links.make(gear)
    printed = links.token(old)
    settings.SECRET_KEY = "another key that is quite as long as a key of a shop has to be" * 2
    assert links.find(printed) == old
    assert links.current(gear) is None
    new = links.make(gear)
    assert (new != old, links.token(new) != printed, links.current(gear)) == (True, True, new)
    assert links.find(printed) == old
    assert shop_settings.SECRET_KEY == settings.SECRET_KEY


def test_the_same_paper_is_printed_again_while_the_old_key_is_still_known(settings) -> None:
    gear = InflatableFactory()
    old = links.make(gear)
    printed = links.token(old)
    settings.SECRET_KEY_FALLBACKS = [settings.SECRET_KEY]
    settings.SECRET_KEY = "another key that is quite as long as a key of a shop has to be" * 2
    assert links.make(gear) == old
    assert links.token(old) == printed


def test_a_link_that_is_replaced_opens_nothing_any_more(owner: Staff) -> None:
    gear = InflatableFactory()
    old = links.token(links.make(gear))
    new = links.renew(gear, who=owner)
    assert (links.find(old), links.find(links.token(new))) == (None, new)
    assert links.withdraw(gear, who=owner) == 1
    assert links.current(gear) is None


@pytest.mark.parametrize("junk", ["", "short", "ä" * 43, "a" * 43, "a" * 10_000, "\0" * 43])
def test_what_is_no_token_opens_nothing(junk: str) -> None:
    links.make(InflatableFactory())
    assert links.find(junk) is None


@pytest.mark.django_db(transaction=True)
def test_two_who_print_at_once_print_the_same_link() -> None:
    gear = InflatableFactory()
    assert at_once(lambda: links.make(gear), lambda: links.make(gear)) == [None, None]
    assert CoverLink.objects.count() == 1


def test_withdrawing_closes_every_link_of_this_gear_and_is_written_down_once(owner: Staff, settings) -> None:
    gear, other = InflatableFactory(), links.make(InflatableFactory())
    links.make(gear)
    settings.SECRET_KEY = "another key that is quite as long as a key of a shop has to be" * 2
    links.make(gear)
    assert (links.withdraw(gear, who=owner), links.withdraw(gear, who=owner)) == (2, 0)
    [entry] = journal.entries(gear)
    assert (entry.verb, entry.text, entry.who) == (
        "cover-link.withdrawn",
        "The link to its covers was withdrawn.",
        owner,
    )
    closed = CoverLink.objects.filter(inflatable=gear)
    assert {(link.withdrawn_by, link.withdrawn_at is None) for link in closed} == {(owner, False)}
    assert CoverLink.objects.get(pk=other.pk).withdrawn_at is None


def test_a_link_is_256_random_bits_of_its_own_and_knows_when_it_was_made() -> None:
    one, another = links.make(InflatableFactory()), links.make(InflatableFactory())
    assert (len(one.nonce), len(links.token(one))) == (43, 43)
    assert links.token(one) != links.token(another)
    assert abs(timezone.now() - one.made_at).total_seconds() < 60


def test_a_link_is_found_with_its_gear_and_its_pattern_at_once(django_assert_num_queries) -> None:
    link = links.make(InflatableFactory())
    with django_assert_num_queries(1):
        assert links.find(links.token(link)).inflatable.pattern.name


def test_a_replaced_link_was_closed_by_whoever_replaced_it(owner: Staff) -> None:
    old = links.make(InflatableFactory())
    links.renew(old.inflatable, who=owner)
    old.refresh_from_db()
    assert (old.withdrawn_by, journal.entries(old.inflatable).get().who) == (owner, owner)


def test_a_paper_printed_years_ago_opens_the_same_in_every_later_version() -> None:
    link = CoverLink(nonce="a nonce of years ago")
    assert links._token(link, "a key of years ago") == "hnkDF3cpAJK_xd1w9_Pfvm090BoFfe0yIVqZVy3SAKI"
