"""The owner hears by mail of a backup that is late or failed; and it is tried again every hour."""

import datetime

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from shoprepair.shop.backup import duties, layout, standing, watching
from shoprepair.shop.backup.layout import BackupTrouble
from shoprepair.shop.backup.standing import LastTry
from shoprepair.shop.models import Letter, Shop
from shoprepair.shop.settings import current

pytestmark = pytest.mark.django_db
HOUR = datetime.timedelta(hours=1)


@pytest.fixture
def folder(tmp_path, settings):
    """A shop with mail, whose backups lie here."""
    settings.DATA_DIR, settings.BACKUP_DIR = tmp_path, tmp_path / "backups"
    settings.EMAIL_HOST, settings.LETTERS_ON_CONSOLE = "mail.example", False
    current()
    Shop.objects.update(name="North Quay", email="loft@example.com")
    (tmp_path / "backups").mkdir()
    return tmp_path / "backups"


@pytest.fixture
def tries(monkeypatch):
    """How often a backup was tried, on a clock that the test sets; each fails."""
    begun = []

    def fail():
        begun.append(watching.time.monotonic())
        raise BackupTrouble("The disk is full.")

    monkeypatch.setattr(watching, "_tried_at", None)
    monkeypatch.setattr(duties, "back_up", fail)
    return begun


def there_is_one(folder, age):
    name = layout.name(timezone.now() - age)
    (folder / name).mkdir()
    (folder / name / layout.MANIFEST).write_text("{}")


def test_a_good_one_of_today_is_no_reason_to_write(folder):
    there_is_one(folder, 25 * HOUR)
    assert not watching.tell_owner()


def test_one_older_than_26_hours_is_told_to_the_shop_s_own_address(folder):
    there_is_one(folder, 50 * HOUR)
    assert watching.tell_owner()
    letter = Letter.objects.get()
    assert (letter.to, letter.subject) == ("loft@example.com", "North Quay: the backup needs you")
    assert "The last good backup is 2 days old." in letter.body
    assert str(folder) in letter.body


def test_one_that_failed_is_told_with_its_reason_once_a_day(folder):
    there_is_one(folder, HOUR)
    standing.note(LastTry(failed="The disk is full."))
    now = timezone.now()
    told = [watching.tell_owner(now + days * 24 * HOUR) for days in (0, 0, 1, 1)]
    assert told == [True, False, True, False]
    assert "The last try failed: The disk is full." in Letter.objects.first().body


def test_a_shop_without_mail_writes_no_letter_that_could_never_leave(folder, settings):
    settings.EMAIL_HOST = ""
    standing.note(LastTry(failed="The disk is full."))
    assert not watching.tell_owner()
    assert not Letter.objects.exists()


def test_one_that_failed_is_tried_again_every_hour(folder, tries, monkeypatch, caplog):
    standing.note(LastTry(failed="The disk is full."))
    for minute in range(0, 190):
        monkeypatch.setattr(watching.time, "monotonic", lambda minute=minute: minute * 60.0)
        watching._try_again()
    assert tries == [3600.0, 7200.0, 10800.0]
    assert "The disk is full." in caplog.text


def test_one_that_succeeded_is_not_tried_again(folder, tries, monkeypatch):
    standing.note(LastTry())
    for hour in range(3):
        monkeypatch.setattr(watching.time, "monotonic", lambda hour=hour: hour * 3600.0)
        watching.look()
    assert tries == []


def test_a_command_that_made_none_ends_with_a_code_that_says_so(folder):
    folder.rmdir()
    folder.write_text("a file where the folder should be")
    with pytest.raises(CommandError) as failed:
        call_command("back_up")
    assert failed.value.returncode == 1
    assert standing.last_try().failed == str(failed.value)
