"""The shop's files: whole or not there at all, and only where they belong."""

import os
import stat

import pytest
from django.core.exceptions import SuspiciousOperation

from shoprepair.shop.files import Kept, folder, lie_in_a_folder
from shoprepair.shop.files.whole import write_whole

FILE = Kept("photos/ab/abc-large.jpg")


@pytest.fixture(autouse=True)
def _a_folder(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path / "files"


def lying() -> list[str]:
    return sorted(path.relative_to(folder()).as_posix() for path in folder().rglob("*") if path.is_file())


def test_a_file_is_kept_read_and_taken_away():
    assert lie_in_a_folder()
    assert not FILE.exists()
    FILE.write(b"the cut")
    assert FILE.exists()
    assert FILE.read_bytes() == b"the cut"
    assert lying() == ["photos/ab/abc-large.jpg"]
    FILE.unlink()
    FILE.unlink()
    assert lying() == []


def test_a_file_that_is_not_there_is_said_to_be_missing():
    with pytest.raises(FileNotFoundError):
        FILE.read_bytes()


def test_a_file_comes_block_by_block():
    FILE.write(iter([b"the ", b"", b"cut"]))
    assert FILE.read_bytes() == b"the cut"


def test_others_on_this_machine_do_not_read_it():
    FILE.write(b"the cut")
    assert not stat.S_IMODE((folder() / FILE.name).stat().st_mode) & stat.S_IRWXO


def test_a_file_that_is_there_is_never_written_over():
    FILE.write(b"the cut")
    with pytest.raises(FileExistsError):
        FILE.write(b"another")
    assert FILE.read_bytes() == b"the cut"


@pytest.mark.parametrize("call", ["fsync", "replace"])
def test_when_the_disk_fails_nothing_is_left(call, monkeypatch):
    def fail(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, call, fail)
    with pytest.raises(OSError, match="No space"):
        FILE.write(b"the cut")
    assert lying() == []


@pytest.mark.parametrize("nth", [1, 2])
def test_whichever_call_to_the_disk_fails_nothing_is_left(nth, monkeypatch):
    """The first brings the file down to the disk, the second its name."""
    calls, true = [], os.fsync

    def fail(descriptor: int) -> None:
        calls.append(descriptor)
        if len(calls) == nth:
            raise OSError(5, "Input/output error")
        true(descriptor)

    monkeypatch.setattr(os, "fsync", fail)
    with pytest.raises(OSError, match="Input/output"):
        FILE.write(b"the cut")
    assert lying() == []
    assert len(calls) == nth


def test_a_source_that_breaks_off_leaves_nothing():
    def breaking():
        yield b"the "
        raise ConnectionError("gone")

    with pytest.raises(ConnectionError):
        FILE.write(breaking())
    assert lying() == []


def test_until_it_is_whole_it_has_another_name():
    seen = []

    def watched():
        yield b"the "
        seen.extend(lying())
        yield b"cut"

    write_whole(folder() / FILE.name, watched())
    assert seen == ["photos/ab/abc-large.part"]
    assert lying() == [FILE.name]


@pytest.mark.parametrize("name", ["../secret_key", "/etc/passwd", "photos/../../secret_key"])
def test_no_name_leads_out_of_the_folder(name):
    for use in (Kept(name).exists, Kept(name).open, lambda: Kept(name).write(b"x")):
        with pytest.raises((SuspiciousOperation, ValueError)):
            use()


def test_a_name_with_a_byte_of_nothing_names_no_file():
    assert not Kept("photos/\0.jpg").exists()
    with pytest.raises(ValueError, match="null byte"):
        Kept("photos/\0.jpg").write(b"x")
