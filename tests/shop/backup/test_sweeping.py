"""What a killed program left among the photos goes; what a record names never does."""

import io

import pytest
from django.core.management import call_command
from PIL import Image

from shoprepair.jobs import photos
from shoprepair.jobs.leaving import files
from shoprepair.shop.backup import sweeping
from tests.factories import JobFactory, StaffFactory
from tests.shop.backup.shops import folders, grow_old

pytestmark = pytest.mark.django_db


@pytest.fixture
def kept(tmp_path):
    """The folder of a shop with one photo, a day and an hour old, and its three files."""
    with folders(tmp_path):
        file = io.BytesIO()
        Image.new("RGB", (40, 30), "teal").save(file, "JPEG")
        file.seek(0)
        photo = photos.keep(JobFactory(), file, who=StaffFactory())
        paths = [tmp_path / "files" / path for path in files({"key": photo.key, "caption": photo.caption})]
        for path in paths:
            grow_old(path, hours=25)
        yield paths


def left_beside(paths, name: str, *, hours: float):
    path = paths[0].with_name(name)
    path.write_bytes(b"left")
    grow_old(path, hours)
    return path


def test_a_file_without_a_record_goes_once_it_is_older_than_a_day(kept):
    old, half = (left_beside(kept, name, hours=25) for name in ("lost-large.jpg", "half-large.part"))
    young = left_beside(kept, "waiting-large.jpg", hours=23)
    swept = sweeping.sweep()

    assert len(swept.gone) == 2
    assert (old.exists(), half.exists(), young.exists()) == (False, False, True)
    assert all(path.exists() for path in kept)
    assert swept.missing == []


def test_a_photo_that_is_missing_is_told(kept, capsys):
    kept[1].unlink()
    call_command("sweep")

    assert capsys.readouterr().err.strip().endswith(f"{kept[1].parent.name}/{kept[1].name}")


def test_only_looking_takes_nothing_away(kept, capsys):
    old = left_beside(kept, "lost-large.jpg", hours=25)
    call_command("sweep", look=True)

    assert old.exists()
    assert "1 files without a record would go, 4 bytes." in capsys.readouterr().out


def test_when_most_files_have_no_record_none_goes_for_the_records_may_be_anothers(kept):
    left = [left_beside(kept, f"lost{number}-large.jpg", hours=25) for number in range(21)]
    with pytest.raises(sweeping.TooMany, match="21 of 24 files have no record"):
        sweeping.sweep()

    assert all(path.exists() for path in left)
    assert len(sweeping.sweep(all_of_them=True).gone) == 21
