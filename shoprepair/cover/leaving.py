"""What covers add to all that leaves: their numbers, and that their chain holds before any is written."""

from collections.abc import Iterable
from typing import Any

from django.utils.translation import gettext

from shoprepair.cover import chain, record
from shoprepair.cover.personal import PART
from shoprepair.jobs import personal
from shoprepair.shop.archive import registry


def keep() -> None:
    """Tell the archive, and whoever asks what is held about a customer."""
    personal.add(PART)
    registry.NUMBERS["cover"] = ("cover.Cover", "number")
    registry.NUMBERS["claim"] = ("cover.Claim", "number")
    registry.CHECKS["cover.Cover"] = broken
    registry.LAST_CHECKS.append(still_broken)


def broken(rows: Iterable[dict[str, Any]]) -> str:
    """What is wrong with the chain of covers in an archive, in a sentence; empty where it holds."""
    links = sorted(
        (row["number"], row["previous"], row["digest"], record.digest(row["previous"], row["contents"]))
        for row in rows
    )
    expected, before = 1, ""
    for number, previous, said, reckoned in links:
        if number != expected:
            return gettext(
                "Cover %(expected)s is missing in the archive: the chain of covers is broken there."
            ) % {"expected": f"{expected:05d}"}
        if said != reckoned:
            return gettext("Cover %(number)s was changed: its contents no longer give its digest.") % {
                "number": f"{number:05d}"
            }
        if previous != before:
            return gettext(
                "Cover %(number)s does not follow the cover before it: the chain of covers is broken."
            ) % {"number": f"{number:05d}"}
        expected, before = number + 1, said
    return ""


def still_broken() -> str:
    """The same of the covers as they stand, with all that stands beside their contents."""
    found = chain.first_broken()
    return found.what if found else ""
