"""The owner's second step: set up on a page, asked for after the password, put off for a week at most."""

import datetime
import re
from collections.abc import Iterator

import pytest
import time_machine
from django.test import Client
from django.urls import reverse
from django_otp.oath import totp

from shoprepair.shop import people, second_factor
from shoprepair.shop.models import Staff
from tests.factories import PASSWORD, StaffFactory

pytestmark = pytest.mark.django_db
SIGN_IN = {"username": "runa", "password": PASSWORD}
MY_PAGE = "/my/log-in/"


@pytest.fixture(autouse=True)
def clock() -> Iterator[time_machine.Traveller]:
    with time_machine.travel("2026-11-25 08:00:10Z", tick=False) as traveller:
        yield traveller


@pytest.fixture
def codes(owner: Staff, clock: time_machine.Traveller) -> list[str]:
    """The owner has set it up; these are the written codes. A minute has passed."""
    phone = second_factor.begin(owner)
    written = second_factor.confirm(owner, f"{totp(phone.bin_key):06d}")
    clock.shift(60)
    return written


def shown_by(person: Staff) -> str:
    return f"{totp((second_factor.phone_of(person) or second_factor.begun(person)).bin_key):06d}"


def half_way() -> Client:
    """A browser in which the right password was given."""
    client = Client()
    assert (
        client.post("/log-in/?next=/office/", SIGN_IN | {"next": "/office/"})["Location"] == "/log-in/code/"
    )
    return client


def is_in(client: Client) -> bool:
    return client.get(MY_PAGE).status_code == 200


def test_it_is_set_up_by_scanning_showing_a_code_and_writing_ten_down(as_person, owner):
    client = as_person(owner)
    client.post(reverse("my-second-factor-begin"))
    assert "<svg" in client.get(reverse("my-second-factor")).content.decode()
    sent = {"code": shown_by(owner), "password": PASSWORD}
    page = client.post(reverse("my-second-factor"), sent).content.decode()

    written = re.findall(r"<code>(.*?)</code>", page)
    assert len(written) == 10
    assert not any(code in client.get(MY_PAGE).content.decode() for code in written)
    assert second_factor.is_set_up(owner)


def test_whoever_finds_the_screen_open_sets_up_nothing_without_the_password(as_person, owner):
    client = as_person(owner)
    client.post(reverse("my-second-factor-begin"))
    answer = client.post(reverse("my-second-factor"), {"code": shown_by(owner), "password": "a guess"})

    assert answer.status_code == 422
    assert "That is not your password" in answer.content.decode()
    assert not second_factor.is_set_up(owner)


def test_without_one_the_password_leads_in_as_ever(owner):
    client = Client()
    assert client.post("/log-in/", SIGN_IN)["Location"] == "/"
    assert is_in(client)


def test_the_password_alone_opens_nothing_once_it_is_set_up(codes):
    client = half_way()

    assert not is_in(client)
    assert client.get("/office/").status_code == 302


def test_the_code_leads_on_to_where_they_were_going(codes, owner):
    client = half_way()
    answer = client.post("/log-in/code/", {"code": shown_by(owner)})

    assert (answer["Location"], is_in(client)) == ("/office/", True)


def test_a_wrong_code_is_said_beside_its_field(codes):
    client = half_way()
    answer = client.post("/log-in/code/", {"code": "000000"})

    assert answer.status_code == 422
    assert "That code is not right" in answer.content.decode()
    assert not is_in(client)


def test_nobody_begins_with_the_second_step(codes, stranger):
    assert stranger.get("/log-in/code/")["Location"] == "/log-in/"


def test_ten_minutes_after_the_password_it_is_asked_for_again(codes, clock, owner):
    client = half_way()
    clock.shift(601)

    assert client.post("/log-in/code/", {"code": shown_by(owner)})["Location"] == "/log-in/"
    assert not is_in(client)


def test_a_new_password_ends_what_is_half_way(codes, owner):
    client = half_way()
    people.set_password(owner, "a new one for the loft", who=owner)

    assert client.post("/log-in/code/", {"code": shown_by(owner)})["Location"] == "/log-in/"


def test_a_written_code_leads_in_and_says_how_many_are_left(codes):
    client = half_way()
    client.post("/log-in/code/", {"code": codes[0]})

    assert "You have 9 left" in client.get(MY_PAGE).content.decode()


def test_a_trusted_browser_is_asked_again_after_thirty_days(codes, owner, clock):
    client = half_way()
    client.post("/log-in/code/", {"code": shown_by(owner), "trust": "on"})
    client.post("/log-out/")
    clock.shift(datetime.timedelta(days=29))
    assert client.post("/log-in/", SIGN_IN)["Location"] == "/"
    client.post("/log-out/")
    clock.shift(datetime.timedelta(days=2))

    assert client.post("/log-in/", SIGN_IN)["Location"] == "/log-in/code/"


def test_a_trusted_browser_is_trusted_for_its_own_person_only(codes, owner, clock):
    other = StaffFactory(username="ase", role=Staff.Role.OWNER)
    phone = second_factor.begin(other)
    second_factor.confirm(other, f"{totp(phone.bin_key):06d}")
    client = half_way()
    client.post("/log-in/code/", {"code": shown_by(owner), "trust": "on"})
    client.post("/log-out/")

    assert client.post("/log-in/", SIGN_IN | {"username": "ase"})["Location"] == "/log-in/code/"


def test_another_owner_helps_out_who_lost_the_phone(codes, owner, as_person):
    other = StaffFactory(username="ase", first_name="Åse", role=Staff.Role.OWNER)
    client = as_person(other)
    assert "Phone lost" in client.get(reverse("person", args=[owner.pk])).content.decode()
    client.post(reverse("person-factor-remove", args=[owner.pk]))

    assert Client().post("/log-in/", SIGN_IN)["Location"] == "/"


def test_nobody_takes_their_own_away_without_the_password(codes, owner, as_person):
    client = as_person(owner)
    client.post(reverse("person-factor-remove", args=[owner.pk]))
    client.post(reverse("my-second-factor-remove"), {"password": "a guess"})
    assert second_factor.is_set_up(owner)
    client.post(reverse("my-second-factor-remove"), {"password": PASSWORD})

    assert not second_factor.is_set_up(owner)


def test_the_owners_evening_asks_for_it_and_waits_a_week_when_it_is_put_off(as_person, owner, clock):
    client = as_person(owner)
    asks = "Your password alone opens the whole shop"
    first = client.get("/office/").content.decode()
    client.post(reverse("my-second-factor-later"))
    put_off = client.get("/office/").content.decode()
    clock.shift(datetime.timedelta(days=7, minutes=1))
    client.force_login(owner)

    assert asks in first
    assert asks not in put_off
    assert asks in client.get("/office/").content.decode()
