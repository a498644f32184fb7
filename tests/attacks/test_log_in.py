"""Somebody tries passwords, cookies and forms until they are in."""

import datetime
import re
from urllib.parse import urljoin

import pytest
import time_machine
from django.conf import settings
from django.contrib.auth.hashers import Argon2PasswordHasher
from django.test import Client
from django.utils import timezone

from shoprepair.shop import journal, log_ins
from shoprepair.shop.models import Attempt
from tests.factories import PASSWORD

pytestmark = pytest.mark.django_db

MINUTE = datetime.timedelta(minutes=1)


def log_in(name, password="not the password", client=None, **extra):
    return (client or Client()).post("/log-in/", {"username": name, "password": password}, **extra)


def wrong(name, times, **extra):
    return [log_in(name, **extra).status_code for _ in range(times)]


def age(by):
    """Let what was tried lie so much farther back."""
    for one in Attempt.objects.all():
        Attempt.objects.filter(pk=one.pk).update(at=one.at - by)


def body(answer):
    """The page without what is new on each."""
    return re.sub(r'(csrfmiddlewaretoken" value=|X-CSRFToken": )"[^"]*"', "", answer.content.decode())


def test_after_ten_failures_an_account_waits_and_the_right_password_waits_too(owner):
    assert wrong("runa", log_ins.MOST_FOR_ONE) == [200] * log_ins.MOST_FOR_ONE
    refused = log_in("runa", PASSWORD)
    assert refused.status_code == 429
    assert 0 < int(refused["Retry-After"]) <= 60
    assert "Wait 1 minute and try again" in refused.content.decode()
    assert 'value="runa"' in refused.content.decode()


def test_the_pause_ends_by_itself_and_whoever_comes_in_begins_anew(owner):
    wrong("runa", log_ins.MOST_FOR_ONE)
    age(MINUTE)
    assert log_in("runa", PASSWORD).status_code == 302
    assert wrong("runa", 3) == [200] * 3


def test_each_further_failure_doubles_the_pause_up_to_an_hour(owner):
    wrong("runa", log_ins.MOST_FOR_ONE)
    pauses = []
    for _ in range(8):
        pauses.append(round(int(log_in("runa")["Retry-After"]) / 60))
        age(datetime.timedelta(minutes=pauses[-1]))
        wrong("runa", 1)
    assert pauses == [1, 2, 4, 8, 16, 32, 60, 60]


def test_a_try_that_must_wait_lengthens_no_pause(owner):
    wrong("runa", log_ins.MOST_FOR_ONE)
    assert set(wrong("runa", 20)) == {429}
    age(MINUTE)
    assert log_in("runa", PASSWORD).status_code == 302


def test_of_one_account_it_says_nothing_to_another(owner, counter):
    wrong("runa", log_ins.MOST_FOR_ONE)
    assert log_in("maja", PASSWORD).status_code == 302


@pytest.mark.parametrize("spelt", ["RUNA", "ＲＵＮＡ", " runa "])
def test_another_spelling_is_no_other_account(owner, spelt):
    wrong("runa", log_ins.MOST_FOR_ONE)
    assert log_in(spelt).status_code == 429


def test_an_account_that_there_is_answers_as_one_that_there_is_not(owner):
    for _ in range(log_ins.MOST_FOR_ONE + 2):
        known, unknown = log_in("runa"), log_in("nobo")
        assert known.status_code == unknown.status_code
        assert set(known.headers) == set(unknown.headers)
        assert body(known) == body(unknown).replace("nobo", "runa")


def test_one_address_that_tries_many_names_waits_and_others_come_in(owner):
    for number in range(log_ins.MOST_FROM_ONE):
        assert log_in(f"name{number}").status_code == 200
    assert log_in("runa", PASSWORD).status_code == 429
    assert log_in("runa", PASSWORD, REMOTE_ADDR="203.0.113.5").status_code == 302


def test_a_shop_behind_one_address_may_log_in_as_often_as_it_likes(owner):
    for _ in range(log_ins.MOST_FOR_ONE + 5):
        assert log_in("runa", PASSWORD).status_code == 302
    assert not Attempt.objects.exists()


def test_the_owner_reads_of_it_in_the_office_and_never_what_was_typed_as_a_name(owner, as_person):
    wrong("runa", log_ins.MOST_FOR_ONE + 3)
    wrong("my-secret-password", log_ins.MOST_FOR_ONE)
    page = as_person(owner).get("/office/").content.decode()
    assert "10 log-ins as Runa Selvaag failed" in page
    assert [entry.text for entry in journal.entries(log_ins.SUBJECT)] == [
        "10 log-ins as Runa Selvaag failed. Each further one has to wait, longer every time."
    ]
    assert "my-secret-password" not in page
    with time_machine.travel(timezone.now() + datetime.timedelta(days=8)):
        assert not log_ins.told_lately()


def test_the_session_is_another_one_after_the_log_in_and_the_old_one_is_worth_nothing(owner):
    client = Client()
    client.cookies[settings.SESSION_COOKIE_NAME] = planted = "a" * 32
    log_in("runa", PASSWORD, client)
    ours = client.cookies[settings.SESSION_COOKIE_NAME].value
    assert ours != planted
    thief = Client()
    thief.cookies[settings.SESSION_COOKIE_NAME] = planted
    assert thief.get("/").status_code == 302


def test_a_cookie_kept_from_before_the_log_out_opens_nothing(owner):
    client, thief = Client(), Client()
    log_in("runa", PASSWORD, client)
    kept = client.cookies[settings.SESSION_COOKIE_NAME].value
    assert client.post("/log-out/")["Location"] == "/log-in/"
    thief.cookies[settings.SESSION_COOKIE_NAME] = kept
    assert thief.get("/").status_code == 302


def test_a_log_in_ends_after_two_weeks_whatever_the_browser_kept(owner, as_person):
    client = as_person(owner)
    assert client.get("/").status_code == 200
    with time_machine.travel(timezone.now() + datetime.timedelta(seconds=settings.SESSION_COOKIE_AGE + 60)):
        assert client.get("/").status_code == 302


def test_neither_log_in_nor_log_out_is_taken_from_another_site(owner, as_person):
    strict = Client(enforce_csrf_checks=True)
    assert log_in("runa", PASSWORD, strict).status_code == 403
    strict.force_login(owner)
    assert strict.post("/log-out/").status_code == 403
    assert strict.get("/log-out/").status_code == 405
    assert strict.get("/").status_code == 200


@pytest.mark.parametrize(
    "where",
    [
        *("//elsewhere.example", "https:elsewhere.example", "/\\elsewhere.example", "%09//elsewhere.example"),
        *(
            "javascript:alert(1)",
            "https://elsewhere.example/",
            "///elsewhere.example",
            "\t//elsewhere.example",
        ),
        *(
            "http://testserver@elsewhere.example",
            "https://testserver.elsewhere.example/",
            "//\x00elsewhere.example",
        ),
    ],
)
def test_whoever_logs_in_stays_in_the_shop(owner, where):
    sent = {"username": "runa", "password": PASSWORD, "next": where}
    to = Client().post("/log-in/", sent)["Location"]
    assert urljoin("http://testserver/log-in/", to).startswith("http://testserver/")
    assert not re.match(r"[\s\x00]|[/\\]{2}", to)
    fragment = Client().get("/jobs/1/", headers={"HX-Request": "true", "HX-Current-URL": where})
    assert fragment.status_code == 401
    assert fragment["HX-Redirect"].startswith("/log-in/?next=%2F")
    assert not fragment["HX-Redirect"].startswith("/log-in/?next=%2F%2F")


def test_no_letter_of_a_long_password_is_left_out(owner):
    hasher = Argon2PasswordHasher()
    hasher.memory_cost = 8 * 1024
    kept = hasher.encode("ø" * 80 + "1", "a salt of its own")
    assert hasher.verify("ø" * 80 + "1", kept)
    assert not hasher.verify("ø" * 80 + "2", kept)


def test_whoever_came_in_by_a_browser_before_does_not_wait_there_for_what_others_try(owner):
    own = Client()
    log_in("runa", PASSWORD, own)
    own.post("/log-out/")
    wrong("runa", log_ins.MOST_FOR_ONE)
    assert log_in("runa", PASSWORD).status_code == 429
    assert log_in("runa", PASSWORD, own).status_code == 302
    # What others tried still counts against them.
    assert log_in("runa", PASSWORD).status_code == 429


def test_such_a_browser_guesses_no_oftener_than_another(owner):
    own = Client()
    log_in("runa", PASSWORD, own)
    own.post("/log-out/")
    assert [log_in("runa", client=own).status_code for _ in range(log_ins.MOST_FOR_ONE)] == (
        [200] * log_ins.MOST_FOR_ONE
    )
    assert log_in("runa", PASSWORD, own).status_code == 429
    assert log_in("runa", PASSWORD).status_code == 302


def test_it_is_known_for_those_names_alone_and_not_by_a_cookie_that_was_made_up(owner, counter):
    own, thief = Client(), Client()
    log_in("runa", PASSWORD, own)
    own.post("/log-out/")
    wrong("maja", log_ins.MOST_FOR_ONE)
    assert log_in("maja", PASSWORD, own).status_code == 429
    thief.cookies["browser"] = own.cookies["browser"].value[:-1] + "_"
    wrong("runa", log_ins.MOST_FOR_ONE)
    assert log_in("runa", PASSWORD, thief).status_code == 429
    assert "runa" not in own.cookies["browser"].value
