"""The lines of a draft: changed, chosen between, removed, put back and added."""

import re
from decimal import Decimal

import pytest
from django.urls import reverse

from shoprepair.pricing import quotes, totals
from shoprepair.pricing.models import Quote, QuoteLine
from tests.counter.drafts import line, send, typed
from tests.factories import OperationFactory, QuoteLineFactory
from tests.pricing.quoting import assessed, repair_of, with_choices

pytestmark = pytest.mark.django_db


HTMX = {"HTTP_HX_REQUEST": "true"}


@pytest.fixture
def client(as_person, counter):
    return as_person(counter)


@pytest.fixture
def draft(db) -> Quote:
    """A patch, a bladder to replace or to patch, and a wash at will."""
    OperationFactory()
    return with_choices(assessed())[0]


# Changing a line


def test_a_line_opens_in_its_place_and_is_kept(client, draft):
    found = line(draft, "Casing patch")
    opened = client.get(reverse("quote-line", args=[draft.job.number, found.pk])).content.decode()
    assert f'name="line-{found.pk}-amount"' in opened

    answer = send(
        client, "quote-line", draft, found.pk, **typed(found, text="A better patch", amount="120,50")
    )

    assert answer.status_code == 302
    found.refresh_from_db()
    assert (found.text, found.amount) == ("A better patch", Decimal("120.50"))


def test_a_tap_comes_back_as_the_sheet_alone(client, draft):
    found = line(draft, "Casing patch")

    answer = send(client, "quote-line", draft, found.pk, headers=HTMX, **typed(found, amount="90"))

    html = answer.content.decode()
    assert html.strip().startswith('<div id="quote"')
    assert "“Casing patch” is kept." in html
    assert "HX-Request" in answer["Vary"]


@pytest.mark.parametrize(
    ("field", "wrong", "sentence"),
    [
        ("amount", "-5", "An amount cannot be below nought."),
        ("amount", "plenty", "Write an amount in figures, such as 12.50."),
        ("amount", "", "Write the amount, 0 if it is free."),
        ("amount", "9" * 30, "That is too much."),
        ("minutes", "-3", "Minutes are counted from nought"),
        ("minutes", "nan", "“nan” is not a number."),
        ("text", "   ", "Write what it is"),
        ("text", "x" * 10_000, "Say it in 200 letters or fewer; these are 10000."),
        ("detail", "y" * 400, "Say it in 300 letters or fewer; these are 400."),
    ],
)
def test_what_cannot_be_is_said_beside_its_field_and_the_rest_is_kept(client, draft, field, wrong, sentence):
    found = line(draft, "Casing patch")
    other = {"minutes": "77"} if field != "minutes" else {"amount": "77"}

    answer = send(client, "quote-line", draft, found.pk, **typed(found, **other, **{field: wrong}))

    html = answer.content.decode()
    assert answer.status_code == 422
    assert sentence in html
    assert 'value="77"' in html
    found.refresh_from_db()
    assert (found.text, found.amount) == ("Casing patch", Decimal("100.00"))


def test_the_other_alternative_is_advised_and_the_first_gives_way(client, draft):
    found = line(draft, "Bladder patch")

    send(client, "quote-line", draft, found.pk, **typed(found, taken="on"))

    assert line(draft, "Bladder patch").taken
    assert not line(draft, "New bladder").taken


def test_two_lines_become_a_choice_and_part_again(client, draft):
    courier = QuoteLineFactory(quote=draft, text="Courier")
    pickup = QuoteLineFactory(quote=draft, text="Fetched here", amount=Decimal(0))

    send(client, "quote-line", draft, pickup.pk, **typed(pickup, choice=f"with line {courier.pk}"))
    courier.refresh_from_db()
    pickup.refresh_from_db()
    assert courier.choice == pickup.choice != ""
    assert [courier.taken, pickup.taken].count(True) == 1

    draft.refresh_from_db()
    send(client, "quote-line", draft, pickup.pk, **typed(pickup, choice=""))
    pickup.refresh_from_db()
    assert pickup.choice == ""


def test_a_choice_made_on_an_older_page_is_refused_whole(client, draft, bench):
    courier = QuoteLineFactory(quote=draft, text="Courier")
    seen = draft.version
    quotes.change(draft, who=bench, version=seen, discount_percent=Decimal(5))
    patch = line(draft, "Casing patch")

    answer = send(
        client, "quote-line", draft, patch.pk, version=seen, **typed(patch, choice=f"with line {courier.pk}")
    )

    assert answer.status_code == 422
    courier.refresh_from_db()
    assert courier.choice == ""


def test_a_line_becomes_optional_and_is_left_out_of_the_total(client, draft):
    found = line(draft, "Casing patch")

    send(client, "quote-line", draft, found.pk, **typed(found, optional="on"))
    draft.refresh_from_db()
    found.refresh_from_db()
    send(client, "quote-line", draft, found.pk, **typed(found, taken=None))

    assert totals.of(Quote.objects.get(pk=draft.pk)).subtotal == Decimal("100.00")


def test_a_removed_line_can_be_put_back_as_it_was(client, draft):
    repair = repair_of(draft.job)
    QuoteLine.objects.filter(text="New bladder").update(repair=repair, damages=[1], operation_code="bladder")
    found = line(draft, "New bladder")

    removed = send(client, "quote-line-remove", draft, found.pk).content.decode()
    assert "“New bladder” is removed." in removed
    assert not draft.lines.filter(text="New bladder").exists()

    token = re.search(r'name="removed"\s+value="([^"]+)"', removed)[1]
    draft.refresh_from_db()
    send(client, "quote-line-add", draft, removed=token)

    back = line(draft, "New bladder")
    assert (back.amount, back.repair_id, back.damages) == (Decimal("80.00"), repair.pk, [1])
    assert (back.choice, back.operation_code) == ("damage 1: bladder", "bladder")


@pytest.mark.parametrize("token", ["junk", "a:b:c", "\x00"])
def test_what_was_never_removed_here_is_not_put_back(client, draft, token):
    answer = send(client, "quote-line-add", draft, removed=token)

    assert answer.status_code == 422
    assert draft.lines.count() == 4


# Adding


def test_a_line_in_ones_own_words_is_added_once_however_often_it_is_sent(client, draft):
    sent = {"own-text": "Courier", "own-amount": "12,50", "own-optional": "on", "key": "once"}

    for _ in range(2):
        assert send(client, "quote-line-add", draft, **sent).status_code == 302

    added = line(draft, "Courier")
    assert (added.amount, added.optional) == (Decimal("12.50"), True)


def test_a_line_that_lacks_its_words_keeps_the_amount_that_was_typed(client, draft):
    answer = send(client, "quote-line-add", draft, **{"own-amount": "33.10"})

    html = answer.content.decode()
    assert answer.status_code == 422
    assert "Write what it is: the customer reads this." in html
    assert 'value="33.10"' in html


def test_an_operation_of_the_catalogue_comes_with_its_minutes_and_price(client, draft):
    OperationFactory(code="wash", name="Wash it", set_up_minutes=Decimal(30))

    send(client, "quote-line-add", draft, **{"from": "catalogue", "cat-item": "do:wash", "cat-quantity": "2"})

    added = line(draft, "Wash it, 2 times")
    assert added.minutes == Decimal(60)
    assert added.amount == Decimal("72.00")


@pytest.mark.parametrize(("item", "quantity"), [("", "1"), ("do:nothing", "1"), ("do:", "x"), ("junk", "-2")])
def test_what_the_catalogue_does_not_have_is_refused_beside_the_field(client, draft, item, quantity):
    sent = {"from": "catalogue", "cat-item": item, "cat-quantity": quantity}

    answer = send(client, "quote-line-add", draft, **sent)

    assert answer.status_code == 422
    assert draft.lines.count() == 4
