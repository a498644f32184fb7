"""Figures as people write and read them: SI inside, the reader's own units outside.

`reading` turns what was typed into SI and keeps the typing; `saying` writes SI out.
"""

from shoprepair.shop.units.choice import Units, units_for
from shoprepair.shop.units.reading import Typed, read_length, read_pressure, read_temperature
from shoprepair.shop.units.saying import (
    in_words,
    quantity,
    say,
    say_bench_time,
    say_length,
    say_line_load,
    say_pressure,
    say_quantity,
    say_temperature,
    say_typed,
    sentence,
)

__all__ = [
    "Typed",
    "Units",
    "in_words",
    "quantity",
    "read_length",
    "read_pressure",
    "read_temperature",
    "say",
    "say_bench_time",
    "say_length",
    "say_line_load",
    "say_pressure",
    "say_quantity",
    "say_temperature",
    "say_typed",
    "sentence",
    "units_for",
]
