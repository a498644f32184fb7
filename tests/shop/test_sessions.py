"""Log-ins that go on: listed in words, seen by the hour, ended at once."""

import datetime

import pytest
import time_machine
from django.contrib.sessions.backends.db import SessionStore
from django.contrib.sessions.models import Session
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shoprepair.shop import journal, people, sessions
from shoprepair.shop.models import LogIn, Pin, SharedTablet, Staff, TrustedBrowser
from shoprepair.shop.settings import current
from tests.factories import PASSWORD

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("owner")]
TABLET = "Mozilla/5.0 (X11; x86_64)"
PAGE = "/my/log-in/"


def logged_in(name: str, **extra: str) -> Client:
    client = Client(**extra)
    assert client.post("/log-in/", {"username": name, "password": PASSWORD}).status_code == 302
    return client


def is_in(client: Client) -> bool:
    return client.get(PAGE).status_code == 200


def tapped_a_moment_ago(client: Client) -> None:
    """As if it had been in use all the while."""
    session = client.session
    session[sessions.SEEN] = timezone.now().timestamp()
    session.save()


def test_a_log_in_is_listed_in_words(counter):
    logged_in("maja", HTTP_USER_AGENT=TABLET)
    (found,) = sessions.of(counter)

    assert (found.device, found.tablet) == ("a computer or tablet", None)


def test_a_log_out_takes_it_from_the_list_and_its_cookie_opens_nothing(counter):
    client = logged_in("maja")
    cookie = client.cookies["sessionid"].value
    client.post("/log-out/")
    client.cookies["sessionid"] = cookie

    assert not LogIn.objects.exists()
    assert not is_in(client)


def test_a_log_in_changes_what_the_browser_is_known_by(counter, stranger):
    stranger.session.save()
    before = stranger.session.session_key
    stranger.post("/log-in/", {"username": "maja", "password": PASSWORD})

    assert stranger.session.session_key != before


def test_one_ended_is_out_at_its_next_request_and_the_other_goes_on(counter):
    lost, here = logged_in("maja"), logged_in("maja")
    found = LogIn.objects.get(session_key=lost.session.session_key)
    here.post(reverse("my-log-in-end", args=[found.pk]))

    assert (is_in(lost), is_in(here)) == (False, True)


def test_all_others_end_with_one_tap(counter):
    clients = [logged_in("maja") for _ in range(3)]
    clients[0].post(reverse("my-log-ins-end"))

    assert [is_in(client) for client in clients] == [True, False, False]


def test_nobody_ends_the_log_ins_of_another(counter, bench, as_person):
    theirs = logged_in("maja")
    as_person(bench).post(reverse("my-log-in-end", args=[LogIn.objects.get(person=counter).pk]))

    assert is_in(theirs)


def test_somebody_shut_out_is_out_at_the_next_request_and_for_good(counter, owner):
    theirs = logged_in("maja")
    people.disable(counter, who=owner)
    out = is_in(theirs)
    people.enable(counter, who=owner)

    assert (out, is_in(theirs)) == (False, False)


def test_a_new_password_ends_log_ins_trusted_browsers_and_the_pin(counter, owner):
    theirs = logged_in("maja")
    TrustedBrowser.objects.create(person=counter, token_hash="1", device="x", until=timezone.now())
    Pin.objects.create(person=counter, hash="x")
    people.set_password(counter, "a new one for the loft", who=owner)

    assert not is_in(theirs)
    assert not (LogIn.objects.exists())
    assert not (TrustedBrowser.objects.exists())
    assert not (Pin.objects.exists())


def test_when_it_was_seen_is_written_once_an_hour(counter):
    with time_machine.travel("2026-11-25 08:00Z", tick=False) as clock:
        client = logged_in("maja")
        told = []
        for seconds in (1800, 1800, 1, 3600, 1):
            clock.shift(seconds)
            client.get(PAGE)
            told.append(f"{LogIn.objects.get().last_seen:%H:%M:%S}")

        assert told == ["08:00:00", "08:00:00", "09:00:01", "09:00:01", "10:00:02"]


def test_after_thirty_days_the_password_is_asked_for_however_busy_it_was(counter):
    with time_machine.travel("2026-11-01 08:00Z", tick=False) as clock:
        client = logged_in("maja")
        for _ in range(3):
            clock.shift(datetime.timedelta(days=10))
            tapped_a_moment_ago(client)
            assert is_in(client)
        clock.shift(datetime.timedelta(hours=2))
        client.get(PAGE)

        assert not is_in(client)


def test_what_was_left_lying_in_the_evening_is_closed_in_the_morning(counter):
    with time_machine.travel("2026-11-25 08:00Z", tick=False) as clock:
        client = logged_in("maja")
        for hours in (4, 7, 12):
            clock.shift(datetime.timedelta(hours=hours))
            assert is_in(client)
        clock.shift(datetime.timedelta(hours=12, seconds=1))
        refused = client.get("/check-in/")

        assert refused["Location"] == "/log-in/?next=/check-in/"
        assert not sessions.of(counter).exists()
        assert not LogIn.objects.exists()


@pytest.mark.parametrize("path", ["/log-in/", "/alive/", f"/s/{'A' * 43}/", "/no/such/page/"])
def test_nothing_that_is_open_to_everybody_wakes_up_what_was_left_lying(counter, path):
    with time_machine.travel("2026-11-25 18:00Z", tick=False) as clock:
        client = logged_in("maja")
        clock.shift(datetime.timedelta(hours=14))
        client.get(path)

        assert client.get("/check-in/")["Location"] == "/log-in/?next=/check-in/"


def test_what_was_left_lying_opens_no_page_that_asks_by_itself_who_is_logged_in(owner):
    with time_machine.travel("2026-11-25 18:00Z", tick=False) as clock:
        client = logged_in("runa")
        path = reverse("archive-import")
        assert client.get(path).status_code == 200
        clock.shift(datetime.timedelta(hours=14))

        assert client.get(path)["Location"] == f"/log-in/?next={path}"
        assert not LogIn.objects.exists()


def test_a_form_that_was_open_over_night_leads_back_to_its_page(counter):
    with time_machine.travel("2026-11-25 18:00Z", tick=False) as clock:
        client = logged_in("maja")
        clock.shift(datetime.timedelta(hours=14))
        sent = client.post("/my/units/", {}, headers={"Referer": "http://testserver/jobs/7/"})

        assert sent["Location"] == "/log-in/?next=%2Fjobs%2F7%2F"


def test_what_has_run_out_is_cleared_away_every_day(counter):
    with time_machine.travel("2026-11-01 08:00Z", tick=False) as clock:
        logged_in("maja")
        clock.shift(datetime.timedelta(days=15))
        sessions.prune()

    assert not (LogIn.objects.exists())
    assert not (Session.objects.exists())


def test_a_log_in_from_before_there_was_a_list_gets_its_place_in_it(counter, as_person):
    client = as_person(counter)
    LogIn.objects.all().delete()
    kept = client.session
    kept.pop(sessions.SEEN)
    kept.save()
    client.get(PAGE)

    assert LogIn.objects.get().session_key == client.session.session_key


def test_the_log_ins_of_somebody_are_their_own_with_their_tablet_and_the_last_used_first(
    counter, bench, owner, django_assert_num_queries
):
    with time_machine.travel("2026-11-25 08:00Z", tick=False) as clock:
        older, newer = logged_in("maja"), logged_in("maja")
        logged_in("tomek")
        tablet = SharedTablet.objects.create(
            name="Counter", token_hash="t", enrolled_at=timezone.now(), enrolled_by=owner
        )
        LogIn.objects.filter(session_key=older.session.session_key).update(tablet=tablet)
        clock.shift(datetime.timedelta(hours=2))
        older.get(PAGE)
        with django_assert_num_queries(1):
            told = [(str(found.tablet), found.last_seen.hour) for found in sessions.of(counter)]
        assert told == [("Counter", 10), ("None", 8)]
        Session.objects.filter(pk=older.session.session_key).update(expire_date=timezone.now())
        assert [found.tablet for found in sessions.of(counter)] == [None]
        assert LogIn.objects.get(session_key=newer.session.session_key).since == timezone.now() - (
            datetime.timedelta(hours=2)
        )


def test_a_device_is_named_in_the_language_of_whoever_looks(counter):
    client = logged_in("maja", HTTP_USER_AGENT="X11")
    assert "a computer or tablet" in client.get(reverse("my-log-in")).content.decode()

    Staff.objects.filter(pk=counter.pk).update(language="de")
    page = client.get(reverse("my-log-in")).content.decode()
    assert "ein Computer oder Tablet" in page
    assert "a computer or tablet" not in page


def test_nobody_was_last_seen_before_they_logged_in(counter):
    with time_machine.travel("2026-11-25 08:40Z", tick=False) as clock:
        older, newer = logged_in("maja"), logged_in("maja")
        page = newer.get(reverse("my-log-in")).content.decode()
        assert "used for less than an hour" in page
        assert "last seen" not in page

        clock.shift(datetime.timedelta(hours=2))
        older.get(PAGE)
        assert "last seen about 25 Nov, 10:40" in newer.get(reverse("my-log-in")).content.decode()


def test_ended_log_ins_are_counted_and_written_down_as_the_deed_of_whoever_ended_them(counter, bench, owner):
    logged_in("tomek")
    assert sessions.end(LogIn.objects.all(), counter, who=owner) == 0
    assert not journal.entries(counter).exists()
    told = []
    for many in (1, 2):
        for _ in range(many):
            logged_in("maja")
        assert sessions.end(LogIn.objects.all(), counter, who=owner) == many
        entry = journal.entries(counter).first()
        told.append((entry.verb, entry.text, entry.who))
    assert told == [
        ("log-ins.ended", "1 log-in of Maja Orrevik ended.", owner),
        ("log-ins.ended", "2 log-ins of Maja Orrevik ended.", owner),
    ]
    assert LogIn.objects.get().person == bench
    assert Session.objects.count() == 1


def test_all_that_lets_somebody_go_on_ends_and_nothing_of_anybody_else(counter, bench):
    for person in (counter, bench):
        logged_in(person.username)
        TrustedBrowser.objects.create(
            person=person, token_hash=person.username, device="x", until=timezone.now()
        )
        Pin.objects.create(person=person, hash="x")
    sessions.end_all(counter)
    for kind in (LogIn, TrustedBrowser, Pin):
        assert kind.objects.get().person == bench


def test_what_was_begun_on_a_tablet_ends_with_it(counter, bench, owner):
    here, elsewhere = logged_in("maja"), logged_in("maja")
    tablet = SharedTablet.objects.create(
        name="Counter", token_hash="t", enrolled_at=timezone.now(), enrolled_by=owner
    )
    LogIn.objects.filter(session_key=here.session.session_key).update(tablet=tablet)
    sessions.end_on(tablet)
    assert (is_in(here), is_in(elsewhere)) == (False, True)


def test_clearing_away_counts_what_has_run_out_and_leaves_what_has_not(counter):
    with time_machine.travel("2026-11-01 08:00Z", tick=False) as clock:
        logged_in("maja")
        for name, days in (("over", 1), ("on", 30)):
            until = timezone.now() + datetime.timedelta(days=days)
            TrustedBrowser.objects.create(person=counter, token_hash=name, device="x", until=until)
        assert sessions.prune() == 0
        clock.shift(datetime.timedelta(days=15))
        logged_in("maja")
        assert sessions.prune() == 3
        assert TrustedBrowser.objects.get().token_hash == "on"
        assert (LogIn.objects.count(), Session.objects.count()) == (1, 1)


def test_the_password_forgives_wrong_pins_and_only_the_person_s_own(counter, bench):
    for person in (counter, bench):
        Pin.objects.create(person=person, hash="x", wrong_tries=1)
    logged_in("maja")
    assert dict(Pin.objects.values_list("person__username", "wrong_tries")) == {"maja": 0, "tomek": 1}


def test_what_a_pin_opened_is_closed_over_night_and_forgives_no_wrong_pin(counter, rf):
    Pin.objects.create(person=counter, hash="x", wrong_tries=2)
    counter.by_pin = True
    request = rf.get("/", headers={"User-Agent": TABLET})
    request.session = SessionStore()
    with time_machine.travel("2026-11-25 08:00Z", tick=False):
        sessions.on_log_in(request, counter)
        assert request.session.get_expiry_age() == 12 * 3600
    assert Pin.objects.get().wrong_tries == 2
    found = LogIn.objects.get()
    assert (found.person, found.shop, found.session_key, found.device) == (
        counter,
        current(),
        request.session.session_key,
        "a computer or tablet",
    )
    assert request.session[sessions.SINCE] == request.session[sessions.SEEN] == found.since.timestamp()
    assert sessions.begin(request, counter) == found
    sessions.on_log_out(request)
    assert not LogIn.objects.exists()
