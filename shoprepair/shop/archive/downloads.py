"""One table as CSV or JSON, line by line, so that a large one never stands in memory."""

import csv
import json
from collections.abc import Iterator
from typing import Any

from shoprepair.shop.archive.plain import plain
from shoprepair.shop.archive.tables import Table
from shoprepair.shop.logs import without_keys

RUNS = ("=", "+", "-", "@", "\t", "\r", "\n", "\0", "＝", "＋", "－", "＠")
"""A spreadsheet takes a text that begins so for a formula (OWASP ASVS 5.0, 1.2.10)."""
BYTE_ORDER_MARK = "\ufeff"
"""Without it spreadsheets guess at another encoding."""
_WITH_ADDRESSES = frozenset({"shop.Letter", "shop.JournalEntry", "shop.Submission"})


class _Echo:
    """Hands back what the writer writes, so that it can be sent on at once."""

    def write(self, line: str) -> str:
        return line


def csv_lines(table: Table) -> Iterator[str]:
    """The table as CSV: a heading, then a row each. Texts never run as formulas."""
    writer = csv.writer(_Echo())
    yield BYTE_ORDER_MARK + writer.writerow([field.attname for field in table.open_fields])
    for row in _rows(table):
        yield writer.writerow([_cell(value) for value in row])


def json_lines(table: Table) -> Iterator[str]:
    """The table as one JSON list, an object each row, values as they are."""
    names = [field.attname for field in table.open_fields]
    before = "[\n"
    for row in _rows(table):
        yield before + json.dumps(dict(zip(names, map(plain, row), strict=True)), ensure_ascii=False)
        before = ",\n"
    yield "\n]\n" if before == ",\n" else "[]\n"


def harmless(text: str) -> str:
    """A text as a cell that a spreadsheet shows and never runs."""
    return f"'{text}" if text.startswith(RUNS) else text


def _rows(table: Table) -> Iterator[list[Any]]:
    masks = table.label in _WITH_ADDRESSES
    for row in table.rows(table.open_fields):
        yield [without_keys(value) if masks and isinstance(value, str) else value for value in row]


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool | list | dict):
        return json.dumps(value, ensure_ascii=False)
    return harmless(value) if isinstance(value, str) else str(plain(value))
