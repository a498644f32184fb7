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
    assert rules.current().pk == 1
    assert PriceRules.objects.count() == 1


def test_a_change_is_kept_with_what_was_before(owner: Staff) -> None:
    changed = rules.change(
        rules.current(), who=owner, version=1, hourly_rate=Decimal(80), tax_percent=Decimal("8.00")
    )
    assert (changed.hourly_rate, changed.version) == (80, 2)
    [entry] = journal.entries(changed)
    assert (entry.who, entry.changes) == (owner, {"hourly_rate": ["72.00", "80"]})
    assert (entry.verb, entry.text) == ("rules.changed", "Price rules were changed.")


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
    assert str(refusal.value) == (
        "Somebody has changed the price rules since you opened it. "
        "Runa Selvaag changed hourly rate from 72.00 to 80.00. Look at it as it is now."
    )
    assert refusal.value.record.hourly_rate == rules.current().hourly_rate == 80


def test_each_change_is_told_with_all_that_it_changed_and_no_more_than_was_missed(owner: Staff) -> None:
    rules.change(rules.current(), who=owner, version=1, valid_days=30)
    seen = rules.current()
    rules.change(rules.current(), who=owner, version=2, tax_percent=Decimal("19.00"), tax_name="Levy")
    with pytest.raises(Stale) as refusal:
        rules.change(seen, who=owner, version=2, hourly_rate=Decimal(90))
    [told] = refusal.value.meanwhile
    assert told == "Runa Selvaag changed tax name from Tax to Levy, tax percent from 8.00 to 19.00."


def test_what_lies_on_a_bound_is_within_it(owner: Staff) -> None:
    least = {name: rules.LENGTHS[name][0] for name in rules.LENGTHS}
    most = {name: rules.LENGTHS[name][1] for name in rules.LENGTHS}
    nought = dict.fromkeys((*rules.MONEY, *rules.PERCENTS, *rules.MINUTES), Decimal(0))
    whole = dict.fromkeys(rules.PERCENTS, Decimal(100)) | dict.fromkeys(rules.MINUTES, Decimal(480))
    for version, facts in enumerate(
        (
            {"tax_name": "x", "valid_days": 1, **least, **nought},
            {"tax_name": "x" * 40, "valid_days": 365, **most, **whole},
        ),
        start=1,
    ):
        changed = rules.change(rules.current(), who=owner, version=version, **facts)
        assert {name: getattr(changed, name) for name in facts} == facts


def test_every_rule_that_cannot_be_is_named_with_its_own_sentence(owner: Staff) -> None:
    with pytest.raises(ValidationError) as refusal:
        rules.change(
            rules.current(),
            who=owner,
            version=1,
            hourly_rate=Decimal("0.001"),
            tax_percent=Decimal("7.125"),
            opening_minutes_per_m=Decimal(-1),
            opening_least_m=0.04,
            rounding="",
            valid_days=366,
            tax_name="",
        )
    assert refusal.value.message_dict == {
        "hourly_rate": ["An amount of money is nought or more, with two decimals at most."],
        "tax_percent": ["A percentage lies between 0 and 100, with two decimals at most."],
        "opening_minutes_per_m": ["Minutes lie between 0 and 480."],
        "opening_least_m": ["This length lies between 0.05 m and 1.0 m."],
        "rounding": ["Choose one of the roundings shown."],
        "valid_days": ["A quote is valid for 1 to 365 days."],
        "tax_name": ["Name the tax in 40 letters or fewer."],
    }


def test_only_price_rules_are_changed_here(owner: Staff) -> None:
    with pytest.raises(TypeError, match=r"^Not a price rule: pk, version_\.$"):
        rules.change(rules.current(), who=owner, version=1, **{"version_": 9, "pk": 2})


def test_whoever_comes_with_a_version_that_never_was_missed_nothing(owner: Staff) -> None:
    rules.change(rules.current(), who=owner, version=1, valid_days=30)
    with pytest.raises(Stale) as refusal:
        rules.change(rules.current(), who=owner, version=9, valid_days=31)
    assert refusal.value.meanwhile == ()
