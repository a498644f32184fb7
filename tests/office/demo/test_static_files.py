"""The demo shows the pages of the program as it is, whatever lay in its folder before."""

import shutil
from pathlib import Path

import pytest

from shoprepair.office.management.commands import demo


@pytest.fixture
def gathered(settings, tmp_path):
    """The static files of a demo, gathered once."""
    settings.STATIC_ROOT = tmp_path / "static"
    demo._gather_static_files()
    return Path(settings.STATIC_ROOT)


def test_what_was_gathered_of_the_same_files_is_left_as_it_is(gathered):
    (gathered / "beside").write_text("would go if they were gathered anew")
    demo._gather_static_files()
    assert (gathered / "beside").exists()


def test_a_folder_of_an_earlier_version_that_was_copied_is_gathered_anew(gathered, settings, tmp_path):
    (gathered / "css" / "base.css").write_text("of an earlier version")
    (gathered / "made-of").write_text("an earlier version")
    settings.STATIC_ROOT = tmp_path / "copied"
    shutil.copytree(gathered, settings.STATIC_ROOT, copy_function=shutil.copy)
    demo._gather_static_files()
    found = Path(settings.STATIC_ROOT) / "css" / "base.css"
    assert found.read_bytes() == Path("static/css/base.css").read_bytes()
