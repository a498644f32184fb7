"""Two pages that are open beside one another are told apart by their titles."""

import re
from html import unescape

import pytest
from django.urls import reverse

from tests.factories import QuoteFactory, QuoteLineFactory

pytestmark = pytest.mark.django_db


def title(client, address: str) -> str:
    found = re.search(r"<title>(.*?)</title>", client.get(address).content.decode(), flags=re.DOTALL)
    assert found
    return " ".join(unescape(found[1]).split())


def test_a_line_that_is_open_for_changing_names_its_page(as_person, counter):
    line = QuoteLineFactory(quote=QuoteFactory(), text="Sew a patch")
    client, number = as_person(counter), line.quote.job.number

    quote = title(client, reverse("quote", args=[number]))
    assert title(client, reverse("quote-line", args=[number, line.pk])) == f"Sew a patch · {quote}"


def test_the_offices_page_of_the_self_check_is_not_the_self_check(as_person, owner):
    client = as_person(owner)
    assert title(client, reverse("office-self-check")).startswith("Self-check · Office ·")
    assert title(client, reverse("self-check")).startswith("May I fix this myself? ·")
