"""PINs: a few figures, a few tries, and never what is the owner's alone."""

import pytest
from django.contrib.auth import authenticate

from shoprepair.shop import journal, pins, who
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
    come = who.PinBackend().get_user(owner.pk)

    assert not is_owner(come)
    assert not come.is_owner
    assert (roles_of(come).counter, roles_of(come).bench, roles_of(come).owner) == (True, True, False)


def test_somebody_shut_out_has_no_pin_either(pin, counter, owner):
    counter.is_active = False
    counter.save()

    assert not pins.people().exists()
    assert who.PinBackend().get_user(counter.pk) is None


@pytest.mark.parametrize("good", ["2580", "1357", "11223344", "1235"])
def test_four_to_eight_figures_in_no_order_will_do(good):
    assert pins.fault(good) == ""


def test_what_is_wrong_with_a_pin_is_a_sentence_that_helps():
    assert pins.fault("123") == "A PIN is 4 to 8 figures and nothing else."
    assert pins.fault("4321") == (
        "That PIN is the first that anybody tries. Choose figures without such an order."
    )


def test_a_new_pin_takes_the_place_of_the_old_one_and_is_not_locked(pin, counter, owner):
    Pin.objects.update(wrong_tries=5)
    pins.give(counter, "1470", who=owner)
    new = Pin.objects.get()
    assert (pins.is_locked(new), pins.fits(new, "2580"), pins.fits(new, "1470")) == (False, False, True)
    entry = journal.entries(counter).first()
    assert (entry.verb, entry.text, entry.who) == ("pin.given", "Maja Orrevik has a new PIN.", owner)


def test_a_pin_is_taken_away_once(pin, counter, bench, owner):
    pins.give(bench, "1470", who=bench)
    assert (pins.forget(counter, who=owner), pins.forget(counter, who=owner)) == (True, False)
    assert Pin.objects.get().person == bench
    [entry] = journal.entries(counter).filter(verb="pin.taken-away")
    assert (entry.text, entry.who) == ("The PIN of Maja Orrevik was taken away.", owner)


def test_a_lock_says_who_must_do_what_and_is_nobodys_deed(pin, counter, bench):
    pins.give(bench, "1470", who=bench)
    Pin.objects.filter(person=counter).update(wrong_tries=4)
    with pytest.raises(pins.Locked) as locked:
        pins.fits(pin, "1111")
    assert str(locked.value) == (
        "The PIN of Maja Orrevik is locked after 5 wrong tries. Log in with the password once; "
        "then it works again."
    )
    entry = journal.entries(counter).first()
    assert (entry.text, entry.who) == ("The PIN of Maja Orrevik was locked after 5 wrong tries.", None)
    assert Pin.objects.get(person=bench).wrong_tries == 0


def test_who_may_take_over_stands_in_the_order_of_names(pin, bench, owner, django_assert_num_queries):
    for person in (bench, owner):
        pins.give(person, "1470", who=owner)
    with django_assert_num_queries(1):
        assert [pin.person.first_name for pin in pins.people()] == ["Maja", "Runa", "Tomek"]


def test_a_pin_opens_nothing_by_itself():
    assert who.PinBackend().authenticate(None, username="maja", password="2580") is None
