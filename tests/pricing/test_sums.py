from decimal import Decimal

from shoprepair.pricing.sums import add_up, in_order, say_sums


def test_amounts_of_different_currencies_are_never_added():
    sums = add_up([("USD", Decimal("10.10")), ("NOK", Decimal(200)), ("USD", Decimal("0.20"))])

    assert sums == {"NOK": Decimal("200.00"), "USD": Decimal("10.30")}
    assert say_sums(sums, "USD") == "$10.30 and NOK\u00a0200.00"
    assert say_sums(sums, "NOK") == "NOK\u00a0200.00 and $10.30"


def test_a_thousand_tenths_are_a_hundred_to_the_cent():
    assert add_up([("USD", Decimal("0.10"))] * 1000) == {"USD": Decimal("100.00")}


def test_nothing_is_said_in_the_shops_own_currency():
    assert say_sums({}, "EUR") == "€0.00"
    assert say_sums({"USD": Decimal("0.00")}, "EUR") == "€0.00"
    assert in_order({"USD": Decimal(5)}, "EUR") == [("USD", Decimal(5))]
