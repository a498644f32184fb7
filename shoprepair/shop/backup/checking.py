"""Looking at the shop's photos before somebody wants to see them: a share each night, against the backup."""

import hashlib
import zlib
from dataclasses import dataclass, field

from django.utils import timezone

from shoprepair.shop.archive.snapshot import snapshot
from shoprepair.shop.backup import facts, layout, standing
from shoprepair.shop.backup.layout import FILES, BackupTrouble, Part
from shoprepair.shop.files import Kept
from shoprepair.shop.files.trouble import Away, Spoiled

NIGHTS = 30
"""In so many each file was looked at once: what lies in a store is fetched for it."""


@dataclass(frozen=True, slots=True)
class Checked:
    """What a night's look came to."""

    looked_at: int = 0
    spoiled: list[str] = field(default_factory=list)
    """Files that are no longer what they were; `manage.py restore --file NAME` brings one back."""
    missing: list[str] = field(default_factory=list)


def check(*, every: int = NIGHTS) -> Checked:
    """Look at this night's share of all files that records name: the first, the second … of `every`.

    Each is compared with the newest backup, and what lies in a store with what was given to it as well. A
    store that does not answer is left for the next time.
    """
    with snapshot():
        named = facts.named(facts.of_shop())
    known, tonight = _known(), timezone.localdate().toordinal() % every
    looked_at, spoiled, missing = 0, [], []
    for name in named:
        if zlib.crc32(name.encode()) % every != tonight:
            continue
        try:
            good = _is_good(name, known.get(f"{FILES}/{name}"))
        except FileNotFoundError:
            missing.append(name)
        except Away:
            break
        else:
            spoiled += [] if good else [name]
        looked_at += 1
    return Checked(looked_at, spoiled, missing)


def _known() -> dict[str, Part]:
    try:
        return layout.read(layout.find(standing.folder())).files
    except BackupTrouble:
        return {}


def _is_good(name: str, part: Part | None) -> bool:
    try:
        content = Kept(name).read_bytes()
    except Spoiled:
        return False
    return part is None or hashlib.sha256(content).hexdigest() == part.sha256
