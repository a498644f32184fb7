from decimal import Decimal
from typing import Any

import pytest
from django.core.exceptions import ValidationError

from shoprepair.pricing import rules
from shoprepair.pricing.models import PriceRules
from shoprepair.pricing.stale import Stale
from shoprepair.shop import journal
from shoprepair.shop.models import Staff

pytestmark = pytest.mark.django_db


def test_the_rules_are_there_from_the_first_time_somebody_asks() -> None:
    assert rules.current() == rules.current()
    assert PriceRules.objects.count() == 1


def test_a_change_is_kept_with_what_was_before(owner: Staff) -> None:
    changed = rules.change(
        rules.current(), who=owner, version=1, hourly_rate=Decimal(80), tax_percent=Decimal("8.00")
    )
    assert (changed.hourly_rate, changed.version) == (80, 2)
    [entry] = journal.entries(changed)
    assert (entry.who, entry.changes) == (owner, {"hourly_rate": ["72.00", "80"]})


def test_the_same_rules_again_are_no_news(owner: Staff) -> None:
    rules.change(rules.current(), who=owner, version=1, hourly_rate=Decimal("72.00"))
    assert rules.current().version == 1
    assert not journal.entries(rules.current()).exists()


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"hourly_rate": Decimal(-1)}, "nought or more"),
        ({"tax_percent": Decimal(200)}, "between 0 and 100"),
        ({"tax_percent": Decimal(-1)}, "between 0 and 100"),
        ({"deposit_percent": Decimal("100.01")}, "between 0 and 100"),
        ({"rounding": "0.07"}, "one of the roundings"),
        ({"valid_days": 0}, "1 to 365 days"),
        ({"tax_name": "  "}, "Name the tax"),
        ({"tax_name": "x" * 41}, "Name the tax"),
        ({"opening_reach_m": 3.0}, "between 0.05 m and 2.0 m"),
        ({"opening_reach_m": float("nan")}, "between 0.05 m and 2.0 m"),
        ({"opening_fixed_minutes": Decimal(481)}, "between 0 and 480"),
        ({"minimum_charge": Decimal("NaN")}, "nought or more"),
        ({"minimum_charge": Decimal("1e400")}, "nought or more"),
    ],
)
def test_rules_that_cannot_be_are_refused_with_a_sentence(
    owner: Staff, fields: dict[str, Any], sentence: str
) -> None:
    with pytest.raises(ValidationError) as refusal:
        rules.change(rules.current(), who=owner, version=1, **fields)
    [name] = fields
    assert sentence in refusal.value.message_dict[name][0]
    assert rules.current().version == 1


def test_who_comes_second_hears_what_was_changed(owner: Staff) -> None:
    seen = rules.current()
    rules.change(rules.current(), who=owner, version=1, hourly_rate=Decimal("80.00"))
    with pytest.raises(Stale) as refusal:
        rules.change(seen, who=owner, version=1, hourly_rate=Decimal(90))
    assert refusal.value.meanwhile == ("Runa Selvaag changed hourly rate from 72.00 to 80.00.",)
    assert rules.current().hourly_rate == 80


def test_only_price_rules_are_changed_here(owner: Staff) -> None:
    with pytest.raises(TypeError, match="version"):
        rules.change(rules.current(), who=owner, version=1, **{"version_": 9})
