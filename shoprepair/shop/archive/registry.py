"""What the other packages add to an archive without this one knowing them. Each says so when it is loaded."""

from collections.abc import Callable, Iterable
from typing import Any

Row = dict[str, Any]

FILES: dict[str, Callable[[Row], list[str]]] = {}
"""Table to the files of one of its rows, relative to the folder of files."""
FOLDERS: set[str] = set()
"""Folders in the folder of files in which nothing lies but what records name."""
MADE_AGAIN: set[str] = set()
"""Folders in the folder of files whose files are made again where they are not there: no backup has them."""
NUMBERS: dict[str, tuple[str, str]] = {}
"""Series of numbers to the table and the field that it numbers."""
BEGUN: set[str] = {
    "shop.Shop",
    "shop.LoadFigures",
    "shop.Staff",
    "shop.JournalEntry",
    "shop.Submission",
    "shop.Attempt",
    "shop.DailyRun",
}
"""Tables that have rows in a shop that was only just begun."""
CHECKS: dict[str, Callable[[Iterable[Row]], str]] = {}
"""Table to what looks over all its rows before any is written: a sentence of what is wrong, or nothing."""
LAST_CHECKS: list[Callable[[], str]] = []
"""What looks over the shop once all rows are written, while they can still all be taken back."""
FORGET: list[Callable[[], None]] = []
"""What is told that everything it may remember has changed."""


def begun_with(*labels: str) -> None:
    """Name tables that have rows in a shop that was only just begun."""
    BEGUN.update(labels)
