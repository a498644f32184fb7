"""A shop whose language is written from the right: its pages are turned, and nothing falls out of them."""

import pytest
from playwright.sync_api import Page

from shoprepair.shop.models import Shop
from shoprepair.shop.settings import current
from tests.browser.conftest import PHONE
from tests.browser.visits import visit

pytestmark = pytest.mark.usefixtures("patterns")


@pytest.mark.parametrize("size", [PHONE, {"width": 1180, "height": 820}])
def test_the_pages_of_a_shop_that_writes_from_the_right_are_turned(page: Page, people, log_in, size):
    log_in(people["counter"])
    job = visit(people["counter"], "Oda Tveit", cut_mm=90)
    current()
    Shop.objects.update(language="ar")
    page.set_viewport_size(size)

    for address in ("/", job.get_absolute_url(), f"{job.get_absolute_url()}check-in/", "/bench/"):
        page.goto(address)
        assert page.locator("html").get_attribute("dir") == "rtl"
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), address
        shop = page.locator(".bar-shop").bounding_box()
        assert shop
        assert shop["x"] + shop["width"] > size["width"] / 2
