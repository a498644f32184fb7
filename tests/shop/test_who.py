"""Who is logged in, read with the session: one statement, and nothing of it outlives the request."""

import datetime
from collections.abc import Callable

import pytest
from django.contrib.auth import authenticate
from django.contrib.sessions.backends.db import SessionStore as DjangosOwn
from django.contrib.sessions.models import Session
from django.db import connection
from django.http import HttpRequest, HttpResponse
from django.test import Client, RequestFactory
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shoprepair.shop.access import is_owner
from shoprepair.shop.models import LogIn, Shop, Staff
from shoprepair.shop.settings import current
from shoprepair.shop.who import BY_PIN, ORDINARY, PasswordBackend, SessionStore, WhoMiddleware, shop_of
from tests.factories import PASSWORD

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("owner")]
READ_WITH_THE_SESSION = ("django_session", "shop_staff", "shop_shop")


@pytest.fixture(autouse=True)
def shop(db: None) -> Shop:
    """The loft, with a name of its own."""
    current()
    Shop.objects.update(name="North Quay Sail Loft")
    return Shop.objects.get()


@pytest.fixture
def comes(rf: RequestFactory) -> Callable[[Client], HttpRequest]:
    """The next request of a browser: `comes(client).user`."""

    def ask(client: Client) -> HttpRequest:
        request = rf.get("/")
        request.session = SessionStore(client.cookies["sessionid"].value)
        WhoMiddleware(lambda _: HttpResponse()).process_request(request)
        return request

    return ask


def read(request: HttpRequest) -> tuple[str, str, list[str]]:
    """Who comes, to which shop, and the statements that it took to learn it."""
    with CaptureQueriesContext(connection) as asked:
        who, where = str(request.user), shop_of(request).name
    return who, where, [each["sql"] for each in asked]


def test_session_person_and_shop_are_read_in_one_statement(counter, as_person, comes):
    who, where, asked = read(comes(as_person(counter)))

    assert (who, where, len(asked)) == ("Maja Orrevik", "North Quay Sail Loft", 1)


def test_a_page_asks_for_them_once_whatever_stands_before_it(counter, as_person):
    client = as_person(counter)
    with CaptureQueriesContext(connection) as asked:
        assert client.get("/check-in/").status_code == 200

    found = [each["sql"] for each in asked]
    assert len([sql for sql in found if any(f'"{table}"' in sql for table in READ_WITH_THE_SESSION)]) == 1


def test_nobody_is_asked_for_before_somebody_wants_to_know(counter, as_person, comes):
    client = as_person(counter)
    with CaptureQueriesContext(connection) as asked:
        comes(client)

    assert not asked.captured_queries


def test_every_browser_is_who_logged_in_on_it(counter, bench, as_person, comes):
    one, other, again = as_person(counter), as_person(bench), as_person(counter)

    assert [str(comes(each).user) for each in (one, other, again)] == [
        "Maja Orrevik",
        "Tomek Brandal",
        "Maja Orrevik",
    ]


@pytest.mark.parametrize("backend", [ORDINARY, BY_PIN])
def test_somebody_shut_out_is_out_at_once_and_back_when_let_in(counter, comes, client, backend):
    client.force_login(counter, backend=backend)
    told = []
    for active in (True, False, True):
        Staff.objects.filter(pk=counter.pk).update(is_active=active)
        told.append(comes(client).user.is_authenticated)

    assert told == [True, False, True]


def test_what_changed_about_somebody_counts_at_their_next_request(counter, as_person, comes):
    client = as_person(counter)
    assert not is_owner(comes(client).user)
    Staff.objects.filter(pk=counter.pk).update(role=Staff.Role.OWNER)

    assert is_owner(comes(client).user)


def test_a_password_that_was_changed_elsewhere_ends_what_the_old_one_opened(counter, as_person, comes):
    client = as_person(counter)
    counter.set_password("a new one for the loft")
    counter.save()

    assert not comes(client).user.is_authenticated


def test_who_came_in_by_pin_is_so_at_every_request_and_who_gave_the_password_is_not(owner, comes):
    by_pin, by_password = Client(), Client()
    by_pin.force_login(owner, backend=BY_PIN)
    by_password.force_login(owner, backend=ORDINARY)
    come = [comes(each).user for each in (by_pin, by_password, by_pin)]

    assert [(each.by_pin, is_owner(each)) for each in come] == [(True, False), (False, True), (True, False)]


def test_a_name_and_a_password_let_in_by_the_password_alone(counter):
    assert authenticate(username="maja", password=PASSWORD).backend == ORDINARY


def test_a_log_in_whose_time_is_up_is_out_though_its_row_is_there(counter, as_person, comes, time_machine):
    client = as_person(counter)
    ends = Session.objects.get().expire_date
    time_machine.move_to(ends - datetime.timedelta(seconds=1), tick=False)
    before = comes(client).user.is_authenticated
    time_machine.move_to(ends, tick=False)

    assert (before, comes(client).user.is_authenticated) == (True, False)
    assert LogIn.objects.exists()


def test_an_ended_log_in_is_out_though_others_go_on(counter, as_person, comes):
    ended, going_on = as_person(counter), as_person(counter)
    Session.objects.filter(pk=ended.session.session_key).delete()

    assert [comes(each).user.is_authenticated for each in (ended, going_on)] == [False, True]


def test_a_session_without_a_log_in_beside_it_still_works(counter, as_person, comes):
    client = as_person(counter)
    LogIn.objects.all().delete()
    who, where, asked = read(comes(client))

    assert (who, where, len(asked)) == ("Maja Orrevik", "North Quay Sail Loft", 4)


def test_a_log_in_from_before_it_named_its_shop_is_in_the_same_one(counter, as_person, comes):
    client = as_person(counter)
    LogIn.objects.update(shop=None)

    assert read(comes(client))[:2] == ("Maja Orrevik", "North Quay Sail Loft")


def test_who_is_logged_in_is_what_the_session_says_whoever_stands_beside_it(counter, bench, as_person, comes):
    client = as_person(counter)
    LogIn.objects.update(person=bench)

    assert str(comes(client).user) == "Maja Orrevik"


def test_a_stranger_is_nobody_and_still_finds_the_shop(rf):
    request = rf.get("/")
    request.session = SessionStore(None)
    WhoMiddleware(lambda _: HttpResponse()).process_request(request)

    assert not request.user.is_authenticated
    assert shop_of(request).name == shop_of(rf.get("/")).name == "North Quay Sail Loft"


def test_whoever_is_asked_for_outside_of_a_request_is_read_anew(counter, as_person, comes):
    assert str(comes(as_person(counter)).user) == "Maja Orrevik"
    Staff.objects.filter(pk=counter.pk).update(first_name="Majken")

    assert str(PasswordBackend().get_user(counter.pk)) == "Majken Orrevik"


def test_a_session_holds_and_ends_as_if_nothing_were_read_with_it(counter, as_person):
    key = as_person(counter).session.session_key
    ours, own = (kind(key)._get_session_from_db() for kind in (SessionStore, DjangosOwn))

    assert (ours, ours.session_data, ours.expire_date) == (own, own.session_data, own.expire_date)


def test_a_session_that_names_what_no_longer_lets_anybody_in_lets_nobody_in(counter, as_person, comes):
    client = as_person(counter)
    session = client.session
    session["_auth_user_backend"] = "django.contrib.auth.backends.ModelBackend"
    session.save()

    assert not comes(client).user.is_authenticated
    assert client.get(reverse("rack"))["Location"].startswith(reverse("login"))
