import datetime
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.pricing import quotes
from shoprepair.pricing.models import Quote, QuoteLine
from shoprepair.pricing.quotes import choosing
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from tests.factories import QuoteFactory, QuoteLineFactory, quoted
from tests.pricing.quoting import assessed, repair_of, with_choices

pytestmark = pytest.mark.django_db


def texts(quote: Quote) -> list[str]:
    return [line.text for line in quote.lines.all()]


def taken(quote: Quote) -> list[str]:
    return [line.text for line in quote.lines.all() if line.taken]


def test_a_person_writes_a_line_of_their_own(owner: Staff) -> None:
    quote = QuoteFactory(rounding=Decimal("0.05"))
    line = quotes.add_line(
        quote, who=owner, version=1, text="  Courier \n both ways", amount=Decimal("14.98"), optional=True
    )
    assert (line.text, line.amount, line.kind, line.by_hand) == ("Courier both ways", 15, "extra", True)
    assert (line.position, line.taken, quote.version) == (1, True, 2)
    assert journal.entries(quotes.subject(quote)).first().text == "Added “Courier both ways”, $15.00."


def test_a_changed_line_is_journalled_from_what_to_what(owner: Staff) -> None:
    line = QuoteLineFactory()
    quotes.change_line(
        line.quote, line, who=owner, version=1, amount=Decimal(120), minutes=Decimal("52.5"), optional=True
    )
    line.refresh_from_db()
    assert (line.amount, line.minutes, line.optional, line.by_hand) == (120, Decimal("52.5"), True, True)
    entry = journal.entries(quotes.subject(line.quote)).get()
    assert entry.text == (
        "Changed “Casing patch”: amount from $100.00 to $120.00, minutes from 50 to 52.5, "
        "optional from no to yes."
    )
    assert entry.changes["amount"] == ["100.00", "120.00"]


def test_the_same_line_again_is_no_news(owner: Staff) -> None:
    line = QuoteLineFactory()
    quotes.change_line(line.quote, line, who=owner, version=1, amount=Decimal(100), text="Casing patch")
    assert line.quote.version == 1
    assert not journal.entries(quotes.subject(line.quote)).exists()


def test_a_line_is_removed_and_moved(owner: Staff) -> None:
    quote, lines = with_choices(assessed())
    quotes.move_line(quote, lines["wash"], who=owner, version=quote.version, by=-1)
    assert texts(quote) == ["Casing patch", "New bladder", "Wash and dry", "Bladder patch"]
    quotes.move_line(quote, lines["patch"], who=owner, version=quote.version, by=99)
    assert texts(quote)[-1] == "Casing patch"
    quotes.remove_line(quote, lines["patch"], who=owner, version=quote.version)
    assert texts(quote) == ["New bladder", "Wash and dry", "Bladder patch"]
    assert quote.version == 4


def test_a_line_at_the_top_moves_no_higher(owner: Staff) -> None:
    line = QuoteLineFactory()
    quotes.move_line(line.quote, line, who=owner, version=1, by=-1)
    assert line.quote.version == 1


def test_a_removed_line_is_put_back_with_what_it_stood_for(owner: Staff) -> None:
    job = assessed()
    repair, quote = repair_of(job), QuoteFactory(job=job)
    elsewhere = repair_of(assessed())
    fields = {"kind": "repair", "text": "Patch", "amount": Decimal(90), "damages": [1]}
    back = quotes.add_line(quote, who=owner, version=1, repair_id=repair.pk, **fields)
    assert (back.repair, back.damages) == (repair, [1])
    for pk in (elsewhere.pk, 10**9):
        line = quotes.add_line(quote, who=owner, version=quote.version, repair_id=pk, **fields)
        assert line.repair is None


def test_taking_one_of_a_choice_leaves_the_others(owner: Staff) -> None:
    quote, lines = with_choices(assessed())
    quotes.change_line(quote, lines["mend"], who=owner, version=1, taken=True)
    assert taken(quote) == ["Casing patch", "Bladder patch", "Wash and dry"]
    lines["mend"].refresh_from_db()
    assert not lines["mend"].by_hand
    quotes.remove_line(quote, lines["mend"], who=owner, version=quote.version)
    assert taken(quote) == ["Casing patch", "New bladder", "Wash and dry"]


def test_what_is_neither_optional_nor_a_choice_is_always_taken(owner: Staff) -> None:
    quote, lines = with_choices(assessed())
    quotes.change_line(quote, lines["patch"], who=owner, version=1, taken=False)
    assert "Casing patch" in taken(quote)
    quotes.change_line(quote, lines["wash"], who=owner, version=quote.version, taken=False)
    assert "Wash and dry" not in taken(quote)


BAD_LINES: list[tuple[dict[str, Any], str]] = [
    ({"amount": Decimal(-1)}, "between nought and"),
    ({"amount": Decimal("NaN")}, "between nought and"),
    ({"amount": Decimal("1e400")}, "between nought and"),
    ({"cost": Decimal("-0.01")}, "between nought and"),
    ({"minutes": Decimal(10_000)}, "between 0 and 9999"),
    ({"text": " \t\n"}, "what the line is for"),
    ({"text": "x" * 201}, "200 letters or fewer; these are 201"),
    ({"detail": "x" * 301}, "300 letters or fewer"),
    ({"choice": "x" * 41}, "40 letters or fewer"),
]


@pytest.mark.parametrize(("fields", "sentence"), BAD_LINES)
def test_a_line_that_cannot_be_is_refused_with_a_sentence(
    owner: Staff, fields: dict[str, Any], sentence: str
) -> None:
    line = QuoteLineFactory()
    with pytest.raises(ValidationError) as refusal:
        quotes.change_line(line.quote, line, who=owner, version=1, **fields)
    [name] = fields
    assert sentence in refusal.value.message_dict[name][0]
    with pytest.raises(ValidationError):
        quotes.add_line(
            line.quote, who=owner, version=1, **{"text": "Courier", "amount": Decimal(1), **fields}
        )
    assert QuoteLine.objects.get().amount == 100
    assert Quote.objects.get().version == 1


def test_markup_in_a_line_stays_text(owner: Staff) -> None:
    line = quotes.add_line(QuoteFactory(), who=owner, version=1, text="<b>Courier</b>\0", amount=Decimal(1))
    assert line.text == "<b>Courier</b>"


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"discount_percent": Decimal(101)}, "between 0 and 100"),
        ({"discount_percent": Decimal(-1)}, "between 0 and 100"),
        ({"deposit_percent": Decimal(200)}, "between 0 and 100"),
        ({"deposit_from": Decimal(-5)}, "between nought and"),
        ({"valid_until": datetime.date(2020, 1, 1)}, "That day is past."),
        ({"valid_until": datetime.date(2999, 1, 1)}, "365 days at most"),
        ({"valid_until": "soon"}, "Write the date as"),
        ({"note": "x" * 5001}, "5000 letters or fewer"),
    ],
)
def test_what_cannot_be_written_over_a_quote_is_refused(
    owner: Staff, fields: dict[str, Any], sentence: str
) -> None:
    quote = QuoteFactory()
    with pytest.raises(ValidationError, match=sentence):
        quotes.change(quote, who=owner, version=1, **fields)
    assert Quote.objects.get().version == 1


def test_discount_deposit_last_day_note_and_warranty_are_changed_together(owner: Staff) -> None:
    quote, day = QuoteFactory(), timezone.localdate() + datetime.timedelta(days=30)
    quotes.change(
        quote,
        who=owner,
        version=1,
        discount_percent=Decimal(10),
        deposit_percent=Decimal(30),
        deposit_from=Decimal(50),
        valid_until=day,
        note="With regards.\nRuna",
        warranty=True,
    )
    assert (quote.discount_percent, quote.valid_until, quote.warranty, quote.version) == (10, day, True, 2)
    text = journal.entries(quotes.subject(quote)).get().text
    assert "discount from 0 % to 10 %" in text
    assert "least total for a deposit from $0.00 to $50.00" in text


def test_tax_and_currency_are_the_shops_and_not_a_quotes(owner: Staff) -> None:
    with pytest.raises(TypeError, match="tax_percent"):
        quotes.change(QuoteFactory(), who=owner, version=1, tax_percent=Decimal(0))


CHANGES: list[Callable[[Quote, QuoteLine, Staff, int], object]] = [
    lambda quote, line, who, seen: quotes.add_line(
        quote, who=who, version=seen, text="Courier", amount=Decimal(1)
    ),
    lambda quote, line, who, seen: quotes.change_line(quote, line, who=who, version=seen, amount=Decimal(1)),
    lambda quote, line, who, seen: quotes.remove_line(quote, line, who=who, version=seen),
    lambda quote, line, who, seen: quotes.move_line(quote, line, who=who, version=seen, by=1),
    lambda quote, line, who, seen: quotes.change(quote, who=who, version=seen, note="Mine."),
    lambda quote, line, who, seen: quotes.refresh(quote, who=who, version=seen),
    lambda quote, line, who, seen: quotes.discard(quote, who=who, version=seen),
    lambda quote, line, who, seen: quotes.send(quote, who=who, version=seen, base_url=""),
]


@pytest.mark.parametrize("change", CHANGES)
def test_of_two_who_edit_one_draft_the_second_hears_what_the_first_did(
    change: Callable[[Quote, QuoteLine, Staff, int], object], owner: Staff, counter: Staff
) -> None:
    line = QuoteLineFactory(quote__job=assessed())
    quote = Quote.objects.get()
    quotes.change_line(quote, line, who=counter, version=1, amount=Decimal(120))
    quotes.add_line(quote, who=counter, version=2, text="Courier", amount=Decimal(15))
    with pytest.raises(quotes.Stale) as refusal:
        change(quote, line, owner, 1)
    assert refusal.value.meanwhile == (
        "Maja Orrevik changed “Casing patch”: amount from $100.00 to $120.00.",
        "Maja Orrevik added “Courier”, $15.00.",
    )
    assert refusal.value.record.version == 3
    assert "Maja Orrevik changed “Casing patch”" in str(refusal.value)
    assert [line.amount for line in quote.lines.all()] == [120, 15]


@pytest.mark.parametrize("change", CHANGES)
def test_what_is_out_is_no_draft_any_more(
    change: Callable[[Quote, QuoteLine, Staff, int], object], owner: Staff, counter: Staff
) -> None:
    quote = quoted(assessed(), counter)
    with pytest.raises(quotes.NotADraft) as refusal:
        change(quote, quote.lines.get(), owner, 1)
    assert str(refusal.value) == (
        "Quote 1 is no longer a draft and cannot be changed. "
        "Maja Orrevik sent it out: $110.00. Write a new version."
    )
    assert Quote.objects.get().version == quote.version


def test_a_line_that_somebody_removed_is_not_changed(owner: Staff) -> None:
    line = QuoteLineFactory()
    quote = line.quote
    QuoteLine.objects.all().delete()
    with pytest.raises(quotes.NoSuchLine, match="no longer on this quote"):
        quotes.change_line(quote, line, who=owner, version=1, amount=Decimal(1))
    other = QuoteLineFactory()
    with pytest.raises(quotes.NoSuchLine):
        quotes.remove_line(quote, other, who=owner, version=1)


@given(
    st.lists(st.tuples(st.booleans(), st.sampled_from(["", "a", "b"]), st.booleans()), max_size=7),
    st.integers(0, 6),
)
def test_marks_settled_can_always_be_taken_together(marks: list[tuple[bool, str, bool]], last: int) -> None:
    lines = [
        QuoteLine(pk=pk, text="Line", optional=optional, choice=choice, taken=taken)
        for pk, (optional, choice, taken) in enumerate(marks, 1)
    ]
    choosing.settle(lines, lines[last] if last < len(lines) else None)
    assert choosing.trouble(lines, {line.pk for line in lines if line.taken}) == ""
    assert choosing.settle(lines) == []
