"""What people type at the counter, read as SI. pint is the outside reference for every conversion."""

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.shop.units import Typed, Units, read_length, read_pressure, read_temperature

METRIC = Units()
IMPERIAL = Units(pressure="psi", length="in", temperature="°F")
REFERENCE = pint.UnitRegistry()


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("35", 0.035),
        ("35 mm", 0.035),
        ("35mm", 0.035),
        (" 3.5 cm ", 0.035),
        ("3,5 cm", 0.035),
        ("0,35 m", 0.35),
        (".5 m", 0.5),
        ("1 3/8 in", 0.034925),
        ("1-3/8 in", 0.034925),
        ("1⅜ in", 0.034925),
        ("3/8in", 0.009525),
        ("1½″", 0.0381),
        ("2 inches", 0.0508),
        ("1'6\"", 0.4572),
        ("1’ 6”", 0.4572),
        ("5 ft 6", 1.6764),
        ("6' 2 1/2\"", 1.8923),
        ("1 m 20 cm", 1.2),
        ("0", 0.0),
    ],
)
def test_a_length_is_read_however_people_write_it(text: str, metres: float) -> None:
    assert read_length(text, METRIC).value_si == pytest.approx(metres, abs=1e-12)


def test_a_bare_length_is_in_the_readers_unit() -> None:
    assert read_length("2", METRIC).value_si == pytest.approx(0.002)
    assert read_length("2", IMPERIAL).value_si == pytest.approx(0.0508)


def test_a_bare_span_is_in_metres_or_feet() -> None:
    assert read_length("6.5", METRIC, large=True).value_si == pytest.approx(6.5)
    assert read_length("21 4/12", IMPERIAL, large=True).value_si == pytest.approx(6.5024)


@pytest.mark.parametrize("text", ["35 mm", "1 3/8 in", "3,5cm", "1'6\"", "1½″"])
def test_what_was_typed_is_kept_as_typed(text: str) -> None:
    assert read_length(text, METRIC).text == text


def test_a_bare_figure_is_kept_with_the_unit_that_was_understood() -> None:
    assert read_length("35", METRIC) == Typed(0.035, "35 mm")
    assert read_length("1½", IMPERIAL).text == "1½ in"
    assert read_pressure("0.5", METRIC).text == "0.5 bar"
    assert read_temperature("20", METRIC).text == "20 °C"


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "Write a length, such as 35 mm or 1 3/8 in."),
        ("long", "“long” cannot be read as a length; write it as 35 mm or 1 3/8 in."),
        ("35 bar", "“35 bar” cannot be read as a length; write it as 35 mm or 1 3/8 in."),
        ("3 3 mm", "“3 3 mm” cannot be read as one length; write it as 35 mm or 1 3/8 in."),
        ("3 mm 2 m", "“3 mm 2 m” cannot be read as one length; write it as 35 mm or 1 3/8 in."),
        ("-3 mm", "A length cannot be negative; write it as 35 mm or 1 3/8 in."),
        ("−3 mm", "A length cannot be negative; write it as 35 mm or 1 3/8 in."),
        ("３５ mm", "Please write the figures as 0 to 9, such as 35 mm or 1 3/8 in."),
        ("٣٥ mm", "Please write the figures as 0 to 9, such as 35 mm or 1 3/8 in."),
        ("1/0 in", "1/0 divides by nothing; write a fraction such as 3/8."),
        ("1,250 mm", "1,250 can be read in two ways; write 1250, or 1.250 with a point."),
        ("9" * 400, "That is too long for a length; write it as 35 mm or 1 3/8 in."),
    ],
)
def test_a_length_that_cannot_be_read_gets_a_sentence(text: str, sentence: str) -> None:
    with pytest.raises(ValueError) as refusal:
        read_length(text, METRIC)
    assert str(refusal.value) == sentence


@pytest.mark.parametrize(
    "text", ["NaN", "inf", "1e400", "1e3", "0x1F", "½½", "1.2.3", "m", "'", "/", ",", "+5"]
)
def test_no_trick_of_writing_gets_through_as_a_length(text: str) -> None:
    with pytest.raises(ValueError, match="cannot be read"):
        read_length(text, METRIC)


@given(st.text(max_size=30))
def test_any_text_is_a_finite_length_or_a_sentence(text: str) -> None:
    try:
        outcome: Typed | str = read_length(text, METRIC)
    except ValueError as refusal:
        outcome = str(refusal)
    sentence = isinstance(outcome, str) and outcome.endswith(".")
    assert sentence or 0 <= outcome.value_si < float("inf")


@given(st.floats(0, 5000), st.sampled_from(["mm", "cm", "m", "in", "ft"]))
def test_a_length_comes_out_as_an_outside_reference_has_it(figure: float, unit: str) -> None:
    typed = f"{figure:.4f}"
    reference = REFERENCE.Quantity(float(typed), unit).to("m").magnitude
    assert read_length(f"{typed} {unit}", METRIC).value_si == pytest.approx(reference, rel=1e-12)
    assert read_length(f"{typed.replace('.', ',')} {unit}", METRIC).value_si == pytest.approx(reference)


@given(st.integers(0, 90), st.integers(1, 15))
def test_a_fraction_of_an_inch_is_exact(whole: int, sixteenths: int) -> None:
    read = read_length(f"{whole} {sixteenths}/16 in", METRIC).value_si
    assert read == pytest.approx((whole + sixteenths / 16) * 0.0254, rel=1e-12)


@given(st.floats(0.02, 1.6), st.sampled_from(["bar", "psi", "kPa", "mbar"]))
def test_a_pressure_comes_out_as_an_outside_reference_has_it(bar: float, unit: str) -> None:
    typed = f"{REFERENCE.Quantity(bar, 'bar').to(unit).magnitude:.6f}"
    reference = REFERENCE.Quantity(float(typed), unit).to("Pa").magnitude
    if 1e3 <= reference <= 1.6e5:
        assert read_pressure(f"{typed} {unit}", METRIC).value_si == pytest.approx(reference, rel=1e-9)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (
            "70 bar",
            "70 bar is a hundred times what such a tube holds; did you mean 7 psi, 0.7 bar or 70 kPa?",
        ),
        ("7 bar", "7 bar is ten times what such a tube holds; did you mean 7 psi or 0.7 bar?"),
        ("700 kPa", "700 kPa is ten times what such a tube holds; did you mean 7 psi or 70 kPa?"),
        ("7 Pa", "7 Pa is far less than such a tube holds; did you mean 7 psi or 0.7 bar?"),
        ("0 bar", "0 bar is far less than such a tube holds; write it as 0.5 bar or 7 psi."),
        ("7 mm", "“7 mm” cannot be read as a pressure; write it as 0.5 bar, 7 psi or 50 kPa."),
        (
            "7 psi 3 psi",
            "“7 psi 3 psi” holds more than one figure; write one, such as 0.5 bar, 7 psi or 50 kPa.",
        ),
        ("", "Write a pressure, such as 0.5 bar, 7 psi or 50 kPa."),
    ],
)
def test_a_slip_of_the_unit_is_said_and_the_likely_meaning_offered(text: str, sentence: str) -> None:
    with pytest.raises(ValueError) as refusal:
        read_pressure(text, METRIC)
    assert str(refusal.value) == sentence


def test_a_bare_pressure_is_in_the_readers_unit() -> None:
    assert read_pressure("7", IMPERIAL).value_si == pytest.approx(48263.3011, abs=1e-3)
    with pytest.raises(ValueError, match=r"7 bar is ten times what such a tube holds"):
        read_pressure("7", METRIC)


@pytest.mark.parametrize(
    ("text", "kelvin"), [("20", 293.15), ("68 °F", 293.15), ("68F", 293.15), ("-5 C", 268.15), ("300 K", 300)]
)
def test_a_temperature_is_read_in_any_scale(text: str, kelvin: float) -> None:
    assert read_temperature(text, METRIC).value_si == pytest.approx(kelvin)


@given(st.floats(-39, 193))
def test_degrees_fahrenheit_come_out_as_an_outside_reference_has_them(figure: float) -> None:
    typed = f"{figure:.3f}"
    reference = REFERENCE.Quantity(float(typed), "degF").to("kelvin").magnitude
    assert read_temperature(f"{typed} °F", METRIC).value_si == pytest.approx(reference)


def test_a_temperature_of_no_beach_is_refused() -> None:
    with pytest.raises(ValueError) as refusal:
        read_temperature("500", METRIC)
    assert str(refusal.value) == (
        "500 °C is no temperature of a workshop or a beach; write it as 20 °C or 68 °F."
    )
