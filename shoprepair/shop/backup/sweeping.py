"""Putting right what a killed program left among the shop's files."""

from dataclasses import dataclass, field
from datetime import timedelta

from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.shop.archive import registry
from shoprepair.shop.archive.snapshot import snapshot
from shoprepair.shop.backup import facts
from shoprepair.shop.files import Kept, Lying, lying, waiting

A_DAY = timedelta(days=1)
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
    Raises OSError where the files lie in a store that does not answer.
    """
    with snapshot():
        named = set(facts.named(facts.of_shop()))
    found = _found()
    gone = [one for one in found.values() if one.name not in named and _is_old(one)]
    if not look and not all_of_them and len(gone) > FEW and len(gone) * 2 > len(found):
        raise TooMany(
            gettext(
                "%(gone)s of %(found)s files have no record. Is this the right database for them? Nothing "
                "was taken away."
            )
            % {"gone": len(gone), "found": len(found)}
        )
    for one in gone if not look else ():
        Kept(one.name).unlink()
    missing = named.difference(found, waiting.names())
    return Swept([one.name for one in gone], sorted(missing), sum(one.bytes for one in gone))


def _found() -> dict[str, Lying]:
    """Everything in the folders that hold records' files, half-written files too."""
    return {one.name: one for under in sorted(registry.FOLDERS) for one in lying(under)}


def _is_old(one: Lying) -> bool:
    return timezone.now() - one.changed_at > A_DAY
