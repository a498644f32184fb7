"""A quote as its customer reads it: groups, amounts and what the page's script adds up with."""

from decimal import Decimal

import pytest

from shoprepair.portal.offer import Line, offer, percent
from tests.factories import QuoteFactory, QuoteLineFactory


def tags(*numbers: int) -> str:
    return Line(1, "", "", numbers, "", 0, taken=True).tags


@pytest.mark.parametrize(
    ("numbers", "words"),
    [
        ((), ""),
        ((4,), "For tag 4"),
        ((1, 2), "For tags 1 and 2"),
        ((2, 1, 3), "For tags 1–3"),
        ((1, 3), "For tags 1 and 3"),
        ((1, 2, 3, 7, 9, 10), "For tags 1–3, 7, 9 and 10"),
    ],
)
def test_the_damages_of_a_line_are_named_in_runs(numbers: tuple[int, ...], words: str) -> None:
    assert tags(*numbers) == words


@pytest.mark.parametrize(
    ("share", "words"), [("8.00", "8 %"), ("7.50", "7.5 %"), ("0.00", "0 %"), ("100.00", "100 %")]
)
def test_a_share_is_said_without_idle_noughts(share: str, words: str) -> None:
    assert percent(Decimal(share)) == words


@pytest.mark.django_db
def test_lines_are_grouped_by_what_the_customer_may_do_with_them() -> None:
    quote = QuoteFactory()
    for line in (
        {"text": "patch"},
        {"text": "wash", "optional": True},
        {"text": "mend", "choice": "bladder"},
        {"text": "renew", "choice": "bladder", "taken": False, "optional": True},
        {"text": "sew", "choice": "canopy"},
        {"text": "tape", "choice": "canopy", "taken": False},
    ):
        QuoteLineFactory(quote=quote, **line)
    made = offer(quote)
    assert [line.text for line in made.fixed] == ["patch"]
    assert [line.text for line in made.extras] == ["wash"]
    assert [[line.text for line in choice.lines] for choice in made.choices] == [
        ["mend", "renew"],
        ["sew", "tape"],
    ]
    assert [choice.field for choice in made.choices] == ["choice-0", "choice-1"]
    assert [line.advised for line in made.choices[0].lines] == [True, False]
    assert made.decides
    assert (made.total, made.total_exact) == ("$440.00", Decimal("440.00"))


@pytest.mark.django_db
def test_what_the_shop_advises_stays_marked_when_the_customer_chooses_otherwise() -> None:
    quote = QuoteFactory()
    QuoteLineFactory(quote=quote, choice="bladder")
    renew = QuoteLineFactory(quote=quote, choice="bladder", taken=False, amount=Decimal("300.00"))
    made = offer(quote, {renew.pk})
    assert [(line.advised, line.taken) for line in made.choices[0].lines] == [(True, False), (False, True)]
    assert made.total == "$330.00"


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("currency", "before", "after", "decimals"),
    [("USD", "$", "", 2), ("JPY", "¥", "", 0), ("EUR", "€", "", 2)],
)
def test_the_script_is_told_how_the_shop_writes_its_money(currency, before, after, decimals) -> None:
    told = offer(QuoteFactory(currency=currency, discount_percent=Decimal("7.50"))).reckoning
    assert (told["before"], told["after"], told["decimals"]) == (before, after, decimals)
    assert (told["discount"], told["tax"], told["step"]) == (750, 1000, 1)


@pytest.mark.django_db
@pytest.mark.parametrize(("choices", "folded"), [(5, False), (6, True)])
def test_of_many_choices_each_shows_what_is_ticked_and_folds_its_others(choices: int, folded: bool) -> None:
    quote = QuoteFactory()
    for number in range(choices):
        QuoteLineFactory(quote=quote, choice=f"damage {number}", text="sew")
        taped = QuoteLineFactory(quote=quote, choice=f"damage {number}", text="tape", taken=False)
    made = offer(quote)
    assert made.many == folded
    assert (made.choices[-1].first.text, [line.text for line in made.choices[-1].others]) == ("sew", ["tape"])
    otherwise = offer(quote, {taped.pk}).choices[-1]
    assert (otherwise.first.text, [line.text for line in otherwise.others]) == ("tape", ["sew"])
