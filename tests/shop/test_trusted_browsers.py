"""Whom a browser spares the second factor, and whom it reminds of one."""

from collections.abc import Iterator

import pytest
import time_machine
from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django_otp.oath import totp

from shoprepair.shop import second_factor
from shoprepair.shop.models import Staff, TrustedBrowser
from tests.factories import StaffFactory

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _morning() -> Iterator[None]:
    with time_machine.travel("2026-11-25 08:00:10Z", tick=False):
        yield


def set_up(person: Staff) -> None:
    phone = second_factor.begin(person)
    second_factor.confirm(person, f"{totp(phone.bin_key):06d}")


def test_a_trusted_browser_is_asked_for_no_code_for_thirty_days(owner, counter, rf):
    def browser(cookies) -> HttpRequest:
        request = rf.get("/", headers={"User-Agent": "Mozilla/5.0 (X11)"})
        request.COOKIES = {name: cookie.value for name, cookie in cookies.items()}
        return request

    set_up(owner)
    assert not second_factor.is_asked(browser({}), counter)
    assert second_factor.is_asked(browser({}), owner)
    second_factor.trust(browser({}), answer := HttpResponse(), owner)
    kept = TrustedBrowser.objects.get()
    assert (kept.person, kept.device) == (owner, "a computer or tablet")
    assert kept.until == timezone.now() + second_factor.TRUSTED_FOR
    assert answer.cookies["known"]["max-age"] == 30 * 86400
    assert not second_factor.is_asked(browser(answer.cookies), owner)
    TrustedBrowser.objects.update(token_hash="of another browser")
    assert second_factor.is_asked(browser(answer.cookies), owner)


def test_an_owner_without_one_is_reminded_and_may_put_it_off_for_a_week(owner, counter, rf):
    request = rf.get("/")
    assert second_factor.should_be_set_up(request, owner)
    assert not second_factor.should_be_set_up(request, counter)
    second_factor.put_off(answer := HttpResponse(), owner)
    request.COOKIES = {name: cookie.value for name, cookie in answer.cookies.items()}
    assert answer.cookies["later"]["max-age"] == 7 * 86400
    assert not second_factor.should_be_set_up(request, owner)
    other = StaffFactory(role="owner")
    assert second_factor.should_be_set_up(request, other)
    set_up(other)
    assert not second_factor.should_be_set_up(request, other)
