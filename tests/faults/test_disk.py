"""The disk is full, or gone, or torn off in the middle: what was confirmed stays, what was not says so."""

import logging
import random
import resource
import sqlite3
from collections import namedtuple
from contextlib import closing, suppress
from pathlib import Path

import pytest
from django.db import connection, transaction
from django.urls import reverse

from shoprepair.jobs.models import Customer, Photo
from shoprepair.shop import files, journal
from shoprepair.shop.models import JournalEntry
from shoprepair.shop.numbers import next_number
from tests.counter.checking_in import picture
from tests.factories import DamageFactory

pytestmark = pytest.mark.skipif(connection.vendor != "sqlite", reason="a server keeps its files itself")
Usage = namedtuple("Usage", "free total")
POINTS = pytest.mark.parametrize("points", [20, pytest.param(500, marks=pytest.mark.soak)])


@POINTS
@pytest.mark.django_db(transaction=True)
def test_after_a_power_cut_at_any_moment_all_is_there_up_to_the_last_change_that_reached_the_disk(
    points, tmp_path, counter
):
    """What had reached the disk by then is the beginning of the log of changes, cut off anywhere."""
    database, chance = Path(connection.settings_dict["NAME"]), random.Random(points)
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    whole, written = database.read_bytes(), []
    for _ in range(25):
        with transaction.atomic():
            journal.record(f"torn:{next_number('torn')}", "torn", "x" * chance.randrange(9000), who=counter)
        written.append(database.with_name(database.name + "-wal").stat().st_size)
    log = database.with_name(database.name + "-wal").read_bytes()
    for point in [0, len(log), *(chance.randrange(len(log)) for _ in range(points))]:
        lost = tmp_path / "shop.sqlite3"
        lost.write_bytes(whole)
        lost.with_name("shop.sqlite3-wal").write_bytes(log[:point] + chance.randbytes(chance.randrange(5000)))
        confirmed = sum(size <= point for size in written)
        assert read_again(lost) == ("ok", confirmed, confirmed)


def read_again(path):
    """Whether it is whole, the number that was given last, and how many were given."""
    with closing(sqlite3.connect(path)) as opened:
        whole = opened.execute("PRAGMA integrity_check").fetchone()[0]
        last = opened.execute("SELECT value FROM shop_counter WHERE name = 'torn'").fetchone()
        many = opened.execute("SELECT count(*) FROM shop_journalentry WHERE verb = 'torn'").fetchone()[0]
    path.with_name(path.name + "-wal").unlink(missing_ok=True)
    path.with_name(path.name + "-shm").unlink(missing_ok=True)
    return whole, last[0] if last else 0, many


@pytest.mark.django_db(transaction=True)
def test_a_full_disk_is_said_reading_goes_on_and_with_room_again_all_goes_on(counter, as_person):
    client = as_person(counter)
    client.get("/")
    pages = allowed(1)
    try:
        answers = [client.post(*somebody(number)) for number in range(12)]
        taken = [answer.status_code for answer in answers].index(503)
        assert {answer.status_code for answer in answers[taken:]} == {503}
        assert "disk of the shop’s computer is full" in answers[-1].content.decode()
        assert client.get("/").status_code == 200
        assert Customer.objects.count() == taken
    finally:
        allowed(pages)
    assert client.post(*somebody(12)).status_code == 302
    assert Customer.objects.count() == taken + 1


def somebody(number):
    """The form of a new customer about whom there is much to say."""
    sent = {
        "name": f"Ilka Sandvoort {number}",
        "phone": f"+1 555 0{number:03d}",
        "email": "",
        "note": "x" * 2000,
    }
    return reverse("check-in-customer"), sent


def allowed(pages):
    """Let the database grow to so many pages and no farther; how many it was allowed before."""
    with connection.cursor() as cursor:
        cursor.execute("VACUUM")
        before = cursor.execute("PRAGMA max_page_count").fetchone()[0]
        cursor.execute(f"PRAGMA max_page_count = {pages}")
    return before


@pytest.mark.django_db(transaction=True)
def test_whichever_write_the_disk_fails_at_nothing_is_confirmed_and_the_next_one_goes_through(
    counter, as_person
):
    """The log of changes may grow by so many pages and no byte farther; the disk answers with an error."""
    client = as_person(counter)
    client.get("/")
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    failed = 0
    while (answer := failing_at(failed * 4120 + 2100, client, failed)).status_code != 302:
        assert answer.status_code == 503
        assert "was not saved" in answer.content.decode()
        assert (
            Customer.objects.count() == JournalEntry.objects.filter(verb__startswith="customer").count() == 0
        )
        failed += 1
        assert failed < 200
    assert failed > 3
    assert Customer.objects.count() == 1
    assert client.post(*somebody(999)).status_code == 302
    assert Customer.objects.count() == 2
    with connection.cursor() as cursor:
        assert cursor.execute("PRAGMA integrity_check").fetchone()[0] == "ok"


def failing_at(size, client, number):
    """What somebody hears where no file can be written beyond this size."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, before[1]))
    try:
        return client.post(*somebody(number))
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)


@pytest.mark.django_db
def test_where_no_photo_can_be_written_it_is_said_and_all_else_is_kept(
    counter, as_person, settings, tmp_path
):
    client, job = as_person(counter), DamageFactory().job
    settings.MEDIA_ROOT = tmp_path / "in the way"
    settings.MEDIA_ROOT.write_text("A file where the folder was.")
    refused = client.post(reverse("photo-add", args=[job.number]), {"photo": picture(), "key": "k1"})
    assert refused.status_code == 422
    assert "disk did not take the photo" in refused.content.decode()
    assert not Photo.objects.exists()
    assert client.get(f"/jobs/{job.number}/").status_code == 200
    settings.MEDIA_ROOT.unlink()
    kept = client.post(reverse("photo-add", args=[job.number]), {"photo": picture(), "key": "k2"})
    assert kept.status_code == 302
    assert Photo.objects.count() == 1


@pytest.mark.django_db
def test_on_a_disk_that_is_nearly_full_photos_are_refused_before_words_are(counter, as_person, monkeypatch):
    client, job = as_person(counter), DamageFactory().job
    photo = reverse("photo-add", args=[job.number])
    monkeypatch.setattr(files.shutil, "disk_usage", lambda _at: Usage(free=499_000_000, total=9_000_000_000))
    assert client.post(photo, {"photo": picture(), "key": "k1"}).status_code == 302
    monkeypatch.setattr(
        files.shutil, "disk_usage", lambda _at: Usage(free=499_000_000, total=100_000_000_000)
    )
    refused = client.post(photo, {"photo": picture(), "key": "k2"})
    assert refused.status_code == 422
    assert "disk did not take the photo" in refused.content.decode()
    assert client.post(*somebody(1)).status_code == 302
    assert (Photo.objects.count(), Customer.objects.filter(name__endswith=" 1").count()) == (1, 1)


@pytest.mark.django_db
@pytest.mark.skipif(not Path("/dev/full").exists(), reason="writes to a device that is always full")
def test_a_log_that_cannot_be_written_stops_no_page(counter, as_person, capsys):
    client = as_person(counter)
    with suppress(OSError), Path("/dev/full").open("w", buffering=1) as full:
        handler = logging.StreamHandler(full)
        logging.getLogger("django.request").addHandler(handler)
        try:
            assert client.get("/jobs/99/").status_code == 404
            assert client.get("/").status_code == 200
        finally:
            logging.getLogger("django.request").removeHandler(handler)
    assert "No space left on device" in capsys.readouterr().err
