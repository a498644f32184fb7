"""What every chart gives: a drawing, and the table that says the same to whoever cannot see or copies it."""

import csv
import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString

Say = Callable[[float], str]
"""How a value is written in a table and at a mark."""
RISKY = ("=", "+", "-", "@", "\t", "\r")
"""A cell that begins with one of these is reckoned as a formula by programs that open CSV."""


@dataclass(frozen=True, slots=True)
class Table:
    """Head and rows, each cell as it is read. The first cell of a row names it."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def csv(self) -> str:
        """The table as CSV that no spreadsheet takes for formulas."""
        out = io.StringIO()
        csv.writer(out).writerows([_harmless(cell) for cell in row] for row in (self.head, *self.rows))
        return out.getvalue()


@dataclass(frozen=True, slots=True)
class Chart:
    """A chart made on the server, readable in greyscale, with its table."""

    svg: SafeString
    table: Table
    title: str
    unique: str


def plain(value: float) -> str:
    """A value in as few digits as it needs, three behind the point at most: '12 500', '0.125', '3'."""
    text = f"{float(value):,.3f}".rstrip("0").rstrip(".").replace(",", "\N{NO-BREAK SPACE}")
    return "0" if text == "-0" else text


def with_unit(unit: str) -> Say:
    """`plain` with a unit behind."""
    return lambda value: f"{plain(value)}\N{NO-BREAK SPACE}{unit}" if unit else plain(value)


def table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> Table:
    return Table(tuple(head), tuple(tuple(row) for row in rows))


def _harmless(cell: str) -> str:
    return f"'{cell}" if cell.startswith(RISKY) and not _is_number(cell) else cell


def _is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True
