"""Customers and visitors get along by keys alone, and by names alone, on a phone."""

import pytest
from playwright.sync_api import Page

from shoprepair.pricing.models import Quote
from tests.browser import tasks
from tests.browser.conftest import PHONE
from tests.browser.tasks import Hands
from tests.browser.test_status_link import page_of, quote  # noqa: F401

pytestmark = pytest.mark.usefixtures("patterns")


def test_a_customer_reads_asks_and_says_yes(page: Page, hands: Hands, quote: Quote) -> None:  # noqa: F811
    page.set_viewport_size(PHONE)
    tasks.answers_a_quote(hands, page_of(quote.job))


def test_a_visitor_is_answered_and_sends_an_enquiry(page: Page, hands: Hands) -> None:
    page.set_viewport_size(PHONE)
    tasks.asks_before_coming(hands)
