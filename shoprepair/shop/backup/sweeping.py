"""Putting right what a killed program left among the shop's files."""

import time
from dataclasses import dataclass, field

from shoprepair.shop.archive import registry
from shoprepair.shop.archive.snapshot import snapshot
from shoprepair.shop.backup import facts
from shoprepair.shop.files import folder, lie_in_a_folder

A_DAY_S = 24 * 3600
FEW = 20
"""So many files may go whatever share of all they are."""


class TooMany(ValueError):
    """More files have no record than a killed program leaves, or nobody can tell; the message says so."""


@dataclass(frozen=True, slots=True)
class Swept:
    """What was found, and taken away unless it was only looked for."""

    gone: list[str] = field(default_factory=list)
    """Files that no record names, older than a day."""
    missing: list[str] = field(default_factory=list)
    """Files that records name and the disk does not have."""
    bytes: int = 0


def sweep(*, look: bool = False, all_of_them: bool = False) -> Swept:
    """Take away photos that no record names and that are older than a day; tell which photos are missing.

    A photo is on the disk before its record, so a younger one may still be waiting for it. Raises TooMany,
    and takes nothing away, when most files have no record: then the records are not those of the files.
    """
    if not lie_in_a_folder():
        raise TooMany("The files lie in a store, which is not swept from here.")
    with snapshot():
        named = set(facts.named(facts.of_shop()))
    found = _found()
    gone = [path for path in found if path not in named and _is_old(path)]
    if not look and not all_of_them and len(gone) > FEW and len(gone) * 2 > len(found):
        raise TooMany(
            f"{len(gone)} of {len(found)} files have no record. Is this the right database for them? "
            "Nothing was taken away."
        )
    size = sum((folder() / path).stat().st_size for path in gone)
    for path in gone if not look else ():
        (folder() / path).unlink(missing_ok=True)
    return Swept(gone, sorted(named.difference(found)), size)


def _found() -> list[str]:
    """Everything in the folders that hold records' files, half-written files too."""
    at = folder()
    within = (path for name in sorted(registry.FOLDERS) for path in sorted((at / name).rglob("*")))
    return [path.relative_to(at).as_posix() for path in within if path.is_file()]


def _is_old(path: str) -> bool:
    return time.time() - (folder() / path).stat().st_mtime > A_DAY_S
