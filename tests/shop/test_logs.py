"""No line of a log holds the key of a link."""

import io
import json
import logging
import sys

import pytest
from django.test import Client

from shoprepair import serve
from shoprepair.jobs import links
from shoprepair.shop.logs import LONGEST_BYTES, Json, Line, WithoutKeys, request_id, without_keys
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


FORMS = (Json(), Line())


@pytest.fixture(autouse=True)
def _before_any_request() -> None:
    request_id.set("")


def record_of(message: object, *, broke: Exception | None = None) -> logging.LogRecord:
    info = None
    if broke:
        try:
            raise broke
        except Exception:
            info = sys.exc_info()
    return logging.LogRecord("shoprepair.trial", logging.WARNING, "x.py", 1, message, None, info)


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize(
    "said",
    [
        "Not Found: /x\r\n2026-01-01 00:00:00 ERROR forged a line",
        "Not Found: /\x1b[31mred\x1b[0m\x07",
        "turned \u202eround, cut \u2028 in two, \x85 and \ud800 alone",
        "\0",
    ],
)
def test_nothing_that_is_sent_makes_another_line_or_moves_the_cursor(
    form: logging.Formatter, said: str
) -> None:
    line = form.format(record_of(said))
    assert not [letter for letter in line if not letter.isprintable()]
    line.encode()


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("letter", ["a", "é", "帆", "⛵"])
def test_a_line_is_cut_at_its_length(form: logging.Formatter, letter: str) -> None:
    line = form.format(record_of(f"Not Found: /{letter * 1_000_000}"))
    assert 500 < len(line.encode()) <= LONGEST_BYTES


def test_a_line_for_a_program_is_json_with_the_number_of_the_request() -> None:
    before = request_id.set("k7m2x9qd")
    line = Json().format(record_of("Bad Request: /jobs/412/", broke=KeyError("x" * 5000)))
    request_id.reset(before)
    said = json.loads(line)
    assert (said["request"], said["level"], said["logger"]) == ("k7m2x9qd", "WARNING", "shoprepair.trial")
    assert said["message"] == "Bad Request: /jobs/412/"
    assert "KeyError" in said["trace"]
    assert len(line.encode()) <= LONGEST_BYTES


def test_where_it_broke_stands_below_the_line_and_cannot_pass_for_one() -> None:
    first, *below = Line().format(record_of("It broke", broke=ValueError("a\nERROR forged"))).splitlines()
    assert first.endswith("WARNING shoprepair.trial It broke")
    assert all(line.startswith("    | ") for line in below)
    assert below[-2:] == ["    | ValueError: a", "    | ERROR forged"]


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize(
    "said",
    [
        "GET /search/?q=Somebody&band=1",
        "no letter to somebody@lee.example at all",
        "called +47 555 01 34 20 twice",
        "called (0555) 0134-2077 twice",
    ],
)
def test_no_line_names_a_person(form: logging.Formatter, said: str) -> None:
    line = form.format(record_of(said, broke=ValueError(f"'Somebody' typed it ({said})")))
    assert not [part for part in ("Somebody", "somebody", "lee.example", "0134", "01 34") if part in line]


def test_what_is_no_person_stays() -> None:
    said = "Letter 40312 (quote-out, job:412): sent at 2026-11-25 10:41, 1048576 bytes, 127.0.0.1:8025"
    assert said in Line().format(record_of(said))
