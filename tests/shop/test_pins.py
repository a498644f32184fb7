"""PINs: a few figures, a few tries, and never what is the owner's alone."""

import pytest
from django.contrib.auth import authenticate

from shoprepair.shop import journal, pins
from shoprepair.shop.access import is_owner, roles_of
from shoprepair.shop.models import Pin

pytestmark = pytest.mark.django_db


@pytest.fixture
def pin(counter) -> Pin:
    pins.give(counter, "2580", who=counter)
    return counter.pin


@pytest.mark.parametrize(
    "wrong", ["", "123", "123456789", "12a4", "１２３５", "12 45", "0000", "1234", "8765"]
)
def test_a_pin_that_will_not_do_is_told_so(counter, wrong):
    with pytest.raises(ValueError, match="PIN"):
        pins.give(counter, wrong, who=counter)
    assert not Pin.objects.exists()


def test_a_pin_is_kept_as_a_hash_and_stands_in_no_journal(pin, counter):
    assert "2580" not in pin.hash
    assert not any("2580" in f"{entry.text}{entry.changes}" for entry in journal.entries(counter))


def test_a_right_pin_fits_and_forgives_the_wrong_ones_before(pin):
    assert [pins.fits(pin, tried) for tried in ("1", "2", "2580")] == [False, False, True]
    pin.refresh_from_db()
    assert pin.wrong_tries == 0


def test_five_wrong_tries_lock_it_and_then_the_right_one_is_refused_too(pin, counter):
    assert not any(pins.fits(pin, "1111") for _ in range(4))
    for tried in ("1111", "2580"):
        with pytest.raises(pins.Locked, match="locked after 5 wrong tries"):
            pins.fits(pin, tried)
    assert [entry.verb for entry in journal.entries(counter)].count("pin.locked") == 1


def test_the_password_opens_a_locked_pin_again(pin, counter, client):
    Pin.objects.update(wrong_tries=5)
    client.force_login(counter)

    assert pins.fits(counter.pin, "2580")


def test_a_pin_is_no_password(pin, counter):
    assert authenticate(username="maja", password="2580") is None


def test_who_came_in_by_pin_is_never_the_owner(owner):
    come = pins.PinBackend().get_user(owner.pk)

    assert not is_owner(come)
    assert not come.is_owner
    assert (roles_of(come).counter, roles_of(come).bench, roles_of(come).owner) == (True, True, False)


def test_somebody_shut_out_has_no_pin_either(pin, counter, owner):
    counter.is_active = False
    counter.save()

    assert not pins.people().exists()
    assert pins.PinBackend().get_user(counter.pk) is None
