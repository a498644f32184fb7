"""A tablet that several people use: enrolled by the owner, taken over by name and PIN, struck off if lost."""

import datetime

import pytest
import time_machine
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format

from shoprepair.shop import pins, sessions
from shoprepair.shop.models import LogIn, SharedTablet, Staff
from tests.factories import PASSWORD

pytestmark = pytest.mark.django_db
SWITCH = "/switch/"
PAGE = "/my/log-in/"


@pytest.fixture
def tablet(owner: Staff, counter: Staff, bench: Staff) -> Client:
    """An enrolled tablet on which nobody is logged in. All three have a PIN."""
    for person, pin in ((owner, "8520"), (counter, "2580"), (bench, "1470")):
        pins.give(person, pin, who=person)
    client = Client()
    client.post("/log-in/", {"username": "runa", "password": PASSWORD})
    client.post(reverse("tablets"), {"name": "Counter"})
    client.post("/log-out/")
    return client


def taps(client: Client, person: Staff, pin: str, **more: str):
    return client.post(reverse("switch-pin", args=[person.pk]), {"pin": pin, **more})


def who(client: Client) -> str:
    answer = client.get(PAGE)
    return answer.context["user"].username if answer.status_code == 200 else ""


def test_people_change_places_by_name_and_pin(tablet, counter, bench):
    assert "Maja Orrevik" in tablet.get(SWITCH).content.decode()
    taps(tablet, counter, "2580")
    first = who(tablet)
    taps(tablet, bench, "1470")

    assert (first, who(tablet)) == ("maja", "tomek")
    assert not sessions.of(counter).exists()
    assert str(sessions.of(bench).get().tablet) == "Counter"


def test_the_next_person_stays_on_the_page_that_was_open(tablet, counter):
    assert taps(tablet, counter, "2580", next="/check-in/")["Location"] == "/check-in/"


@pytest.mark.parametrize(
    "elsewhere", ["//evil.example", "https://evil.example/", "/\\evil.example", "javascript:x"]
)
def test_nobody_is_led_elsewhere_by_it(tablet, counter, elsewhere):
    assert taps(tablet, counter, "2580", next=elsewhere)["Location"] == "/"


def test_on_another_device_a_pin_opens_nothing(tablet, counter, stranger):
    assert stranger.get(SWITCH)["Location"] == "/log-in/"
    assert taps(stranger, counter, "2580")["Location"] == "/log-in/"
    assert who(stranger) == ""


def test_a_copied_cookie_that_was_changed_opens_nothing(tablet, counter):
    tablet.cookies["tablet"] = tablet.cookies["tablet"].value[:-1] + "_"
    assert taps(tablet, counter, "2580")["Location"] == "/log-in/"


def test_after_five_wrong_pins_only_the_password_helps(tablet, counter):
    answers = [taps(tablet, counter, "1111").content.decode() for _ in range(5)]
    assert "That is not the PIN" in answers[0]
    assert "locked after 5 wrong tries" in answers[4]
    taps(tablet, counter, "2580")
    assert who(tablet) == ""
    tablet.post("/log-in/", {"username": "maja", "password": PASSWORD})
    tablet.post("/log-out/")
    taps(tablet, counter, "2580")

    assert who(tablet) == "maja"


def test_a_pin_never_opens_the_office_and_the_owners_password_does(tablet, owner):
    taps(tablet, owner, "8520")
    assert tablet.get("/office/")["Location"] == "/log-in/?next=/office/"
    assert 'href="/office/"' not in tablet.get("/").content.decode()
    before = tablet.session.session_key
    assert tablet.get("/log-in/?next=/office/").status_code == 200
    tablet.post("/log-in/", {"username": "runa", "password": PASSWORD, "next": "/office/"})

    assert tablet.get("/office/").status_code == 200
    assert tablet.session.session_key != before


def test_two_tablets_never_share_a_name_so_that_a_lost_one_can_be_told_apart(tablet, owner, as_person):
    again = as_person(owner).post(reverse("tablets"), {"name": " counter "})
    assert again.status_code == 422
    said = f"There is “Counter” already, since {date_format(timezone.localdate(), 'j M Y')}."
    assert said in again.content.decode()
    assert SharedTablet.objects.count() == 1
    assert as_person(owner).post(reverse("tablets"), {"name": "Bench"}).status_code == 302


def test_a_lost_tablet_is_struck_off_and_whoever_is_on_it_is_out(tablet, counter, owner, as_person):
    taps(tablet, counter, "2580")
    as_person(owner).post(reverse("tablet-revoke", args=[SharedTablet.objects.get().pk]))

    assert who(tablet) == ""
    assert taps(tablet, counter, "2580")["Location"] == "/log-in/"


def test_what_a_pin_opened_is_closed_over_night(tablet, counter):
    with time_machine.travel("2026-11-25 08:00Z", tick=False) as clock:
        taps(tablet, counter, "2580")
        for _ in range(11):
            clock.shift(datetime.timedelta(hours=1, seconds=1))
            tablet.get(PAGE)
        still = who(tablet)
        clock.shift(datetime.timedelta(hours=2))

        assert (still, who(tablet)) == ("maja", "")


def test_the_name_at_the_top_leads_to_the_switch_on_a_tablet_and_there_alone(tablet, counter, as_person):
    taps(tablet, counter, "2580")
    way = 'href="/switch/?next=%2Fmy%2Flog-in%2F"'

    assert way in tablet.get(PAGE).content.decode()
    assert way not in as_person(counter).get(PAGE).content.decode()


def test_somebody_shut_out_is_not_offered(tablet, counter):
    Staff.objects.filter(pk=counter.pk).update(is_active=False)

    assert "Maja" not in tablet.get(SWITCH).content.decode()
    assert taps(tablet, counter, "2580").status_code == 404


def test_a_pin_of_ones_own_asks_for_the_password(as_person, counter):
    client = as_person(counter)
    refused = client.post(reverse("my-pin"), {"pin": "2580", "password": "a guess"})
    assert refused.status_code == 422
    said = refused.content.decode()
    assert "Passwords and PINs are to be typed anew." in said
    assert '<a href="#id_password">Your password</a>: That is not your password.' in said
    assert not hasattr(counter, "pin")
    client.post(reverse("my-pin"), {"pin": "2580", "password": PASSWORD})
    counter.refresh_from_db()

    assert pins.fits(counter.pin, "2580")


def test_the_owner_sees_and_ends_where_somebody_is_logged_in(owner, counter, as_person):
    theirs, client = as_person(counter), as_person(owner)
    page = client.get(reverse("person", args=[counter.pk])).content.decode()
    assert "Where Maja Orrevik is logged in" in page
    client.post(reverse("person-log-in-end", args=[counter.pk, LogIn.objects.get(person=counter).pk]))

    assert (who(theirs), who(client)) == ("", "runa")


def test_behind_https_every_cookie_is_bound_to_this_host(settings, owner, counter):
    settings.HTTPS = True
    client = Client()
    client.force_login(owner)
    answer = client.post(reverse("tablets"), {"name": "Counter"})
    cookie = answer.cookies["__Host-tablet"]

    assert cookie["secure"]
    assert cookie["httponly"]
    assert cookie["path"] == "/"
    assert not cookie["domain"]
    assert cookie["samesite"] == "Lax"


def test_where_nobody_has_a_pin_whoever_is_logged_in_is_led_to_choose_one(owner: Staff) -> None:
    client = Client()
    client.post("/log-in/", {"username": "runa", "password": PASSWORD})
    client.post(reverse("tablets"), {"name": "Counter"})
    assert f'href="{PAGE}">Choose your PIN' in client.get(SWITCH).content.decode()
    client.post("/log-out/")
    shut = client.get(SWITCH).content.decode()
    assert "Log in by password, then choose one" in shut
    assert "Choose your PIN" not in shut
