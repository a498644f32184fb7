"""What an enquiry was answered, as it was kept: read by the counter, and by the customer's own page."""

from collections.abc import Mapping
from typing import Any

from shoprepair.jobs.advice.verdicts import Verdict, by_code
from shoprepair.jobs.models import Enquiry


def verdicts(enquiry: Enquiry) -> dict[int, Verdict]:
    """What was advised, by the number of the pin; a code that is none any more is left out."""
    said = {}
    for row in rows(enquiry.advice):
        number, found = row.get("number"), verdict(row)
        if isinstance(number, int) and found is not None:
            said[number] = found
    return said


def strictest(enquiry: Enquiry) -> Verdict | None:
    """The strictest of what was advised; None where nothing was."""
    return max(verdicts(enquiry).values(), default=None)


def verdict(row: Mapping[str, Any]) -> Verdict | None:
    """What a kept row says; an older one may hold a code that is none any more."""
    try:
        return by_code(str(row.get("verdict") or ""))
    except ValueError:
        return None


def rows(stored: Any) -> list[Mapping[str, Any]]:
    """Rows as they were kept, without anything that is none."""
    return [row for row in stored if isinstance(row, Mapping)] if isinstance(stored, list) else []
