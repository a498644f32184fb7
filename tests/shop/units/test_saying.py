"""Figures written out in the reader's own units, and read back the same."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.mechanics.description import Quantity, Sentence
from shoprepair.shop.units import (
    Units,
    read_length,
    read_pressure,
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

METRIC = Units()
IMPERIAL = Units(pressure="psi", length="in", temperature="°F")


@pytest.mark.parametrize(
    ("metres", "metric", "imperial"),
    [
        (0, "0 mm", "0 in"),
        (0.0004, "0.4 mm", "0.016 in"),
        (0.0025, "2.5 mm", "0.098 in"),
        (0.035, "35 mm", "1 3/8 in"),
        (0.1016, "102 mm", "4 in"),
        (0.9994, "999 mm", "39.3 in"),
        (0.9996, "1.00 m", "39.4 in"),
        (1.25, "1.25 m", "49.2 in"),
        (6.5, "6.50 m", "21 ft 4 in"),
        (3.048, "3.05 m", "10 ft"),
    ],
)
def test_a_length_is_rounded_as_a_tape_is_read(metres: float, metric: str, imperial: str) -> None:
    assert say_length(metres, METRIC) == metric
    assert say_length(metres, IMPERIAL) == imperial


def test_a_pressure_stands_as_on_the_readers_gauge() -> None:
    assert say_pressure(48263.3, METRIC) == "0.48 bar"
    assert say_pressure(48263.3, IMPERIAL) == "7.0 psi"
    assert say_pressure(48263.3, Units(pressure="kPa")) == "48 kPa"
    assert say_pressure(4826.33, Units(pressure="kPa")) == "4.8 kPa"
    assert say_pressure(288.0, METRIC) == "0.0029 bar"
    assert say_pressure(288.0, IMPERIAL) == "0.042 psi"
    assert say_pressure(1.2, METRIC) == "0.000012 bar", "nobody at a bench reads 1.2e-05"


def test_a_temperature_is_whole_degrees() -> None:
    assert say_temperature(293.15, METRIC) == "20 °C"
    assert say_temperature(293.15, IMPERIAL) == "68 °F"


def test_a_line_load_is_in_kilonewtons_a_metre_for_everybody() -> None:
    assert say_line_load(6000, METRIC) == say_line_load(6000, IMPERIAL) == "6.00 kN/m"


@pytest.mark.parametrize(
    ("quantity", "said"),
    [
        (Quantity(0.826, ""), "0.83"),
        (Quantity(14.2, ""), "14.2"),
        (Quantity(float("inf"), ""), "∞"),
        (Quantity(float("nan"), "m"), "not known"),
        (Quantity(0.035, "m"), "35 mm"),
        (Quantity(50000, "Pa"), "0.50 bar"),
        (Quantity(293.15, "K"), "20 °C"),
        (Quantity(6000, "N/m"), "6.00 kN/m"),
        (Quantity(420, "N"), "420 N"),
        (Quantity(1420, "N"), "1.42 kN"),
        (Quantity(62.4, "N m"), "62.4 N m"),
        (Quantity(0.5, "s"), "0.5 s"),
        (Quantity(90, "s"), "1.5 min"),
        (Quantity(7200, "s"), "2 hours"),
        (Quantity(172800, "s"), "2 days"),
        (Quantity(0.785398, "rad"), "45°"),
        (Quantity(5, "m2"), "5.00 m²"),
        (Quantity(0.12, "m3"), "120 l"),
        (Quantity(12, "m/s"), "12 m/s"),
        (Quantity(1800, "1/m"), "1 800/m"),
    ],
)
def test_every_quantity_of_an_assessment_can_be_said(quantity: Quantity, said: str) -> None:
    assert say_quantity(quantity, METRIC) == said


def test_a_count_is_said_whole_and_a_ratio_with_two_places() -> None:
    assert say_quantity(Quantity(2, ""), METRIC) == "2"
    assert say_quantity(Quantity(2.0, ""), METRIC) == "2.00"


def test_a_sentence_says_its_figures_in_the_readers_units() -> None:
    runs = Sentence("It runs at {length}, asked {ratio}.", {
        "length": Quantity(0.0254, "m"),
        "ratio": Quantity(0.5, ""),
    })  # fmt: skip
    assert say(runs, METRIC) == "It runs at 25 mm, asked 0.50."
    assert say(runs, IMPERIAL) == "It runs at 1 in, asked 0.50."


def test_a_stored_sentence_reads_like_the_one_it_was_stored_from() -> None:
    stored = {"text": "Asked {ratio}.", "values": {"ratio": {"value": "inf", "unit": ""}}}
    assert say(sentence(stored), METRIC) == "Asked ∞."


def test_braces_in_plain_words_are_just_braces() -> None:
    assert say(sentence("a {curly} note"), METRIC) == "a {curly} note"


def test_a_typed_figure_is_shown_as_typed_to_who_reads_that_unit() -> None:
    typed = read_length("1 3/8 in", IMPERIAL)
    assert say_typed(typed.value_si, typed.text, IMPERIAL) == "1 3/8 in"
    assert say_typed(typed.value_si, typed.text, METRIC) == "35 mm"
    assert say_typed(0.0351, "35.1 mm", METRIC) == "35.1 mm"
    assert say_typed(0.035, "", METRIC) == "35 mm"
    pumped = read_pressure("7 psi", METRIC)
    assert say_typed(pumped.value_si, pumped.text, IMPERIAL) == "7 psi"
    assert say_typed(pumped.value_si, pumped.text, METRIC) == "0.48 bar"


@pytest.mark.parametrize(
    ("typed", "said"),
    [("3.5 cm", "35 mm"), ("1,25 cm", "12.5 mm"), ("120 cm", "1.2 m"), ("1 m 20 cm", "1.2 m")],
)
def test_what_was_typed_in_centimetres_is_told_in_what_stands_beside_it(typed: str, said: str) -> None:
    read = read_length(typed, METRIC)
    assert say_typed(read.value_si, read.text, METRIC) == said


@given(st.floats(0, 20), st.sampled_from([METRIC, IMPERIAL]))
def test_what_was_said_reads_back_within_its_rounding(metres: float, units: Units) -> None:
    back = read_length(say_length(metres, units), units).value_si
    assert back == pytest.approx(metres, abs=0.0127 if metres > 2.9 else 0.005, rel=0.06)


@given(st.floats(1e3, 1.6e5), st.sampled_from(["bar", "psi", "kPa"]))
def test_a_said_pressure_reads_back_within_its_rounding(pascal: float, unit: str) -> None:
    units = Units(pressure=unit)
    back = read_pressure(say_pressure(pascal, units), units).value_si if pascal >= 2e3 else pascal
    assert back == pytest.approx(pascal, abs=1000)


@pytest.mark.parametrize(
    ("minutes", "said"), [(0, "0 min"), (45, "45 min"), (59.6, "1 h"), (86, "1 h 26 min"), (120, "2 h")]
)
def test_bench_time_has_one_form_in_a_table_and_in_a_sentence(minutes, said):
    assert say_bench_time(minutes) == said
    assert say_quantity(Quantity(60.0 * minutes, "s at the bench"), Units()) == said
