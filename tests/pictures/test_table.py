"""No screen and no paper is forgotten on the contact sheet."""

from django.urls import NoReverseMatch, reverse

from tests.attacks.routes import TABLE
from tests.attacks.test_routes import routes
from tests.pictures.addresses import FIXED, RECORDS, TOKENS
from tests.pictures.table import NOT_PICTURED, SHOPS, SPECIAL

SEEN = {name for name, rule in TABLE.items() if rule.look}


def has_an_address(name: str) -> bool:
    """Whether the sheet knows where the page of this route stands."""
    if name in (RECORDS | TOKENS | FIXED):
        return True
    try:
        reverse(name)
    except NoReverseMatch:
        return name in {"money-week", "bench-week"}
    return True


def test_every_page_that_somebody_may_look_at_is_pictured_or_named_with_the_reason():
    pictured = {name for name in SEEN - set(NOT_PICTURED) if has_an_address(name)}

    assert pictured | set(NOT_PICTURED) == SEEN
    assert all(why.endswith(".") for why in NOT_PICTURED.values())


def test_nothing_is_pictured_that_is_no_page_any_more():
    assert (set(RECORDS) | set(TOKENS) | set(FIXED)) <= {name for name, _ in routes()}


def test_every_state_that_takes_a_hand_is_one_of_a_screen_and_of_a_shop():
    doors = {"not-found", "not-yours"}

    assert {one.screen for one in SPECIAL} - doors <= SEEN
    assert {one.shop for one in SPECIAL} <= set(SHOPS)
    kinds = [(one.screen, one.state) for one in SPECIAL]
    assert len(kinds) == len(set(kinds))
    # A shop's own name says that nothing was done on the page.
    assert not {one.state for one in SPECIAL} & set(SHOPS)
