"""Charts made on the server: SVG that reads in greyscale, each with its table."""

from shoprepair.shop.charts.bars import Bar, bars
from shoprepair.shop.charts.chart import Cell, Chart, Table, cell, plain, table
from shoprepair.shop.charts.dots import Dot, dots
from shoprepair.shop.charts.steps import Stair, Step, percent, steps

__all__ = [
    "Bar",
    "Cell",
    "Chart",
    "Dot",
    "Stair",
    "Step",
    "Table",
    "bars",
    "cell",
    "dots",
    "percent",
    "plain",
    "steps",
    "table",
]
