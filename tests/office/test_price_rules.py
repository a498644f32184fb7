import re
from decimal import Decimal

import pytest
from django.urls import reverse

from shoprepair.gear import library
from shoprepair.office.forms.price_rules import PriceRulesForm
from shoprepair.pricing import catalogue, rules, totals
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.shop.units import Units
from tests.factories import DamageFactory, quoted
from tests.office.reading import words

pytestmark = pytest.mark.django_db

PAGE = "price-rules"


@pytest.fixture
def client(as_person, owner):
    library.load()
    catalogue.load()
    return as_person(owner)


def typed(units: Units | None = None, **changes) -> dict:
    form = PriceRulesForm(rules.current(), units or Units(), "USD")
    return {name: form[name].value() for name in form.fields} | changes


def change(client, **changes):
    return client.post(reverse(PAGE), typed(**changes))


def refusal(client, **changes) -> str:
    before = rules.current().version
    answer = change(client, **changes)
    assert answer.status_code == 422
    assert rules.current().version == before
    return words(answer)


def test_saving_the_rules_as_they_are_shown_changes_nothing(client):
    assert change(client).status_code == 302
    assert rules.current().version == 1
    assert not journal.entries(rules.current()).exists()


def test_a_changed_rule_is_kept_and_journalled(client):
    change(client, hourly_rate="80,00", tax_percent="19 %", tax_name="VAT", rounding="0.05", valid_days="21")
    held = rules.current()
    page = words(client.get(reverse(PAGE)))

    assert (held.hourly_rate, held.tax_percent, held.tax_name) == (80, 19, "VAT")
    assert (held.rounding, held.valid_days, held.version) == ("0.05", 21, 2)
    assert "<dt>Hour of bench work</dt><dd><del>$72.00</del>" in page
    assert "<dt>A quote is valid for</dt><dd><del>14 days</del>" in page
    assert "<del>to the cent</del>" in page
    assert "A change touches no quote already out." in page


def test_a_quote_that_is_out_keeps_the_rules_it_was_written_by(client):
    quote = quoted(DamageFactory(job__stage="assessed").job)
    before = (quote.tax_percent, totals.of(quote).total)
    change(client, hourly_rate="200", tax_percent="50")
    quote.refresh_from_db()
    assert (quote.tax_percent, totals.of(quote).total) == before


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"hourly_rate": "-5"}, "An amount cannot be below nought."),
        ({"hourly_rate": "much"}, "Write an amount in figures, such as 12.50."),
        ({"hourly_rate": ""}, "Write an amount, such as 12.50."),
        ({"minimum_charge": "1e9"}, "Write an amount in figures"),
        ({"tax_percent": "200"}, "200 % is out of range; write a figure between 0 and 100."),
        ({"tax_percent": "-8"}, "-8 % is out of range"),
        ({"tax_percent": "eight"}, "“eight” is no number"),
        ({"tax_percent": "8.125"}, "Write it with 2 decimals at most."),
        ({"tax_name": " "}, "Name the tax, such as VAT."),
        ({"rounding": "0.03"}, "Choose one of those shown."),
        ({"valid_days": "0"}, "0 days is out of range; write a figure between 1 and 365."),
        ({"valid_days": "7.5"}, "Write it with no decimals at most."),
        ({"opening_fixed_minutes": "481"}, "481 min is out of range"),
        ({"opening_reach_m": "9 m"}, "is out of range"),
        ({"opening_reach_m": "long"}, "cannot be read as a length"),
        ({"opening_least_m": "900 mm"}, "Nobody opens more than both arms reach"),
        ({"not_worth_percent": "٣٠"}, "is no number"),
    ],
)
def test_what_cannot_be_is_said_beside_its_rule(client, changes, sentence):
    assert sentence in refusal(client, **changes)


def test_what_was_typed_is_kept_when_one_rule_is_refused(client):
    page = refusal(client, tax_percent="200", hourly_rate="81")
    assert 'value="81"' in page


def test_the_example_follows_the_rules_that_are_typed_and_saves_nothing(client):
    now = words(client.get(reverse(PAGE)))
    sent = typed(hourly_rate="144", tax_name="VAT", tax_percent="20") | {"try": "1"}
    part = words(client.post(reverse(PAGE), sent, headers={"HX-Request": "true"}))
    whole = client.post(reverse(PAGE), sent)

    assert "$119.56" in now
    assert part.startswith("<h2>An example</h2>")
    assert "VAT, 20 %" in part
    assert "$119.56" not in part
    assert "with the go-ahead" in part
    assert whole.status_code == 200
    assert rules.current().version == 1


def test_an_example_that_cannot_be_read_says_so(client):
    sent = typed(hourly_rate="") | {"try": "1"}
    part = words(client.post(reverse(PAGE), sent, headers={"HX-Request": "true"}))
    assert "once every rule can be read" in part


def test_the_examples_sums_are_sums_of_what_is_shown(client):
    """Rounded lines, to whole units: what stands there adds up by eye."""
    change(client, rounding="1.00")
    page = words(client.get(reverse(PAGE)))
    example = page[page.index("An example</h2>") :]
    amounts = [Decimal(text) for text in re.findall(r"<dd>\$(\d+\.\d\d)</dd>", example)]
    *lines, net, tax = amounts
    total = Decimal(re.search(r'catalogue-total">\$(\d+\.\d\d)', example)[1])
    assert sum(lines) == net
    assert net + tax == total


def test_lengths_are_read_in_the_owners_units(client, owner):
    Staff.objects.filter(pk=owner.pk).update(length_unit="in")
    inches = Units(length="in")
    client.post(reverse(PAGE), typed(inches, opening_reach_m="12 in"))
    assert rules.current().opening_reach_m == pytest.approx(0.3048)
    assert rules.current().opening_least_m == 0.15


def test_of_two_who_save_the_second_learns_of_the_first(client):
    early = typed(hourly_rate="90")
    change(client, hourly_rate="80")
    answer = client.post(reverse(PAGE), early)
    assert answer.status_code == 422
    assert "Somebody has changed the price rules since you opened it." in words(answer)
    assert rules.current().hourly_rate == 80
