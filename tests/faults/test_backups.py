"""Backups while everything else goes wrong: written to without end, a page gone bad, a photo gone bad."""

import sqlite3
import threading
from contextlib import closing

import pytest
from django.core.management import CommandError, call_command

from shoprepair.shop import daily
from shoprepair.shop.backup import embedded, layout, restoring, standing, verifying, writing
from shoprepair.shop.backup.layout import BackupTrouble
from tests.shop.backup.shops import asked, at_work, copied, flip_a_byte, made, restored

__all__ = ["at_work", "made", "restored"]
pytestmark = pytest.mark.django_db


def test_a_backup_taken_during_heavy_writing_is_of_one_moment(at_work, tmp_path_factory):
    database, stop = at_work / "shop.sqlite3", threading.Event()
    both = "INSERT INTO one SELECT COUNT(*) FROM one; INSERT INTO other SELECT COUNT(*) FROM other"
    with closing(sqlite3.connect(database, isolation_level=None)) as begun:
        begun.executescript("PRAGMA journal_mode=WAL; CREATE TABLE one (n INT); CREATE TABLE other (n INT)")
    written = threading.Thread(target=write_on, args=(database, both, stop))
    written.start()
    copies = []
    try:
        for number in range(4):
            copies.append(tmp_path_factory.mktemp("copy") / f"{number}.sqlite3")
            embedded.copy(database, copies[-1])
    finally:
        stop.set()
        written.join()

    for copy in copies:
        tables = embedded.look_over(copy).tables
        assert tables["one"] == tables["other"]
    assert asked(database, "SELECT COUNT(*) FROM one")[0][0] > 0


def write_on(database, statements, stop):
    with closing(sqlite3.connect(database, isolation_level=None)) as connection:
        connection.execute("PRAGMA synchronous=OFF")
        while not stop.is_set():
            connection.executescript(f"BEGIN IMMEDIATE; {statements}; COMMIT")


def test_a_database_with_a_bad_page_gives_no_backup_and_the_owner_is_told(at_work):
    (at_work / "backups").mkdir()
    writing.make(at_work / "backups")
    ((page,),) = asked(
        at_work / "shop.sqlite3", "SELECT rootpage FROM sqlite_master WHERE name = 'shop_journalentry'"
    )
    flip_a_byte(at_work / "shop.sqlite3", (page - 1) * 4096)
    before = layout.backups(at_work / "backups")
    with pytest.raises(CommandError, match="The database is damaged"):
        call_command("back_up")

    assert layout.backups(at_work / "backups") == before
    assert any("The database is damaged" in sentence for sentence in standing.troubles())


def test_a_photo_gone_bad_is_found_by_the_next_backup_which_keeps_it_as_it_was(at_work):
    (at_work / "backups").mkdir()
    writing.make(at_work / "backups")
    photo = next((at_work / "files").rglob("*-large.jpg"))
    whole = photo.read_bytes()
    flip_a_byte(photo, 100)
    call_command("back_up")
    newest = layout.backups(at_work / "backups")[0]

    assert layout.read(newest).spoiled == [photo.relative_to(at_work / "files").as_posix()]
    assert verifying.verify(newest)
    assert "manage.py restore --files" in " ".join(standing.troubles())
    call_command("restore", files=True)
    assert photo.read_bytes() == whole


def test_a_backup_without_its_folder_fails_with_a_sentence_and_the_day_goes_on(
    at_work, settings, monkeypatch
):
    settings.BACKUP_DIR = at_work / "media" / "disk"
    monkeypatch.setattr(
        daily, "_DUTIES", {name: daily._DUTIES[name] for name in ("backed-up", "tries-pruned")}
    )
    with pytest.raises(CommandError, match="Connect its disk, or make the folder"):
        call_command("back_up")

    assert daily.run_due() == ["tries-pruned"]
    assert standing.troubles()[-1].startswith("The last try failed: The folder")


@pytest.mark.parametrize("cut", [0.3, 0.9])
def test_a_backup_that_was_cut_off_is_refused(cut, made, tmp_path):
    half = copied(made.path, tmp_path)
    database = half / "shop.sqlite3"
    database.write_bytes(database.read_bytes()[: int(database.stat().st_size * cut)])
    with pytest.raises(BackupTrouble, match=r"shop\.sqlite3 was changed"):
        restoring.restore(half, tmp_path / "new")
    assert not (tmp_path / "new" / "shop.sqlite3").exists()
