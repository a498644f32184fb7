"""A backup is made while the shop works: whole, or not at all."""

import fcntl
import resource
import stat
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from shoprepair.shop.backup import layout, writing
from shoprepair.shop.backup.layout import BackupTrouble
from tests.shop.backup import shops

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 11, 25, 22, 30, tzinfo=UTC)


def photo(at: Path) -> Path:
    return next((at / "files").rglob("*-large.jpg"))


def test_a_backup_has_the_records_the_photos_and_the_key_and_says_of_each_what_it_is(made):
    said = layout.read(made.path)
    files = {path.relative_to(made.path).as_posix() for path in made.path.rglob("*") if path.is_file()}

    assert files == {*said.files, "manifest.json"}
    assert {"shop.sqlite3", "secret_key"} < files
    assert (said.photos, said.missing, said.spoiled) == (3, [], [])
    assert said.tables["cover_cover"] == said.tables["jobs_photo"] == said.tables["django_session"] == 1
    assert said.program == "0.1.0"
    assert "shop.0003_outbox" in said.migrations
    assert said.rows == sum(said.tables.values()) > 100


def test_nobody_but_the_shop_itself_can_read_one(made):
    assert stat.S_IMODE(made.path.stat().st_mode) == 0o700
    assert stat.S_IMODE((made.path / "secret_key").stat().st_mode) == 0o600
    assert stat.S_IMODE((made.path / "shop.sqlite3").stat().st_mode) == 0o600


def test_a_photo_that_the_backup_before_has_is_not_copied_again(at_work):
    folder = at_work / "backups"
    folder.mkdir()
    first, second = (writing.make(folder, now=NOW + timedelta(days=day)) for day in (0, 1))

    assert second.path.name == "backup-20261126-223000"
    assert first.copied_bytes == first.manifest.bytes
    assert second.copied_bytes == first.copied_bytes - sum(
        part.bytes for path, part in first.manifest.files.items() if path.startswith("files/")
    )
    assert photo(first.path).samefile(photo(second.path))


def test_older_ones_give_way_only_once_the_new_one_is_there(at_work):
    folder = at_work / "backups"
    folder.mkdir()
    made = [writing.make(folder, now=NOW + timedelta(hours=hour)) for hour in (-3, -2, 0)]

    assert [each.removed for each in made] == [0, 1, 1]
    assert layout.backups(folder) == [made[-1].path]
    assert writing.make(folder, now=NOW + timedelta(minutes=1), keep_all=True).removed == 0


def test_a_folder_whose_disk_is_not_connected_does_not_come_to_be_on_the_shops_own(at_work):
    away = at_work / "media" / "disk"
    with pytest.raises(BackupTrouble, match="Connect its disk"):
        writing.make(away)
    assert not away.exists()


def test_a_disk_that_takes_no_more_leaves_nothing_and_says_so(at_work, made):
    folder = at_work / "backups"
    folder.mkdir()
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (300_000, hard))
    try:
        with pytest.raises(BackupTrouble, match=r"cannot be copied|could not be written"):
            writing.make(folder)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))

    assert [path.name for path in folder.iterdir()] == ["lock"]
    assert writing.make(folder).manifest.rows > 100


def test_what_a_killed_one_left_is_no_backup_and_goes_with_the_next(at_work):
    folder = at_work / "backups"
    left = folder / "backup-20261124-020000.part"
    left.mkdir(parents=True)
    (left / "shop.sqlite3").write_bytes(b"half")

    assert layout.backups(folder) == []
    made = writing.make(folder)
    assert (layout.backups(folder), left.exists()) == ([made.path], False)


def test_one_is_made_at_a_time(at_work):
    folder = at_work / "backups"
    folder.mkdir()
    with (folder / "lock").open("a") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        with pytest.raises(BackupTrouble, match="is being made at this moment"):
            writing.make(folder)


def test_a_key_that_comes_from_the_environment_stays_out(at_work, monkeypatch):
    monkeypatch.setenv("SECRET_KEY", "x" * 60)
    (at_work / "backups").mkdir()
    made = writing.make(at_work / "backups")

    assert (made.manifest.key_inside, (made.path / "secret_key").exists()) == (False, False)


def test_a_photo_that_is_gone_comes_from_the_backup_before(at_work):
    (at_work / "backups").mkdir()
    first = writing.make(at_work / "backups", now=NOW)
    gone = photo(at_work)
    gone.unlink()
    second = writing.make(at_work / "backups", now=NOW + timedelta(days=1))

    assert second.manifest.missing == [gone.relative_to(at_work / "files").as_posix()]
    assert second.manifest.files == first.manifest.files | {
        "shop.sqlite3": second.manifest.files["shop.sqlite3"]
    }
    assert shops.asked(second.path / "shop.sqlite3", "PRAGMA integrity_check") == [("ok",)]
