"""Whether a backup is good is known before it is needed."""

import pytest

from shoprepair.shop.backup import verifying
from shoprepair.shop.backup.layout import BackupTrouble
from tests.shop.backup import shops

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("deep", [False, True])
def test_a_good_one_is_read_whole_and_left_as_it_is(deep, made):
    before = sorted(made.path.rglob("*"))

    assert verifying.verify(made.path, deep=deep) == made.manifest
    assert sorted(made.path.rglob("*")) == before


def gone(backup):
    next(backup.rglob("*-large.jpg")).unlink()


def broken(backup):
    shops.flip_a_byte(next(backup.rglob("*-large.jpg")), 100)


def added(backup):
    (backup / "files" / "letter.exe").write_bytes(b"?")


def miscounted(backup):
    manifest = backup / "manifest.json"
    manifest.write_text(manifest.read_text().replace('"cover_cover": 1', '"cover_cover": 2'))


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (gone, "is missing or cannot be read"),
        (broken, "was changed"),
        (added, "does not belong there"),
        (miscounted, "cover_cover has 1 records; the manifest says 2"),
    ],
)
def test_whatever_is_wrong_is_said(spoil, words, made, tmp_path):
    spoiled = shops.copied(made.path, tmp_path)
    spoil(spoiled)
    with pytest.raises(BackupTrouble, match=words):
        verifying.verify(spoiled)
