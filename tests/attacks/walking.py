"""Every page of the shop under an address at which it stands, for attacks that try them all."""

from collections.abc import Iterator

from django.urls import get_resolver

from shoprepair.jobs.models import Damage
from tests.test_junk import address, named_pages


def pages(damage: Damage, *, papers: bool = True) -> Iterator[tuple[str, str]]:
    """(name, address) of each route that has a name; papers take long to draw and can be left out."""
    for page in named_pages(get_resolver().url_patterns):
        where = address(page, damage)
        if papers or not where.endswith(".pdf"):
            yield page.name, where
