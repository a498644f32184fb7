from dataclasses import dataclass
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.pricing.lines import Line
from shoprepair.pricing.models import Quote
from shoprepair.pricing.totals import NOUGHT, Totals, is_taken, of, totals
from tests.factories import QuoteFactory, QuoteLineFactory

STEPS = [Decimal(step) for step in ("0.01", "0.05", "0.10", "1.00")]
amounts = st.decimals(min_value=0, max_value=5000, places=2)
percents = st.decimals(min_value=0, max_value=100, places=2)


@dataclass(frozen=True)
class Plain:
    """A line with nothing but its figures."""

    amount: Decimal
    taken: bool = True
    cost: Decimal = Decimal("1.00")
    minutes: Decimal = Decimal(5)
    text: str = "Patch"


def rules(**changes: Any) -> dict[str, Any]:
    plain = {
        "rounding": Decimal("0.01"),
        "discount_percent": Decimal(0),
        "tax_percent": Decimal(0),
        "tax_name": "Tax",
        "minimum_charge": NOUGHT,
        "deposit_percent": Decimal(0),
        "deposit_from": NOUGHT,
    }
    return plain | changes


def added(*figures: str, **changes: Any) -> Totals:
    return totals([Plain(Decimal(figure)) for figure in figures], **rules(**changes))


@st.composite
def reckonings(draw: Any) -> tuple[list[Plain], dict[str, Any]]:
    lines = draw(st.lists(st.builds(Plain, amounts, st.booleans()), max_size=8))
    return lines, rules(
        rounding=draw(st.sampled_from(STEPS)),
        discount_percent=draw(percents),
        tax_percent=draw(percents),
        minimum_charge=draw(amounts),
        deposit_percent=draw(percents),
        deposit_from=draw(amounts),
    )


@given(reckonings())
def test_the_total_is_the_sum_of_all_that_is_shown_to_the_cent(
    reckoning: tuple[list[Plain], dict[str, Any]],
) -> None:
    lines, facts = reckoning
    sums = totals(lines, **facts)
    shown = sum((line.amount for line in sums.lines if line.taken), NOUGHT)
    assert sums.total == shown + sums.minimum_added - sums.discount + sums.tax
    assert sums.net == sums.subtotal + sums.minimum_added - sums.discount


@given(reckonings())
def test_every_amount_shown_is_whole_steps_and_none_is_below_nought(
    reckoning: tuple[list[Plain], dict[str, Any]],
) -> None:
    lines, facts = reckoning
    sums = totals(lines, **facts)
    shown = [line.amount for line in sums.lines]
    shown += [sums.subtotal, sums.minimum_added, sums.discount, sums.net, sums.tax, sums.total, sums.deposit]
    assert all(amount >= 0 and amount % facts["rounding"] == 0 for amount in shown)
    assert sums.deposit <= sums.total


@given(reckonings(), st.randoms())
def test_the_order_of_the_lines_changes_nothing(
    reckoning: tuple[list[Plain], dict[str, Any]], random: Any
) -> None:
    lines, facts = reckoning
    before = totals(lines, **facts)
    random.shuffle(lines)
    after = totals(lines, **facts)
    for name in ("subtotal", "minimum_added", "discount", "net", "tax", "total", "deposit", "cost"):
        assert getattr(before, name) == getattr(after, name)


@given(reckonings(), amounts)
def test_a_line_more_never_makes_it_cheaper(
    reckoning: tuple[list[Plain], dict[str, Any]], amount: Decimal
) -> None:
    lines, facts = reckoning
    assert totals([*lines, Plain(amount)], **facts).total >= totals(lines, **facts).total


def test_each_line_is_rounded_before_it_is_added() -> None:
    assert added("10.02", "10.02", "10.02", rounding=Decimal("0.05")).total == Decimal("30.00")
    assert added("10.03", "10.03", "10.03", rounding=Decimal("0.05")).total == Decimal("30.15")


def test_a_small_job_is_raised_to_the_minimum_charge_as_an_amount_of_its_own() -> None:
    sums = added("11.50", minimum_charge=Decimal(25), tax_percent=Decimal(10))
    assert (sums.subtotal, sums.minimum_added, sums.net) == (
        Decimal("11.50"),
        Decimal("13.50"),
        Decimal("25.00"),
    )
    assert sums.total == Decimal("27.50")


def test_nothing_taken_costs_nothing_whatever_the_minimum_charge() -> None:
    sums = totals([Plain(Decimal(50), taken=False)], **rules(minimum_charge=Decimal(25)))
    assert (sums.total, sums.cost, sums.minutes) == (0, 0, 0)
    assert all(isinstance(each, Decimal) for each in (sums.total, sums.cost, sums.minutes))


def test_a_discount_is_given_on_the_minimum_charge_too() -> None:
    sums = added("11.50", minimum_charge=Decimal(25), discount_percent=Decimal(20))
    assert (sums.discount, sums.total) == (Decimal("5.00"), Decimal("20.00"))


def test_tax_is_on_what_is_left_after_the_discount() -> None:
    sums = added("200", discount_percent=Decimal(10), tax_percent=Decimal(8))
    assert (sums.discount, sums.net, sums.tax, sums.total) == (20, 180, Decimal("14.40"), Decimal("194.40"))


@pytest.mark.parametrize(("figure", "deposit"), [("149.99", "0.00"), ("150", "45.00"), ("151", "45.30")])
def test_a_deposit_is_asked_from_a_total_on(figure: str, deposit: str) -> None:
    sums = added(figure, deposit_percent=Decimal(30), deposit_from=Decimal(150))
    assert sums.deposit == Decimal(deposit)


def test_no_deposit_is_more_than_the_total() -> None:
    sums = added("0.40", rounding=Decimal("0.05"), deposit_percent=Decimal(100))
    assert sums.deposit == sums.total


def test_warranty_work_is_priced_at_nought_and_its_cost_still_counted() -> None:
    lines = [Plain(Decimal(100), cost=Decimal(60)), Plain(Decimal(50), cost=Decimal(20))]
    sums = totals(lines, **rules(minimum_charge=Decimal(25), tax_percent=Decimal(8)), warranty=True)
    assert (sums.subtotal, sums.minimum_added, sums.tax, sums.total, sums.deposit) == (0, 0, 0, 0, 0)
    assert [line.amount for line in sums.lines] == [0, 0]
    assert (sums.cost, sums.minutes) == (80, 10)


def test_a_line_left_out_is_shown_with_its_amount_and_not_added() -> None:
    sums = totals([Plain(Decimal(100)), Plain(Decimal(30), taken=False)], **rules())
    assert [(line.amount, line.taken) for line in sums.lines] == [(100, True), (30, False)]
    assert (sums.total, sums.cost) == (100, 1)


def test_an_estimates_lines_add_up_as_a_quotes_do() -> None:
    line = Line(
        kind="repair", text="Patch", minutes=Decimal(30), cost=Decimal("36.00"), amount=Decimal("60.004")
    )
    assert totals([line], **rules()).total == Decimal("60.00")


@pytest.mark.django_db
def test_a_quote_adds_up_as_the_shop_advises_or_as_the_customer_chooses() -> None:
    quote = QuoteFactory()
    QuoteLineFactory(quote=quote, amount=Decimal(100))
    replaced = QuoteLineFactory(quote=quote, amount=Decimal(80), choice="1 bladder")
    patched = QuoteLineFactory(quote=quote, amount=Decimal(30), choice="1 bladder", taken=False)
    wash = QuoteLineFactory(quote=quote, amount=Decimal(20), optional=True, taken=False)
    assert of(quote).net == 180
    assert of(quote, {patched.pk, wash.pk}).net == 150
    assert of(quote, set()).net == 100
    assert of(quote, {replaced.pk, 10**9}).net == 180


@pytest.mark.django_db
def test_what_cannot_be_left_out_is_always_taken() -> None:
    line = QuoteLineFactory()
    extra = QuoteLineFactory(quote=line.quote, optional=True)
    assert is_taken(line, set())
    assert not is_taken(extra, set())
    assert is_taken(extra, {extra.pk})


@pytest.mark.django_db
def test_reckoning_another_choice_leaves_the_lines_at_hand_as_they_are() -> None:
    line = QuoteLineFactory(optional=True)
    quote = Quote.objects.prefetch_related("lines").get()
    assert of(quote, set()).total == 0
    assert of(quote, {line.pk}).net == 100
    assert [each.taken for each in quote.lines.all()] == [True]


@pytest.mark.django_db
def test_what_was_agreed_adds_up_as_it_was_agreed_and_not_as_the_shop_advised() -> None:
    quote = QuoteFactory(minimum_charge=0, tax_percent=0, tax_name="Sales tax")
    patch = QuoteLineFactory(quote=quote)
    advised = QuoteLineFactory(quote=quote, amount=Decimal(80), optional=True)
    at_will = QuoteLineFactory(quote=quote, amount=Decimal(20), optional=True, taken=False)
    answered = [(patch, True), (advised, False), (at_will, True)]
    quote.agreed = {"lines": [{"id": line.pk, "taken": taken} for line, taken in answered]}
    agreed = of(quote)
    assert (agreed.net, [shown.taken for shown in agreed.lines]) == (120, [True, False, True])
    assert of(quote, {advised.pk}).net == 180
    assert agreed.tax_name == "Sales tax"


@pytest.mark.django_db
def test_a_quote_under_warranty_comes_to_nothing_and_its_cost_is_still_known() -> None:
    quote = QuoteFactory(warranty=True)
    line = QuoteLineFactory(quote=quote)
    warranted = of(quote)
    assert (warranted.total, warranted.minimum_added, warranted.cost) == (0, 0, line.cost)


def test_the_percentages_and_the_tax_s_name_stand_beside_what_was_reckoned_with_them() -> None:
    percents = {"discount_percent": Decimal(5), "tax_percent": Decimal(19), "deposit_percent": Decimal(30)}
    found = totals([], **rules(**percents, tax_name="VAT"))
    assert {name: getattr(found, name) for name in percents} == percents
    assert (found.tax_name, str(found.subtotal), str(found.cost)) == ("VAT", "0.00", "0.00")
