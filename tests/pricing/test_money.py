from decimal import Decimal

import pytest
from django.utils import translation
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.pricing.money import MOST, read, rounded, say, say_alike, step_for, within

STEPS = [Decimal(step) for step in ("0.01", "0.05", "0.10", "1.00")]
amounts = st.decimals(min_value=0, max_value=MOST, places=2)


@pytest.mark.parametrize(
    ("amount", "step", "shown"),
    [
        ("2.674", "0.01", "2.67"),
        ("2.675", "0.01", "2.68"),
        ("2.675", "0.05", "2.70"),
        ("2.65", "0.10", "2.70"),
        ("2.50", "1.00", "3.00"),
        ("0", "1.00", "0.00"),
    ],
)
def test_halves_are_rounded_up_to_the_shops_step(amount: str, step: str, shown: str) -> None:
    assert str(rounded(Decimal(amount), Decimal(step))) == shown


@given(amounts, st.sampled_from(STEPS))
def test_a_rounded_amount_is_whole_steps_and_stays_when_rounded_again(amount: Decimal, step: Decimal) -> None:
    shown = rounded(amount, step)
    assert shown % step == 0
    assert abs(shown - amount) <= step / 2
    assert rounded(shown, step) == shown


def test_a_step_of_nothing_rounds_nothing() -> None:
    with pytest.raises(ValueError, match="more than nought"):
        rounded(Decimal(1), Decimal(0))


def test_the_step_is_never_finer_than_the_smallest_coin() -> None:
    assert step_for("0.01", "USD") == Decimal("0.01")
    assert step_for("0.05", "USD") == Decimal("0.05")
    assert step_for("0.01", "JPY") == Decimal(1)
    assert step_for("0.01", "KWD") == Decimal("0.01")


@pytest.mark.parametrize(
    ("amount", "currency", "locale", "said"),
    [
        ("1234.50", "USD", "en", "$1,234.50"),
        ("1234.50", "EUR", "de", "1.234,50\xa0€"),
        ("1234", "JPY", "en", "¥1,234"),
        ("1234.50", "JPY", "en", "¥1,234.50"),
        ("-12.00", "USD", "en", "-$12.00"),
        ("12.00", "XTS", "en", "XTS\xa012.00"),
        ("40467.60", "NOK", "en", "NOK\xa040,467.60"),
    ],
)
def test_an_amount_is_said_whole_as_the_locale_writes_it(
    amount: str, currency: str, locale: str, said: str
) -> None:
    assert say(Decimal(amount), currency, locale) == said


@pytest.mark.parametrize(
    ("typed", "amount"),
    [
        ("12", "12.00"),
        ("12.5", "12.50"),
        ("12,50", "12.50"),
        (".5", "0.50"),
        ("1,234.50", "1234.50"),
        ("1.234,50", "1234.50"),
        ("1,234", "1234.00"),
        ("1 234,5", "1234.50"),
        ("1\u202f234,5", "1234.50"),
        ("1'234.50", "1234.50"),
        ("1,234,567.89", "1234567.89"),
        ("\u200e$12", "12.00"),
        ("$12", "12.00"),
        ("12 usd", "12.00"),
        ("99,999,999.99", "99999999.99"),
        ("0", "0.00"),
    ],
)
def test_an_amount_is_read_as_people_type_it(typed: str, amount: str) -> None:
    assert str(read(typed, "USD")) == amount


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("", "Write an amount, such as 12.50."),
        ("  ", "Write an amount, such as 12.50."),
        ("-3", "below nought"),
        ("−3", "below nought"),
        ("-$3", "below nought"),
        ("1.234", "1250 without a dot"),
        ("0,125", "two decimals or none"),
        ("12.345", "two decimals or none"),
        ("1,23,456", "two decimals or none"),
        ("1.2.3", "two decimals or none"),
        ("12.", "two decimals or none"),
        ("1e5", "in figures"),
        ("1e400", "in figures"),
        ("NaN", "in figures"),
        ("Infinity", "in figures"),
        ("a lot", "in figures"),
        ("１２", "in figures"),
        ("٣", "in figures"),
        ("12\x00", "in figures"),
        ("<b>5</b>", "in figures"),
        ("12 EUR", "The shop counts in USD."),
        ("€12", "The shop counts in USD."),
        ("123456789", "The largest amount is 99,999,999.99."),
        ("9" * 10_000, "The largest amount is 99,999,999.99."),
    ],
)
def test_what_is_no_amount_is_refused_in_one_sentence(typed: str, sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        read(typed, "USD")


@given(amounts, st.sampled_from([("USD", "en"), ("EUR", "en"), ("CHF", "en"), ("JPY", "en")]))
def test_what_is_said_is_read_back_to_the_cent(amount: Decimal, place: tuple[str, str]) -> None:
    currency, locale = place
    assert read(say(amount, currency, locale), currency) == amount


@given(st.text(max_size=40))
def test_whatever_is_typed_is_an_amount_or_a_sentence(typed: str) -> None:
    assert said_of(typed).endswith(".") or 0 <= read(typed, "USD") <= MOST


def said_of(typed: str) -> str:
    """The refusal of what was typed, or nothing."""
    try:
        read(typed, "USD")
    except ValueError as refusal:
        return str(refusal)
    return ""


@pytest.mark.parametrize("figure", [0, 5, "0.00", "7.5", "7.25", "7.250", "9.99", "10"])
def test_a_figure_from_nought_to_the_most_with_two_decimals_is_kept(figure: str | int) -> None:
    assert within(Decimal(figure), Decimal(10)) is True
    assert within(5, Decimal(5)) is True


@pytest.mark.parametrize("figure", ["-0.01", "10.01", "7.251", "NaN", "Infinity", "-Infinity"])
def test_a_figure_that_would_be_cut_is_not_kept(figure: str) -> None:
    assert within(Decimal(figure), Decimal(10)) is False


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("", "Write an amount, such as 12.50."),
        ("-3", "An amount cannot be below nought. Write it without the minus."),
        ("a lot", "Write an amount in figures, such as 12.50."),
        ("1.234", "Write an amount with two decimals or none: 12.50, or 1250 without a dot."),
        ("1.2.3", "Write an amount with two decimals or none, such as 1,234.50."),
        ("123456789", "That is too much. The largest amount is 99,999,999.99."),
        ("12 EUR", "The shop counts in USD. Write the amount in that, such as 12.50."),
    ],
)
def test_a_refusal_is_told_whole(typed: str, sentence: str) -> None:
    assert said_of(typed) == sentence


def test_the_shop_s_own_currency_may_stand_on_either_side_in_letters_of_any_size() -> None:
    assert {read(typed, "USD") for typed in ("$5", "5$", "usd5", "5 USD", "Usd 5")} == {Decimal(5)}
    assert said_of("-5 USD") == said_of("USD-5") == said_of("-3")
    assert read("0000000012", "USD") == 12


def test_a_rounding_step_below_nought_rounds_nothing() -> None:
    with pytest.raises(ValueError) as refusal:
        rounded(Decimal(1), Decimal("-0.05"))
    assert str(refusal.value) == "A rounding step is more than nought."


def test_english_is_spoken_where_no_language_is_named() -> None:
    assert say(Decimal("1234.50"), "USD") == "$1,234.50"


@pytest.mark.parametrize("language", ["ar", "fa", "he"])
def test_an_amount_that_carries_marks_of_its_direction_is_read_back(language: str) -> None:
    with translation.override(language):
        assert read(say(Decimal("1234.50"), "USD"), "USD") == Decimal("1234.50")


def test_a_sign_is_read_as_it_is_said_whatever_the_language_of_the_machine(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("babel.numbers.LC_MONETARY", "en_CA")
    assert read(say(Decimal(5), "CAD"), "CAD") == read("CA$5", "CAD") == 5


@pytest.mark.parametrize(
    ("amounts", "currency", "said"),
    [
        (("88", "2.625", "1.155"), "USD", ["$88.00", "$2.63", "$1.16"]),
        (("9.9", "0.024", "2.64"), "USD", ["$9.900", "$0.024", "$2.640"]),
        (("0.02", "0.30"), "EUR", ["€0.02", "€0.30"]),
        (("880", "26.4"), "JPY", ["¥880", "¥26"]),
        ((), "USD", []),
    ],
)
def test_what_stands_in_one_column_is_said_alike_and_finer_than_a_cent_only_where_that_is_much(
    amounts, currency, said
):
    assert say_alike([Decimal(amount) for amount in amounts], currency) == said
