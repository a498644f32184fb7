"""How people get in: the owner by a second factor, everybody on a shared tablet by name and PIN."""

import base64
import re

from django.utils import timezone
from django_otp.oath import TOTP
from django_otp.plugins.otp_totp.models import TOTPDevice
from playwright.sync_api import Browser, Page, expect

from shoprepair.shop import pins
from shoprepair.shop.models import Staff
from tests.browser.conftest import TABLET, axe_clean

TYPED_SECRET = ".factor-secret"


def give_password(page: Page, base_url: str, name: str) -> None:
    page.goto(f"{base_url}/log-in/")
    page.get_by_label("Name", exact=True).fill(name)
    page.get_by_label("Password").fill("x")
    page.get_by_role("button", name="Log in", exact=True).click()


def code_of(secret: str, later: int = 0) -> str:
    """What a phone shows that was told this secret; `later` by so many steps of thirty seconds."""
    plain = secret.replace(" ", "")
    key = base64.b32decode(plain + "=" * (-len(plain) % 8))
    totp = TOTP(key)
    totp.time = timezone.now().timestamp() + 30 * later
    return f"{totp.token():06d}"


def give_code(page: Page, code: str) -> None:
    page.get_by_label("Code", exact=True).fill(code)
    page.get_by_role("button", name="Go on").click()


def test_the_owner_sets_up_a_phone_and_gets_in_elsewhere_by_it_and_by_a_written_code(
    page: Page, people: dict[str, Staff], log_in, browser: Browser, base_url: str
) -> None:
    log_in(people["owner"])
    page.goto("/my/log-in/")
    page.get_by_role("link", name="Set it up").click()
    page.get_by_role("button", name="Begin").click()
    secret = page.locator(TYPED_SECRET).inner_text()
    axe_clean(page)
    page.get_by_label("The six figures").fill(code_of(secret))
    page.get_by_label("Your password").fill("x")
    page.get_by_role("button", name="Ask me for codes from now on").click()
    expect(page.get_by_role("heading", name="Write these down")).to_be_visible()
    written = page.locator(".factor-codes code").all_inner_texts()
    assert len(set(written)) == 10
    # The step that was just used is worth nothing any more, and nobody waits here for the next one.
    TOTPDevice.objects.update(last_t=0)

    elsewhere = browser.new_context(base_url=base_url, viewport=TABLET)
    other = elsewhere.new_page()
    give_password(other, base_url, "owner")
    expect(other.get_by_role("heading", name="One more step")).to_be_visible()
    give_code(other, "000000")
    expect(other.get_by_text("That code is not right")).to_be_visible()
    TOTPDevice.objects.update(throttling_failure_count=0, throttling_failure_timestamp=None)
    give_code(other, code_of(secret))
    expect(other).to_have_url(f"{base_url}/")
    other.locator(".bar-person summary").click()
    other.get_by_role("button", name="Log out").click()
    give_password(other, base_url, "owner")
    give_code(other, written[3])
    expect(other.get_by_text("That code is used up. You have 9 left")).to_be_visible()
    elsewhere.close()


def test_a_shared_tablet_goes_from_hand_to_hand_by_pin_and_after_five_wrong_ones_by_password(
    page: Page, people: dict[str, Staff], log_in, base_url: str, complaints
) -> None:
    for role, pin in (("counter", "2580"), ("bench", "1470")):
        Staff.objects.filter(pk=people[role].pk).update(first_name=role.capitalize())
        pins.give(people[role], pin, who=people[role])
    log_in(people["owner"])
    page.goto("/office/tablets/")
    page.get_by_label("Name of the tablet").fill("Counter, left")
    page.get_by_role("button", name="Enrol this browser").click()
    page.get_by_role("link", name="Switch person", exact=True).click()
    axe_clean(page)

    def taps(name: str, pin: str) -> None:
        page.goto("/switch/")
        page.locator(".switch-people").get_by_role("link", name=name).click()
        page.get_by_label("PIN").fill(pin)
        page.get_by_role("button", name=f"Go on as {name}").click()

    for name, pin in (("Counter", "2580"), ("Bench", "1470")):
        taps(name, pin)
        expect(page.locator(".bar-switch")).to_contain_text(name)
    for _ in range(pins.MOST_WRONG - 1):
        taps("Counter", "1111")
        expect(page.get_by_text("That is not the PIN")).to_be_visible()
    taps("Counter", "1111")
    expect(page.get_by_text(re.compile("locked after 5 wrong tries"))).to_be_visible()
    taps("Counter", "2580")
    expect(page.get_by_text(re.compile("locked after 5 wrong tries"))).to_be_visible()

    page.context.clear_cookies(name="sessionid")
    give_password(page, base_url, "counter")
    taps("Counter", "2580")
    expect(page.locator(".bar-switch")).to_contain_text("Counter")
    # A wrong PIN is refused with the page that says so.
    complaints[:] = [said for said in complaints if "422" not in said]
