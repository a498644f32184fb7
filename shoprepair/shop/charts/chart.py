"""What every chart gives: a drawing, and the table that says the same to whoever cannot see or copies it."""

import csv
import io
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import isfinite

from django.utils.formats import get_format
from django.utils.safestring import SafeString
from django.utils.translation import gettext

Say = Callable[[float], str]
"""How a value is written in a table and at a mark."""
RISKY = ("=", "+", "-", "@", "\t", "\r")
"""A cell that begins with one of these is reckoned as a formula by programs that open CSV."""


@dataclass(frozen=True, slots=True)
class Table:
    """Head and rows, each cell as it is read. The first cell of a row names it."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    exact: tuple[tuple[str, ...], ...] = ()
    """The same rows with figures as a program reads them; empty: as they are read."""

    def csv(self) -> str:
        """The table as CSV that no spreadsheet takes for formulas."""
        return self._written(",")

    def tabbed(self) -> str:
        """The same with tabs, as spreadsheets take what is pasted."""
        return self._written("\t")

    def _written(self, between: str) -> str:
        out = io.StringIO()
        rows = (self.head, *(self.exact or self.rows))
        csv.writer(out, delimiter=between).writerows([_harmless(cell) for cell in row] for row in rows)
        return out.getvalue()


@dataclass(frozen=True, slots=True)
class Chart:
    """A chart made on the server, readable in greyscale, with its table."""

    svg: SafeString
    table: Table
    title: str
    unique: str
    narrow: SafeString
    """The same drawn for a phone; shown instead of `svg` where a screen is narrow."""

    @property
    def both(self) -> SafeString:
        """For every screen: the style sheet shows one of the two."""
        return SafeString(self.svg + self.narrow)


def plain(value: float) -> str:
    """A value in as few digits as it needs, three behind the point at most: '12,500', '0.125', '3'.

    The point, and what parts thousands, are those of the reader's language.
    """
    text = f"{float(value):,.3f}".rstrip("0").rstrip(".")
    own = {",": get_format("THOUSAND_SEPARATOR"), ".": get_format("DECIMAL_SEPARATOR")}
    return "0" if text == "-0" else text.translate(str.maketrans(own))


def with_unit(unit: str) -> Say:
    """`plain` with a unit behind."""
    return lambda value: f"{plain(value)}\N{NO-BREAK SPACE}{unit}" if unit else plain(value)


Cell = tuple[str, str] | str
"""As it is read and as a program reads it; one word where both are the same."""


def table(head: Sequence[str], rows: Iterable[Sequence[Cell]]) -> Table:
    """A table whose cells stand both ways."""
    pairs = [[cell if isinstance(cell, tuple) else (cell, cell) for cell in row] for row in rows]
    read, exact = (tuple(tuple(cell[way] for cell in row) for row in pairs) for way in (0, 1))
    return Table(tuple(head), read, exact)


def cell(value: float, say: Say) -> Cell:
    """A figure as it is read, and for a program with six digits behind the point at most."""
    if not isfinite(value):
        return gettext("no limit"), ""
    return say(value), f"{value:.6f}".rstrip("0").rstrip(".")


def _harmless(cell: str) -> str:
    return f"'{cell}" if cell.startswith(RISKY) and not _is_number(cell) else cell


def _is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True
