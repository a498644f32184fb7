from decimal import Decimal

from shoprepair.pricing.templatetags.money import bench_time, money, percent


def test_an_amount_is_said_in_its_currency_and_a_missing_one_by_a_dash():
    assert money(Decimal("1234.5"), "USD") == "$1,234.50"
    assert money(None, "USD") == "–"


def test_bench_time_is_said_in_hours_and_minutes():
    assert [bench_time(Decimal(m)) for m in ("7.4", "60", "110", "0")] == [
        "7 min",
        "1 h",
        "1 h 50 min",
        "0 min",
    ]
    assert bench_time(None) == "–"


def test_a_share_is_said_without_needless_decimals():
    assert [percent(Decimal(p)) for p in ("8.00", "7.50", "0", "100.00")] == ["8 %", "7.5 %", "0 %", "100 %"]
