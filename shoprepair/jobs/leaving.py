"""What jobs add to all that leaves: the photos' files, the next job's number, what is held about a person."""

import re
from typing import Any

from shoprepair.jobs import forgetting, personal, told
from shoprepair.jobs.photos import SIZES
from shoprepair.shop.archive import registry
from shoprepair.shop.erasing import ERASED

_KEY = re.compile(r"[A-Za-z0-9_-]{16,30}", re.ASCII)


def keep() -> None:
    """Tell the archive, and whoever asks what is held about a customer."""
    registry.FILES["jobs.Photo"] = files
    registry.FOLDERS.add("photos")
    registry.begun_with("jobs.SelfCheckTally")
    registry.NUMBERS["job"] = ("jobs.Job", "number")
    personal.add(PART)


def files(photo: dict[str, Any]) -> list[str]:
    """The files of a photo's row, relative to the folder of files. Raises ValueError for a key not ours.

    None of one that was erased: it is not missing, and no backup may bring it back.
    """
    key = photo["key"]
    if not _KEY.fullmatch(key):
        raise ValueError(repr(key[:30]))
    if photo["caption"] == ERASED and photo["removed_at"]:
        return []
    return [f"photos/{key[:2]}/{key}-{size}.jpg" for size in SIZES]


PART = personal.Part(tell=told.tell, refuse=forgetting.refuse, know=forgetting.know, erase=forgetting.erase)
