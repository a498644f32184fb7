"""The owner sees when the last good backup was, and makes one."""

import shutil
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from shoprepair.shop.backup import layout, standing
from shoprepair.shop.backup.standing import LastTry
from shoprepair.shop.models import JournalEntry
from tests.shop.backup.shops import at_work, made, restored

__all__ = ["at_work", "made", "restored"]
pytestmark = pytest.mark.django_db
DAYS = timedelta(days=1)


@pytest.fixture
def client(at_work, as_person, owner):
    return as_person(owner)


def words(client, name: str) -> str:
    return " ".join(client.get(reverse(name)).content.decode().split())


def begun(days: int) -> None:
    """The shop has been at work for so long."""
    JournalEntry.objects.create(
        subject="shop:1", at=timezone.now() - days * DAYS, who_name="Runa", verb="shop.begun", text="Begun."
    )


def there_is_one(folder, days: float):
    path = folder / "backups" / layout.name(timezone.now() - days * DAYS)
    path.mkdir(parents=True)
    (path / "manifest.json").write_text("{}")


def test_the_owner_makes_one_and_reads_what_is_in_it(client, at_work):
    assert "There is none yet." in words(client, "backups")
    answer = client.post(reverse("backups"), follow=True).content.decode()
    (backup,) = layout.backups(at_work / "backups")

    assert f"{backup.name} is there" in answer
    assert "Files of photos" in answer
    assert 'aria-label="Backups"' not in words(client, "office")


def test_a_shop_of_today_has_no_backup_yet_and_nothing_is_wrong(client):
    begun(0)
    assert standing.troubles() == []
    begun(3)
    assert standing.troubles() == []


def test_an_older_shop_without_any_is_told(client):
    begun(3)
    assert "No backup can be seen: the folder" in words(client, "office")
    standing.folder().mkdir()
    assert "There is no backup of this shop." in words(client, "office")


@pytest.mark.parametrize(
    ("days", "said"),
    [
        (0.9, []),
        (1.05, []),
        (1.5, ["The last good backup is 1 day old."]),
        (9.2, ["The last good backup is 9 days old."]),
    ],
)
def test_one_that_is_older_than_a_day_is_said_in_red(days, said, client, at_work):
    there_is_one(at_work, days)

    assert standing.troubles() == said
    assert all(sentence in words(client, "office") for sentence in said)


def test_a_try_that_failed_is_told_until_one_succeeds(client, at_work):
    there_is_one(at_work, 0.5)
    (at_work / "backups").rename(at_work / "away")
    (at_work / "backups").write_text("a file where the folder should be")
    page = client.post(reverse("backups"), follow=True).content.decode()

    assert "could not be written" in page
    assert "The last try failed: The backup could not be written to" in words(client, "office")
    (at_work / "backups").unlink()
    client.post(reverse("backups"))
    assert standing.troubles() == []


def test_photos_that_are_no_longer_what_they_were_are_told_with_the_way_to_mend_them(client, at_work):
    there_is_one(at_work, 0.5)
    standing.note(LastTry(spoiled=1, missing=3))

    page = words(client, "office")
    assert "1 photo’s file on the disk is no longer what it was. 3 photos’ files are missing." in page
    assert "manage.py restore --files" in page


def test_a_disk_that_takes_no_note_keeps_nothing_else_from_being_done(at_work):
    shutil.rmtree(at_work)
    standing.note(LastTry(failed="The disk is full."))
    assert standing.last_try() == LastTry()
    at_work.mkdir()
