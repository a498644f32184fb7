"""Whoever watches the shop hears one word, and whoever may know it hears why."""

import datetime
import os
import time

import pytest
from django.db import connection
from django.test import Client
from django.utils import timezone

from shoprepair.health import standing
from shoprepair.shop import heartbeat, outbox
from shoprepair.shop.backup import layout
from shoprepair.shop.models import Letter, Staff
from shoprepair.shop.outbox import texts

FROM_ELSEWHERE = {"REMOTE_ADDR": "203.0.113.9"}
BEHIND_A_PROXY = {"REMOTE_ADDR": "127.0.0.1", "HTTP_X_FORWARDED_FOR": "203.0.113.9"}


@pytest.fixture(autouse=True)
def _asked_anew(monkeypatch: pytest.MonkeyPatch, tmp_path, settings) -> None:
    monkeypatch.setattr(standing, "_kept", None)
    settings.DATA_DIR, settings.BACKUP_DIR = tmp_path, tmp_path / "backups"


@pytest.fixture
def well(db: None, settings) -> None:
    """A shop whose worker lives and whose backup is an hour old."""
    heartbeat.beat()
    backup_made(settings, datetime.timedelta(hours=1))


def backup_made(settings, ago: datetime.timedelta) -> None:
    folder = settings.BACKUP_DIR / layout.name(timezone.now() - ago)
    folder.mkdir(parents=True)
    (folder / layout.MANIFEST).write_text("{}")


def test_the_server_is_alive_without_a_database_and_by_whatever_name(stranger: Client) -> None:
    answer = stranger.get("/alive/", headers={"host": "10.3.0.7:8000"})
    assert (answer.status_code, answer.json()) == (200, {"status": "alive"})
    assert not answer.cookies


@pytest.mark.parametrize("asked", [FROM_ELSEWHERE, BEHIND_A_PROXY])
def test_a_stranger_hears_one_word(well: None, stranger: Client, asked) -> None:
    answer = stranger.get("/ready/", **asked)
    assert (answer.status_code, answer.json()) == (200, {"status": "ready"})
    assert not answer.cookies


def test_on_this_machine_the_reasons_are_said(well: None, stranger: Client) -> None:
    said = stranger.get("/ready/").json()
    assert {name: said[name]["word"] for name in ("database", "tables", "disk", "worker", "backup")} == {
        "database": "ok",
        "tables": "ok",
        "disk": "ok",
        "worker": "ok",
        "backup": "ok",
    }
    assert said["backup"]["age_h"] == 1.0


def test_the_owner_hears_the_reasons_from_anywhere_and_nobody_else_does(
    well: None, as_person, owner: Staff, counter: Staff
) -> None:
    assert "disk" in as_person(owner).get("/ready/", **FROM_ELSEWHERE).json()
    assert as_person(counter).get("/ready/", **FROM_ELSEWHERE).json() == {"status": "ready"}


def test_a_worker_that_is_silent_and_a_backup_that_is_old_call_for_a_look_and_close_no_shop(
    well: None, stranger: Client, settings
) -> None:
    for folder in settings.BACKUP_DIR.iterdir():
        folder.rename(folder.with_name(layout.name(timezone.now() - datetime.timedelta(hours=30))))
    long_ago = time.time() - heartbeat.LATE_S - 1
    os.utime(heartbeat.path(), (long_ago, long_ago))
    answer = stranger.get("/ready/")
    assert (answer.status_code, answer.json()["status"]) == (200, "look")
    assert (answer.json()["worker"]["word"], answer.json()["backup"]["word"]) == ("late", "old")


@pytest.mark.django_db
def test_a_shop_that_has_neither_yet_is_looked_at(stranger: Client) -> None:
    said = stranger.get("/ready/").json()
    assert (said["status"], said["worker"]["word"], said["backup"]["word"]) == ("look", "none", "none")


def test_a_full_disk_closes_it_and_one_that_fills_calls_for_a_look(
    well: None, stranger: Client, monkeypatch
) -> None:
    free = standing.shutil.disk_usage("/").free
    monkeypatch.setattr(standing, "LOW_BYTES", free * 2)
    assert standing.look().word == "look"
    monkeypatch.setattr(standing, "FULL_BYTES", free * 2)
    answer = stranger.get("/ready/", **FROM_ELSEWHERE)
    assert (answer.status_code, answer.json()) == (503, {"status": "unready"})


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ("DELETE FROM django_migrations WHERE app = 'shop' AND name LIKE '0002%'", "migrate"),
        (
            "INSERT INTO django_migrations (app, name, applied) "
            "VALUES ('shop', '9999_later', CURRENT_TIMESTAMP)",
            "newer",
        ),
    ],
)
def test_a_program_and_tables_that_do_not_fit_are_told(
    well: None, stranger: Client, change: str, word: str
) -> None:
    with connection.cursor() as cursor:
        cursor.execute(change)
    answer = stranger.get("/ready/")
    assert (answer.status_code, answer.json()["tables"]["word"]) == (503, word)


@pytest.mark.django_db
@pytest.mark.skipif(connection.vendor != "sqlite", reason="forbids writing as the embedded database does")
def test_a_database_that_takes_nothing_closes_it(well: None, stranger: Client) -> None:
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA query_only = 1")
    try:
        answer = stranger.get("/ready/")
    finally:
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA query_only = 0")
    assert (answer.status_code, answer.json()["database"]["word"]) == (503, "unwritable")


def test_it_is_not_looked_at_again_for_each_who_asks(
    well: None, stranger: Client, django_assert_num_queries
) -> None:
    stranger.get("/ready/")
    with django_assert_num_queries(0):
        assert stranger.get("/ready/").json()["status"] == "ready"


@pytest.mark.parametrize("path", ["/alive/", "/ready/"])
def test_nothing_is_changed_by_asking(stranger: Client, path: str) -> None:
    assert stranger.post(path).status_code == 405


def test_a_letter_that_came_back_calls_for_a_look_until_somebody_has_settled_it(
    well: None, stranger: Client
) -> None:
    values = dict.fromkeys(texts.TEXTS["ready"].placeholders, "x")
    letter = outbox.write("ida@lee.example", "ready", values, about="job:1")
    for state, word, found in (("failed", "look", "back"), ("cancelled", "ready", "off")):
        Letter.objects.filter(pk=letter.pk).update(state=state)
        standing._kept = None
        said = stranger.get("/ready/").json()
        assert (said["status"], said["letters"]["word"]) == (word, found)
