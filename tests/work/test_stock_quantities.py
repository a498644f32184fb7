"""Quantities of materials as people type and read them."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.work.stock.quantities import read_quantity, say_level, say_quantity


@pytest.mark.parametrize(
    ("typed", "unit", "read"),
    [
        ("0.35", "m2", "0.350"),
        ("0,35", "m2", "0.350"),
        (",5", "m", "0.500"),
        ("12 m", "m", "12"),
        ("35 cm", "m", "0.350"),
        ("2 ft", "m", "0.610"),
        ("1 yd", "m", "0.914"),
        ("0.2 m²", "m2", "0.2"),
        ("350cm2", "m2", "0.035"),
        ("1 sq ft", "m2", "0.093"),
        ("3 pcs", "piece", "3"),
        ("1 piece", "piece", "1"),
        ("0", "m", "0"),
        ("2.", "m", "2"),
    ],
)
def test_a_quantity_is_read_as_people_write_it(typed: str, unit: str, read: str) -> None:
    assert read_quantity(typed, unit) == Decimal(read)


@pytest.mark.parametrize(
    ("typed", "unit", "said"),
    [
        ("", "m", "Write how much"),
        ("   ", "m", "Write how much"),
        ("-2", "m", "below nought"),
        ("−2", "m", "below nought"),
        ("1,250", "m", "two ways"),
        ("lots", "m", "cannot be read"),
        ("<b>2</b>", "m2", "cannot be read"),
        ("2 m 3", "m", "cannot be read"),
        ("٣", "m", "cannot be read"),
        ("1e5", "m", "cannot be read"),
        ("2 kg", "m", "counted in metres"),
        ("nan", "m", "cannot be read"),
        ("2 m", "piece", "counted in pieces"),
        ("2 pieces", "m2", "counted in square metres"),
        ("100000", "m", "more than a shop can hold"),
        ("9" * 40, "m", "cannot be read"),
        ("0.0004", "m", "less than can be measured"),
    ],
)
def test_what_is_no_quantity_is_answered_with_a_sentence(typed: str, unit: str, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        read_quantity(typed, unit)


def test_a_quantity_is_said_without_idle_noughts() -> None:
    assert say_quantity(Decimal("0.350"), "m2") == "0.35 m²"
    assert say_quantity(Decimal("100.000"), "m") == "100 m"
    assert say_quantity(Decimal("1.000"), "piece") == "1 piece"
    assert say_quantity(Decimal(0), "piece") == "0 pieces"


@pytest.mark.parametrize(
    ("left", "unit", "said"),
    [
        ("2.989", "m2", "2.99 m²"),
        ("8.473", "m", "8.47 m"),
        ("48.086", "m", "48.1 m"),
        ("1183.350", "m", "1183 m"),
        ("0.026", "m2", "0.03 m²"),
        ("0.004", "m2", "0.004 m²"),
        ("8.500", "piece", "8.5 pieces"),
        ("-0.264", "m2", "−0.26 m²"),
        ("12.000", "m", "12 m"),
        ("0", "m2", "0 m²"),
    ],
)
def test_a_shelf_is_read_no_finer_than_scissors_cut(left: str, unit: str, said: str) -> None:
    assert say_level(Decimal(left), unit) == said


@given(st.decimals(min_value=Decimal("0.001"), max_value=Decimal(99999), places=3))
def test_what_is_said_is_read_back_exactly(quantity: Decimal) -> None:
    for unit in ("m", "m2", "piece"):
        assert read_quantity(say_quantity(quantity, unit), unit) == quantity
