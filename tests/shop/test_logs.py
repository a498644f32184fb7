"""No line of a log holds the key of a link."""

import io
import logging

import pytest
from django.test import Client

from shoprepair import serve
from shoprepair.jobs import links
from shoprepair.shop.logs import WithoutKeys, without_keys
from shoprepair.shop.models import Staff
from tests.factories import JobFactory

TOKEN = "kd93-Jd8_s0aQpZ7xN1mB4vC6yT5rE2wU8iO0lK3hG9"


@pytest.fixture
def log() -> io.StringIO:
    """What the shop's own handler writes."""
    (handler,) = [
        handler
        for handler in logging.getLogger().handlers
        if any(isinstance(each, WithoutKeys) for each in handler.filters)
    ]
    written = io.StringIO()
    before = handler.setStream(written)
    yield written
    handler.setStream(before)


@pytest.mark.parametrize(
    ("said", "kept"),
    [
        (f"Not Found: /s/{TOKEN}/", "Not Found: /s/…/"),
        (f"Not Found: /s/{TOKEN}/photos/x/small.jpg", "Not Found: /s/…/photos/x/small.jpg"),
        (f"GET https://loft.example/s/{TOKEN}?x=1", "GET https://loft.example/s/…?x=1"),
        (f"with arguments ('{TOKEN}',) not found", "with arguments ('…',) not found"),
        ("Not Found: /s/shortened/", "Not Found: /s/…/"),
        (f"Not Found: /c/{TOKEN}/cover.pdf", "Not Found: /c/…/cover.pdf"),
        ("Not Found: /o/shortened/", "Not Found: /o/…/"),
        (
            f"GET /search/?q=https%3A%2F%2Floft.example%2Fc%2F{TOKEN}%2F",
            "GET /search/?q=https%3A%2F%2Floft.example%2Fc%2F…%2F",
        ),
        ("Not Found: /jobs/0412/ and /static/s.css", "Not Found: /jobs/0412/ and /static/s.css"),
        ("a" * 64, "a" * 64),
    ],
)
def test_a_token_is_left_out_wherever_it_stands(said: str, kept: str) -> None:
    assert without_keys(said) == kept


@pytest.mark.django_db
def test_what_the_shop_writes_about_a_link_leaves_its_key_out(log: io.StringIO, owner: Staff) -> None:
    link = links.make(JobFactory(), who=owner)
    path = links.path(link)
    links.withdraw(link, who=owner)
    client = Client()
    for part in ("", "answer/", "quote.pdf", "photos/x/small.jpg", "somewhere/"):
        assert client.get(path + part).status_code == 404
        assert client.post(path + part).status_code == 404
    assert log.getvalue().count("Not Found: /s/…/") == 10
    assert links.token(link) not in log.getvalue()


def test_a_fault_s_traceback_leaves_the_key_out_too(log: io.StringIO) -> None:
    try:
        raise ValueError(f"no answer from /s/{TOKEN}/")
    except ValueError:
        logging.getLogger("django.request").exception("Internal Server Error: %s", f"/s/{TOKEN}/ask/")
    assert "Internal Server Error: /s/…/ask/" in log.getvalue()
    assert "ValueError: no answer from /s/…/" in log.getvalue()
    assert TOKEN not in log.getvalue()


@pytest.mark.parametrize("name", ["django", "django.server", "django.security"])
def test_no_handler_of_django_s_own_writes_past_the_shop_s(name: str) -> None:
    # Those of the test runner are not meant.
    own = [each for each in logging.getLogger(name).handlers if type(each) is logging.StreamHandler]
    for handler in own:
        assert any(isinstance(each, WithoutKeys) for each in handler.filters)


def test_what_gunicorn_writes_itself_leaves_keys_out() -> None:
    record = logging.LogRecord("gunicorn.error", logging.ERROR, "", 0, "Error handling %s", (TOKEN,), None)

    class Log:
        error_log, access_log = logging.Logger("error"), logging.Logger("access")

    class Server:
        log = Log

    serve.on_starting(Server)
    assert Log.error_log.filter(record)
    assert Log.access_log.filters
    assert record.getMessage() == "Error handling …"
