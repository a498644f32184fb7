import pytest
from django.contrib.auth.models import AnonymousUser
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.test import RequestFactory

from shoprepair.shop.access import (
    COUNTER_ONLY,
    OWNER_ONLY,
    Roles,
    counter_only,
    is_owner,
    may_ask_for_more,
    owner_only,
    roles_of,
)
from shoprepair.shop.models import Staff


def test_everybody_has_their_own_role_and_the_owner_has_all() -> None:
    assert roles_of(Staff(role="counter")) == Roles(counter=True)
    assert roles_of(Staff(role="bench")) == Roles(bench=True)
    assert roles_of(Staff(role="owner")) == Roles(counter=True, bench=True, owner=True)


def test_a_stranger_has_no_role() -> None:
    assert roles_of(AnonymousUser()) == roles_of(None) == Roles()
    assert not is_owner(AnonymousUser())


@owner_only
def takings(request: HttpRequest) -> HttpResponse:
    return HttpResponse("what came in today")


@pytest.mark.parametrize("person", [Staff(role="counter"), Staff(role="bench"), AnonymousUser()])
def test_a_page_of_the_owner_tells_anyone_else_why_not(rf: RequestFactory, person: Staff) -> None:
    request = rf.get("/")
    request.user = person
    with pytest.raises(PermissionDenied) as refusal:
        takings(request)
    assert str(refusal.value) == "Only the owner may open this page. Ask the owner, or log in as the owner."


@counter_only
def till(request: HttpRequest) -> HttpResponse:
    return HttpResponse("the drawer opens")


@pytest.mark.parametrize("person", [Staff(role="bench"), AnonymousUser()])
def test_the_bench_moves_no_money_and_reads_who_does(rf: RequestFactory, person: Staff) -> None:
    request = rf.post("/")
    request.user = person
    with pytest.raises(PermissionDenied) as refusal:
        till(request)
    assert str(refusal.value) == COUNTER_ONLY


@pytest.mark.parametrize("role", ["counter", "owner"])
def test_money_is_moved_at_the_counter_and_by_the_owner(rf: RequestFactory, role: str) -> None:
    request = rf.post("/")
    request.user = Staff(role=role)
    assert till(request).content == b"the drawer opens"


def test_a_page_of_the_owner_opens_for_the_owner(rf: RequestFactory) -> None:
    request = rf.get("/")
    request.user = Staff(role="owner")
    assert takings(request).content == b"what came in today"


def by_pin(role: str) -> Staff:
    person = Staff(role=role)
    person.by_pin = True
    return person


def test_the_owner_who_came_in_by_pin_is_asked_for_the_password_and_led_back(rf: RequestFactory) -> None:
    for request, back in ((rf.get("/office/?week=2"), "/office/%3Fweek%3D2"), (rf.post("/office/"), "/")):
        request.user = by_pin("owner")
        answer = takings(request)
        assert (answer.status_code, answer["Location"]) == (302, f"/log-in/?next={back}")


def test_only_the_owner_by_pin_has_more_to_ask_for() -> None:
    assert may_ask_for_more(by_pin("owner"))
    for person in (Staff(role="owner"), by_pin("counter"), by_pin("bench"), AnonymousUser(), None):
        assert not may_ask_for_more(person)


def test_a_guarded_page_is_still_called_what_it_is_and_is_given_what_its_address_says(
    rf: RequestFactory,
) -> None:
    def drawer(request: HttpRequest, number: int, *, side: str) -> HttpResponse:
        return HttpResponse(f"{request.path} {number} {side}")

    drawer.login_required = True
    request = rf.get("/till/")
    request.user = Staff(role="owner")
    for guarded in (owner_only(drawer), counter_only(drawer)):
        assert (guarded.__name__, guarded.login_required) == ("drawer", True)
        assert guarded(request, 3, side="left").content == b"/till/ 3 left"


@pytest.mark.parametrize(("guard", "sentence"), [(owner_only, OWNER_ONLY), (counter_only, COUNTER_ONLY)])
def test_whoever_is_refused_reads_whose_page_it_is(rf: RequestFactory, guard, sentence: str) -> None:
    request = rf.get("/")
    request.user = Staff(role="bench")
    with pytest.raises(PermissionDenied) as refusal:
        guard(lambda request: HttpResponse("never"))(request)
    assert str(refusal.value) == sentence
