"""Every route, every kind of person, every method: who gets in is what the reviewed table says."""

import re
from collections.abc import Callable, Iterator
from itertools import product

import pytest
from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.contrib.auth.models import AnonymousUser
from django.contrib.messages.storage.fallback import FallbackStorage
from django.contrib.sessions.backends.signed_cookies import SessionStore
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.test import Client, RequestFactory
from django.urls import get_resolver, resolve
from django_htmx.middleware import HtmxDetails

from shoprepair.cover import links as cover_links
from shoprepair.cover import transfer_links, transfers
from shoprepair.jobs import links
from shoprepair.shop.models import Attempt, Staff
from shoprepair.shop.settings import current
from shoprepair.shop.units import units_for
from tests.attacks.routes import NOBODY, TABLE, Rule
from tests.factories import CustomerFactory, InflatableFactory, JobFactory, OwnershipFactory
from tests.papers.covering import cover, visit

pytestmark = pytest.mark.django_db

METHODS = ("GET", "HEAD", "POST", "DELETE")
BY_MIGHT = ("nobody", "bench", "counter", "owner")
NOT_THERE = {"int": "987654", "str": "none", "slug": "none", "path": "a/b", "week": "2026-w48"}
SLOW = {"self-check-offline", "self-check-worker", "self-check-leaflet"}
"""Their pages take seconds to write."""
IN, LOG_IN, REFUSED, NO_METHOD, NOT_FOUND = "in", "log-in", "refused", "no such method", "not found"
Ask = Callable[[str, str, str], str]
"""What comes of it when a person sends a method to an address."""


def routes(resolver: object = None, before: str = "") -> Iterator[tuple[str, str]]:
    """(name, pattern) of every route; one without a name goes by its pattern."""
    for found in (resolver or get_resolver()).url_patterns:
        pattern = f"{before}{found.pattern}"
        if hasattr(found, "url_patterns"):
            yield from routes(found, pattern)
        else:
            yield found.name or pattern, pattern


def test_every_route_has_its_line_in_the_table_and_every_line_its_route() -> None:
    there = dict(routes())
    for name, pattern in there.items():
        assert name in TABLE, (
            f"The route {name!r} (/{pattern}) has no line in tests/attacks/routes.py. Write one that says "
            "who may look at it (GET), who may send to it (POST), and why; an office page is the owner's."
        )
    for name in TABLE:
        assert name in there, f"There is no route {name!r} any more: take its line out of the table."
    assert all(rule.why.endswith(".") for rule in TABLE.values())


def test_a_stranger_reaches_the_log_in_the_links_the_self_check_and_nothing_else() -> None:
    """Spelled out once more, so that one line changed in the table opens nothing unseen."""
    public = {name for name, rule in TABLE.items() if "nobody" in rule.look | rule.send}
    by_key = {name for name in public if TABLE[name].by_key}
    assert all(re.match("[sco]/", pattern) for name, pattern in routes() if name in by_key)
    assert public - by_key == {
        *("login", "first-run", "alive", "ready", "manifest"),
        *("without-line", "line-worker"),
        *("log-in-code", "switch-person", "switch-pin"),
        *("self-check", "self-check-tally", "self-check-offline", "self-check-worker"),
        *("enquiry", "enquiry-thanks"),
    }


@pytest.fixture
def people(counter: Staff, bench: Staff, owner: Staff) -> dict[str, Staff | AnonymousUser]:
    return {"nobody": AnonymousUser(), "counter": counter, "bench": bench, "owner": owner}


@pytest.fixture
def keys(counter: Staff) -> dict[str, str]:
    """A live key for each kind of link, by the first letter of its address."""
    job, wing = JobFactory(), InflatableFactory()
    OwnershipFactory(customer=job.customer, inflatable=wing)
    cover(visit(wing, customer=job.customer))
    passed = transfers.offer(wing, CustomerFactory(email="brann@soll.example"), who=counter)
    return {
        "s": links.token(links.make(job, who=counter)),
        "c": cover_links.path(cover_links.make(InflatableFactory())).split("/")[2],
        "o": transfer_links.token(passed, "giver"),
    }


def address(pattern: str, keys: dict[str, str]) -> str:
    """Where the route is found: under a live key, or with a number that no record has."""
    keyed = re.sub(r"<str:token>", keys.get(pattern[:1], ""), pattern)
    return "/" + re.sub(r"<(\w+):\w+>", lambda found: NOT_THERE[found[1]], keyed)


def at_the_door(people: dict[str, Staff | AnonymousUser]) -> Ask:
    """Ask the log-in's middleware and the view itself, without what is done for every page alike."""
    rf, door, shop = RequestFactory(), LoginRequiredMiddleware(lambda _: HttpResponse()), current()

    def ask(who: str, method: str, where: str) -> str:
        request, match = rf.generic(method, where), resolve(where)
        request.user, request.session, request.shop = people[who], SessionStore(), shop
        request.resolver_match, request.units = match, units_for(people[who], shop)
        request.htmx, request._messages = HtmxDetails(request), FallbackStorage(request)
        request._dont_enforce_csrf_checks = True
        if door.process_view(request, match.func, match.args, match.kwargs):
            return LOG_IN
        try:
            return came(match.func(request, *match.args, **match.kwargs))
        except Http404:
            return NOT_FOUND
        except PermissionDenied:
            return REFUSED

    return ask


def all_the_way(people: dict[str, Staff | AnonymousUser]) -> Ask:
    """Ask as a browser does, through everything that stands before a view."""

    def logged_in(who: str) -> Client:
        client = Client(raise_request_exception=False)
        if who != "nobody":
            client.force_login(people[who])
        return client

    clients = {who: logged_in(who) for who in people}

    def ask(who: str, method: str, where: str) -> str:
        client = logged_in(who) if where == "/log-out/" else clients[who]
        answer = client.generic(method, where)
        # Read to its end, which closes the file that it comes from; closed by hand, it would take the test's
        # database along.
        answer.getvalue()
        return came(answer)

    return ask


def came(answer: HttpResponse) -> str:
    """What an answer means for whoever asked."""
    if file := getattr(answer, "file_to_stream", None):
        file.close()
    if answer.status_code == 302 and answer["Location"].startswith("/log-in/?"):
        return LOG_IN
    return {403: REFUSED, 404: NOT_FOUND, 405: NO_METHOD}.get(answer.status_code, IN)


def meant(rule: Rule, who: str, method: str) -> set[str]:
    """What the table lets come of it."""
    may = {"GET": rule.look, "HEAD": rule.look, "POST": rule.send}.get(method, NOBODY)
    if who in may:
        return {IN, NOT_FOUND}
    if rule.by_key:
        return {NO_METHOD, NOT_FOUND}
    if who == "nobody" and "nobody" not in rule.look | rule.send:
        return {LOG_IN}
    # Whoever may do everything meets the method; somebody else may hear first that it is not for them.
    return {NO_METHOD} if who == "owner" or "nobody" in rule.look | rule.send else {NO_METHOD, REFUSED}


def quickly(name: str, who: str, method: str) -> bool:
    """Whether it is asked in every run: whoever may not, always; of those who may, the least of them once."""
    rule = TABLE[name]
    may = rule.send if method == "POST" else rule.look
    if method == "DELETE" or who not in may:
        return True
    return method != "HEAD" and name not in SLOW and who == next(one for one in BY_MIGHT if one in may)


def unlike_the_table(
    ask: Ask, keys: dict[str, str], asked: Callable[[str, str, str], bool] = quickly
) -> Iterator[str]:
    for name, pattern in routes():
        if name not in TABLE:
            continue
        rule, where = TABLE[name], address(pattern, keys)
        for who, method in product(BY_MIGHT, METHODS):
            if not asked(name, who, method):
                continue
            if (out := ask(who, method, where)) not in (may := meant(rule, who, method)):
                yield f"{method} {name} by {who}: {out}, not one of {sorted(may)}"
        if rule.by_key:
            Attempt.objects.all().delete()


def test_who_gets_in_is_what_the_table_says(people, keys, caplog) -> None:
    caplog.set_level("ERROR", "django.request")
    assert list(unlike_the_table(at_the_door(people), keys)) == []


@pytest.mark.soak
def test_who_gets_in_through_everything_that_stands_before_a_page_is_the_same(people, keys) -> None:
    assert list(unlike_the_table(all_the_way(people), keys, lambda *_: True)) == []
