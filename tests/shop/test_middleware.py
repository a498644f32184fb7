from collections.abc import Callable

import pytest
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.test import RequestFactory
from django.utils import timezone
from django_htmx.middleware import HtmxDetails

from shoprepair.shop.middleware import ShopMiddleware
from shoprepair.shop.models import Staff
from shoprepair.shop.settings import current
from shoprepair.shop.units import Units

pytestmark = pytest.mark.django_db
View = Callable[[HttpRequest], HttpResponse]


def ask(rf: RequestFactory, view: View, **headers: str) -> HttpResponse:
    request = rf.get("/jobs/412/", headers=headers)
    request.user = Staff(pressure_unit="psi")
    request.htmx = HtmxDetails(request)

    def answer(asked: HttpRequest) -> HttpResponse:
        middleware.process_view(asked, view, (), {})
        return view(asked)

    middleware = ShopMiddleware(answer)
    return middleware(request)


def test_a_request_knows_the_shop_and_the_readers_units(rf: RequestFactory) -> None:
    def view(request: HttpRequest) -> HttpResponse:
        assert request.shop == current()
        assert request.units == Units("psi", "mm", "°C")
        return HttpResponse()

    assert ask(rf, view).status_code == 200


def test_times_are_those_of_the_shops_clock_while_the_page_is_made(rf: RequestFactory) -> None:
    shop = current()
    shop.time_zone = "America/Halifax"
    shop.save()
    answer = ask(rf, lambda _: HttpResponse(timezone.get_current_timezone_name()))
    assert answer.content == b"America/Halifax"
    assert timezone.get_current_timezone_name() == "UTC"


@pytest.mark.parametrize("name", ["", "Nowhere/Atoll", "../etc"])
def test_a_clock_that_does_not_exist_is_no_reason_to_fail(rf: RequestFactory, name: str) -> None:
    shop = current()
    shop.time_zone = name
    shop.save()
    answer = ask(rf, lambda _: HttpResponse(timezone.get_current_timezone_name()))
    assert answer.content == b"UTC"


def log_in_first(_: HttpRequest) -> HttpResponse:
    return HttpResponseRedirect("/log-in/?next=/jobs/412/pin/")


def test_a_fragment_asked_for_after_the_log_in_ended_sends_the_whole_page_to_log_in(
    rf: RequestFactory,
) -> None:
    page = "http://testserver/jobs/412/?open=2"
    answer = ask(rf, log_in_first, hx_request="true", hx_current_url=page)
    assert answer.status_code == 401
    assert answer["HX-Redirect"] == "/log-in/?next=%2Fjobs%2F412%2F%3Fopen%3D2"
    assert "Location" not in answer


def test_after_log_in_nobody_is_sent_to_a_page_elsewhere(rf: RequestFactory) -> None:
    answer = ask(rf, log_in_first, hx_request="true", hx_current_url="https://elsewhere.example/trap")
    assert answer["HX-Redirect"] == "/log-in/?next=%2F"


def test_a_whole_page_is_redirected_to_log_in_as_ever(rf: RequestFactory) -> None:
    assert ask(rf, log_in_first).status_code == 302


def test_a_fragment_may_be_redirected_anywhere_else(rf: RequestFactory) -> None:
    answer = ask(rf, lambda _: HttpResponseRedirect("/jobs/413/"), hx_request="true")
    assert (answer.status_code, answer["Location"]) == (302, "/jobs/413/")
