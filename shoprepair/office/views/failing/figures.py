"""A figure of a report: its drawing, what it says in words, and its table."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.http import HttpResponse
from django.utils import timezone
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from shoprepair.cover import rates
from shoprepair.cover.failing import smallness
from shoprepair.cover.failing.density import Sample
from shoprepair.shop.charts import Chart, Dot, Table, percent
from shoprepair.shop.charts.chart import plain

MOST_ROWS = 60
"""Rows that a page shows; all of them are in the CSV."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One numbered figure."""

    number: int
    slug: str
    title: str
    finding: str
    """What it shows, in words."""
    caution: str = ""
    """That it rests on little, where it does."""
    note: str = ""
    """How it was made."""
    svg: SafeString
    """Empty where there is nothing to draw."""
    table: Table
    key: Sequence[Sample] = ()
    """What the marks of a drawing of gear stand for; such a drawing goes over the whole width."""

    @property
    def rows(self) -> Sequence[Sequence[str]]:
        return self.table.rows[:MOST_ROWS]

    @property
    def more(self) -> int:
        """Rows that the page leaves to the CSV."""
        return max(len(self.table.rows) - MOST_ROWS, 0)


def of_chart(chart: Chart, number: int, **words: str) -> Figure:
    svg = chart.both if chart.table.rows else SafeString("")
    return Figure(number=number, slug=chart.unique, title=chart.title, svg=svg, table=chart.table, **words)


def csv(figures: Sequence[Figure], slug: str) -> HttpResponse | None:
    """The table of one figure to keep; None where no figure has that name."""
    figure = next((figure for figure in figures if figure.slug == slug), None)
    if figure is None:
        return None
    name = f"{slug}-{timezone.localdate():%Y-%m-%d}.csv"
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return HttpResponse(figure.table.csv(), content_type="text/csv; charset=utf-8", headers=headers)


def share_dot(label: str, events: int, of: int) -> Dot:
    """A share with its exact limits in a row, and the counts it rests on."""
    limits = rates.share_limits(events, of)
    counts, small = (
        gettext("%(events)s of %(of)s") % {"events": plain(events), "of": plain(of)},
        smallness.is_small(of, events),
    )
    return Dot(label, limits.value, limits.low, limits.high, counts, small)


def between(low: float, high: float) -> str:
    """Two limits of a share in words."""
    return gettext("between %(low)s and %(high)s") % {"low": percent(low), "high": percent(high)}
