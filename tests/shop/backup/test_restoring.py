"""A backup comes back: on a bare machine by itself, elsewhere only where nothing is lost by it."""

import sqlite3
from contextlib import closing

import pytest

from shoprepair.shop.backup import held, layout, restoring, writing
from shoprepair.shop.backup.layout import BackupTrouble
from tests.shop.backup import shops

pytestmark = pytest.mark.django_db


def tree(at):
    """Every file but the database, which a look whether it is in use may lay out anew."""
    found = (path for path in at.rglob("*") if path.is_file() and path.name != "shop.sqlite3")
    return {path.relative_to(at).as_posix(): path.read_bytes() for path in found}


def test_everything_is_on_the_new_machine_as_it_was(made, restored):
    said = made.manifest
    changed = {
        "shop_journalentry": said.tables["shop_journalentry"] + 1,
        "django_session": 0,
        "shop_login": 0,
    }

    for table, rows in (said.tables | changed).items():
        if table in said.tables:
            assert shops.asked(restored / "shop.sqlite3", f'SELECT COUNT(*) FROM "{table}"') == [(rows,)], (
                table
            )
    assert tree(restored / "files") == tree(made.path / "files")
    assert (restored / "secret_key").read_bytes() == (made.path / "secret_key").read_bytes()
    assert {path.name for path in restored.iterdir()} == {"files", "secret_key", "shop.sqlite3"} | {
        path.name for path in restored.glob("before-restore-*")
    }


def test_who_had_a_password_has_it_still(made, restored):
    statement = "SELECT username, password FROM shop_staff"
    assert shops.asked(restored / "shop.sqlite3", statement) == shops.asked(
        made.path / "shop.sqlite3", statement
    )


def test_a_letter_that_waited_waits_for_somebody_to_look_and_is_not_sent_by_itself(made, restored):
    statement = "SELECT code, state, last_error FROM shop_letter ORDER BY id"
    before = shops.asked(made.path / "shop.sqlite3", statement)
    after = shops.asked(restored / "shop.sqlite3", statement)

    assert ("ready", "waiting", "") in before
    assert after == [
        (code, "unsure", held.WORDS) if state in {"waiting", "sending"} else (code, state, words)
        for code, state, words in before
    ]


def test_the_journal_says_that_it_was_restored(made, restored):
    (last,) = shops.asked(
        restored / "shop.sqlite3", "SELECT verb, text FROM shop_journalentry ORDER BY id DESC LIMIT 1"
    )
    assert last == (
        "backup.restored",
        f"The backup of {layout.moment(made.path):%Y-%m-%d %H:%M} UTC was restored.",
    )


def test_a_shop_that_is_there_gives_way_only_when_asked_and_is_kept(made, restored):
    (restored / "files" / "photos" / "later.jpg").write_bytes(b"taken since")
    with pytest.raises(BackupTrouble, match="With --replace it is kept aside"):
        restoring.restore(made.path, restored)
    came = restoring.restore(made.path, restored, replace=True)

    assert (came.aside / "files" / "photos" / "later.jpg").read_bytes() == b"taken since"
    assert shops.asked(came.aside / "shop.sqlite3", "PRAGMA integrity_check") == [("ok",)]
    assert not (restored / "files" / "photos" / "later.jpg").exists()


def test_a_shop_that_is_at_work_never_gives_way(made, restored):
    with closing(sqlite3.connect(restored / "shop.sqlite3")) as served:
        served.execute("PRAGMA journal_mode=WAL")
        served.execute("SELECT COUNT(*) FROM shop_shop").fetchone()
        with pytest.raises(BackupTrouble, match="Stop it first"):
            restoring.restore(made.path, restored, replace=True)


@pytest.mark.parametrize("name", ["shop.sqlite3", "secret_key", "manifest.json", "files"])
def test_a_backup_that_was_changed_is_refused_and_all_stays_as_it_was(name, made, restored, tmp_path_factory):
    spoiled = shops.copied(made.path, tmp_path_factory.mktemp("spoiled"))
    target = spoiled / name if name != "files" else next(spoiled.rglob("*-small.jpg"))
    shops.flip_a_byte(target, 10)
    before = tree(restored)
    with pytest.raises(BackupTrouble):
        restoring.restore(spoiled, restored, replace=True)

    assert tree(restored) == before


@pytest.mark.parametrize("path", ["../../etc/x", "/etc/x"])
def test_a_manifest_leads_nowhere_else(path, made, tmp_path):
    spoiled = shops.copied(made.path, tmp_path)
    manifest = spoiled / "manifest.json"
    manifest.write_text(manifest.read_text().replace('"secret_key"', f'"{path}"'))
    with pytest.raises(BackupTrouble, match="cannot be read"):
        restoring.restore(spoiled, tmp_path / "new")


def test_a_backup_of_a_newer_program_is_refused(made, tmp_path):
    newer = shops.copied(made.path, tmp_path)
    manifest = newer / "manifest.json"
    manifest.write_text(manifest.read_text().replace('"shop.0003_outbox"', '"shop.0999_later"'))
    with pytest.raises(BackupTrouble, match="newer version of the program"):
        restoring.restore(newer, tmp_path / "new")


def test_killed_before_its_end_the_same_command_begins_anew(made, tmp_path):
    left = tmp_path / "restoring-20261125-020000.part"
    left.mkdir()
    (left / "shop.sqlite3").write_bytes(b"half")
    (tmp_path / "files").mkdir()
    restoring.restore(made.path, tmp_path)

    assert not left.exists()
    assert shops.asked(tmp_path / "shop.sqlite3", "SELECT COUNT(*) FROM cover_cover") == [(1,)]


def test_photos_alone_are_put_back_where_they_are_missing_or_broken(made, restored):
    large, small = (next((restored / "files").rglob(f"*-{size}.jpg")) for size in ("large", "small"))
    whole = large.read_bytes(), small.read_bytes()
    shops.flip_a_byte(large, 100)
    small.unlink()

    assert len(restoring.mend(made.path)) == 2
    assert (large.read_bytes(), small.read_bytes()) == whole
    assert restoring.mend(made.path) == []


def test_the_newest_backup_of_a_folder_is_the_one_that_is_meant(made, tmp_path):
    assert layout.find(made.path) == layout.find(made.path.parent) == made.path
    with pytest.raises(BackupTrouble, match="There is no backup in"):
        layout.find(tmp_path)


def test_what_came_back_can_be_backed_up_again(at_work, made):
    (at_work / "backups").mkdir()
    again = writing.make(at_work / "backups").manifest

    assert again.files.keys() == made.manifest.files.keys()
    assert again.key == made.manifest.key
