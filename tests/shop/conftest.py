"""A shop that can write letters, and a mail server that takes them."""

from collections.abc import Callable, Iterator
from typing import Any

import pytest

from shoprepair.shop import outbox
from shoprepair.shop.models import Letter, Shop
from shoprepair.shop.outbox import texts
from shoprepair.shop.settings import current
from tests.shop.post_office import PostOffice


@pytest.fixture
def shop(db: None) -> Shop:
    """The shop with a name and an address to write from."""
    shop = current()
    shop.name, shop.email = "North Quay Sail Loft", "loft@northquay.example"
    shop.save()
    return shop


@pytest.fixture
def post_office(settings: Any) -> Iterator[PostOffice]:
    """A mail server, and the settings that name it."""
    with PostOffice() as office:
        settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", office.port
        yield office


@pytest.fixture
def write(shop: Shop) -> Callable[..., Letter]:
    """Write a letter: `write()`, `write("ida@lee.example", "ready", customer="Ida")`."""

    def write_one(to: str = "ida@lee.example", code: str = "quote-out", **values: str) -> Letter:
        samples = {name: texts.SAMPLES[name] for name in texts.TEXTS[code].placeholders if name != "shop"}
        return outbox.write(to, code, {**samples, **values}, about="job:412")

    return write_one
