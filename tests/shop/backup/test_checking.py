"""Photos are looked at before somebody wants to see them: a share each night, all of them in a month."""

import datetime
import io

import pytest
from django.core.management import call_command
from PIL import Image

from shoprepair.jobs import photos
from shoprepair.shop.backup import checking, duties, standing, writing
from tests.factories import JobFactory, StaffFactory
from tests.shop.backup.shops import flip_a_byte, folders

pytestmark = pytest.mark.django_db


@pytest.fixture
def shop(tmp_path):
    """The data folder of a shop with one photo, which is in its backup."""
    with folders(tmp_path):
        file = io.BytesIO()
        Image.new("RGB", (40, 30), "teal").save(file, "JPEG")
        file.seek(0)
        photos.keep(JobFactory(), file, who=StaffFactory())
        (tmp_path / "backups").mkdir()
        writing.make(tmp_path / "backups")
        yield tmp_path


def test_each_file_has_its_night(shop, monkeypatch):
    looked_at = []
    for night in range(checking.NIGHTS):
        day = datetime.date(2026, 3, 1) + datetime.timedelta(days=night)
        monkeypatch.setattr(checking.timezone, "localdate", lambda day=day: day)
        looked_at.append(checking.check().looked_at)

    assert sum(looked_at) == 3


def test_one_gone_bad_is_told_and_put_back_by_its_name(shop, monkeypatch):
    monkeypatch.setattr(checking.check, "__kwdefaults__", {"every": 1})
    photo, other = sorted((shop / "files").rglob("*.jpg"))[:2]
    whole, name = photo.read_bytes(), photo.relative_to(shop / "files").as_posix()
    flip_a_byte(photo, 100)
    other.unlink()
    duties.check_files()

    (told,) = [one for one in standing.troubles() if "looked at last night" in one]
    assert "2 are missing or no longer what they were" in told
    assert name in told
    call_command("restore", file=name)
    assert photo.read_bytes() == whole
    assert not other.exists()
    call_command("restore", files=True)
    duties.check_files()
    assert standing.troubles() == []
