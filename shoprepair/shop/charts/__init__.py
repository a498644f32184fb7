"""Charts made on the server: SVG that reads in greyscale, each with its table."""

from shoprepair.shop.charts.bars import Bar, bars
from shoprepair.shop.charts.chart import Chart, Table

__all__ = ["Bar", "Chart", "Table", "bars"]
