"""A database that rots: it is found, nothing more is written to it, and what there is can still be read."""

import sqlite3
import threading
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.db import DatabaseError, connection
from django.test import RequestFactory
from django.urls import reverse

from shoprepair.jobs.models import Customer
from shoprepair.shop import daily, damaged
from shoprepair.shop.backup import embedded, standing
from shoprepair.shop.outbox import worker
from tests.shop.backup.shops import flip_a_byte

pytestmark = [
    pytest.mark.django_db,
    pytest.mark.skipif(connection.vendor != "sqlite", reason="a server looks after its own pages"),
]
SOMEBODY = {"name": "Ilka Sandvoort", "sure": "1"}


@pytest.fixture(autouse=True)
def _a_folder(settings, tmp_path):
    settings.DATA_DIR = tmp_path


def test_a_whole_database_is_left_alone(counter, as_person):
    damaged.check()

    assert damaged.trouble() == ""
    assert as_person(counter).post(reverse("check-in-customer"), SOMEBODY).status_code == 302


def test_a_bad_page_is_found_and_the_command_says_what_to_do(tmp_path, monkeypatch):
    rotten = tmp_path / "shop.sqlite3"
    with connection.cursor() as cursor:
        cursor.execute("SELECT rootpage FROM sqlite_master WHERE name = 'shop_journalentry'")
        (page,) = cursor.fetchone()
    embedded.copy(Path(connection.settings_dict["NAME"]), rotten)
    monkeypatch.setitem(connection.settings_dict, "NAME", str(rotten))
    call_command("check_database")
    flip_a_byte(rotten, (page - 1) * 4096)
    with pytest.raises(CommandError, match="Stop the shop, then bring the last"):
        call_command("check_database")

    assert damaged.why()
    assert "takes no changes any more" in standing.troubles()[0]


def test_it_takes_no_changes_shows_what_there_is_and_lets_people_log_in(counter, as_person, stranger):
    client = as_person(counter)
    damaged.mark("a page of it is bad")
    refused = client.post(reverse("check-in-customer"), SOMEBODY)

    assert refused.status_code == 503
    assert "The shop’s database is damaged" in refused.content.decode()
    assert not Customer.objects.exists()
    assert client.get("/").status_code == 200
    counter.set_password("a sail above the bay")
    counter.save()
    typed = {"username": "maja", "password": "a sail above the bay"}
    assert stranger.post(reverse("login"), typed).status_code == 302


def test_a_script_is_told_in_a_sentence(counter, as_person):
    damaged.mark("a page of it is bad")
    refused = as_person(counter).post(reverse("check-in-customer"), SOMEBODY, headers={"HX-Request": "true"})

    assert refused.status_code == 503
    assert "is damaged" in refused["X-Sentence"]


def test_where_the_database_says_so_itself_it_is_marked_at_once(counter, caplog):
    cause = embedded_error()
    error = DatabaseError("database disk image is malformed")
    error.__cause__ = cause
    request = RequestFactory().get("/")
    answer = damaged.DamagedMiddleware(lambda _request: None).process_exception(request, error)

    assert answer.status_code == 503
    assert damaged.why() == "database disk image is malformed"
    assert "takes no changes any more" in caplog.text


def embedded_error():
    """What SQLite raises when it meets a page that cannot be."""
    cause = sqlite3.DatabaseError("database disk image is malformed")
    cause.sqlite_errorname = "SQLITE_CORRUPT"
    return cause


def test_no_letter_is_sent_that_could_not_be_marked_as_sent(monkeypatch):
    damaged.mark("a page of it is bad")
    sent, stop = [], threading.Event()
    monkeypatch.setattr(worker, "send_due", lambda **_said: sent.append(1))
    monkeypatch.setattr(stop, "wait", lambda _pause: stop.set())
    worker.run(stop=stop)

    assert sent == []


def test_once_it_is_whole_again_changes_are_taken(counter, as_person):
    damaged.mark("a page of it is bad")
    call_command("check_database")

    assert as_person(counter).post(reverse("check-in-customer"), SOMEBODY).status_code == 302


def test_it_is_looked_over_every_day_before_it_is_backed_up():
    names = daily.duties()
    assert names.index("database-checked") < names.index("backed-up")
