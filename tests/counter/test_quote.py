"""The quote while it is written: begun from the repairs, changed line by line, weighed, never lost."""

import re
from decimal import Decimal

import pytest
from django.urls import reverse

from shoprepair.jobs import damages
from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import quotes, totals
from shoprepair.pricing.models import Quote, QuoteLine
from tests.factories import JobFactory, OperationFactory, QuoteLineFactory
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


def page(client, job: Job, **query) -> str:
    return client.get(reverse("quote", args=[job.number]), query).content.decode()


def send(client, name: str, draft: Quote, *args, version: int | None = None, headers=None, **fields):
    fields["version"] = draft.version if version is None else version
    return client.post(reverse(name, args=[draft.job.number, *args]), fields, **(headers or {}))


def line(draft: Quote, text: str) -> QuoteLine:
    return draft.lines.get(text=text)


def typed(found: QuoteLine, **fields) -> dict[str, str]:
    """A line's form as the page shows it, with what was typed over it."""
    names = ("text", "detail", "amount", "minutes", "choice")
    shown = {name: getattr(found, name) for name in names}
    shown |= {name: "on" for name in ("optional", "taken") if getattr(found, name)}
    return {f"line-{found.pk}-{name}": value for name, value in (shown | fields).items() if value is not None}


# Before there is one


def test_a_job_without_damages_is_led_to_its_drawing(client):
    OperationFactory()
    html = page(client, JobFactory(stage=Stage.ASSESSED))

    assert "none is pinned yet" in html
    assert "Pin the first damage" in html


def test_a_job_that_is_not_assessed_says_so(client):
    OperationFactory()
    job = assessed(stage=Stage.CHECKED_IN)

    html = page(client, job)

    assert "Say on its sheet that the assessment is done" in html
    assert client.post(reverse("quote", args=[job.number])).status_code == 422
    assert not Quote.objects.exists()


def test_an_unanswered_damage_is_named(client, counter):
    OperationFactory()
    job = assessed()
    damages.pin(job, -0.4, 0.03, who=counter)

    assert "Answer the questions of damage" in page(client, job)


def test_an_empty_catalogue_is_said_before_anything_is_drafted(client):
    assert "The catalogue is empty." in page(client, assessed())


def test_looking_begins_nothing_and_a_tap_begins_one_draft(client):
    OperationFactory()
    job = assessed()

    html = page(client, job)
    assert not Quote.objects.exists()
    assert html.count("is-primary") == 1
    assert "Draft the quote" in html

    for _ in range(2):
        assert client.post(reverse("quote", args=[job.number])).status_code == 302
    assert Quote.objects.get().state == Quote.State.DRAFT


def test_a_closed_job_is_not_quoted(client):
    OperationFactory()
    job = assessed(stage=Stage.HANDED_BACK, is_open=False)

    assert "nothing is quoted for it" in page(client, job)
    client.post(reverse("quote", args=[job.number]))
    assert not Quote.objects.exists()


# What it shows


def test_the_draft_says_its_total_its_lines_and_one_thing_to_do(client, draft):
    html = page(client, draft.job)

    assert "$220.00" in html[html.index("quote-total") :]  # 100 + 80 + 20, and 10 % tax
    assert "Tax 10 %" in html
    for text in ("Casing patch", "New bladder", "Bladder patch", "Wash and dry"):
        assert text in html
    assert html.count("is-primary") == 1
    assert "Send the quote" in html


def test_alternatives_stand_together_and_the_optional_line_is_marked(client, draft):
    html = page(client, draft.job)
    choice = html[html.index('class="line-choice"') :]
    choice = choice[: choice.index("</ol>")]

    assert "New bladder" in choice
    assert "Bladder patch" in choice
    assert choice.count("Advised") == 1
    assert "Casing patch" not in choice
    assert "Optional" in html


def test_bench_time_and_cost_stand_for_the_staff_alone(client, draft):
    html = page(client, draft.job)

    assert "The customer does not see this." in html
    assert "50 min" in html


def test_shared_access_says_that_it_is_charged_once(client, draft):
    QuoteLineFactory(
        quote=draft,
        kind="access",
        text="Opening",
        damages=[1, 2],
        detail="Shared by damages 1 and 2, charged once",
    )

    assert "charged once" in page(client, draft.job)


def test_warranty_work_costs_the_customer_nothing_and_still_says_what_it_costs_us(client, draft):
    Quote.objects.filter(pk=draft.pk).update(warranty=True)

    html = page(client, draft.job)

    assert '<p class="amount">$0.00</p>' in html
    assert "ours to mend; it costs us $180.00" in html


def test_what_people_typed_never_becomes_markup(client, draft):
    bad = "<script>x</script>"
    QuoteLineFactory(quote=draft, text=bad, detail=bad)
    Quote.objects.filter(pk=draft.pk).update(note=bad, tax_name=bad)
    draft.job.customer.name = bad
    draft.job.customer.save()

    html = page(client, draft.job)

    assert "<script>x" not in html
    assert "&lt;script&gt;x" in html


@pytest.mark.parametrize("more", [0, 40])
def test_the_page_asks_the_database_as_often_for_many_lines_as_for_few(
    client, draft, django_assert_num_queries, more
):
    for n in range(more):
        QuoteLineFactory(quote=draft, text=f"Line {n}", damages=[n], repair=None)
    page(client, draft.job)

    # Session with person and shop; job, draft, lines, rules, versions, journal, operations, materials, link;
    # when it is ready.
    with django_assert_num_queries(11):
        page(client, draft.job)


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


# For the whole quote


def terms(draft: Quote, **fields) -> dict[str, str]:
    shown = {"valid_until": draft.valid_until, "discount_percent": "0", "deposit_percent": "0", "note": ""}
    return shown | fields


def test_discount_deposit_and_note_are_kept(client, draft):
    answer = send(
        client,
        "quote-change",
        draft,
        **terms(draft, discount_percent="7,5", deposit_percent="50 %", note="Fetch it before noon."),
    )

    assert answer.status_code == 302
    draft.refresh_from_db()
    assert (draft.discount_percent, draft.deposit_percent) == (Decimal("7.50"), Decimal(50))
    assert "Discount 7.5 %" in page(client, draft.job)


@pytest.mark.parametrize(
    ("field", "wrong", "sentence"),
    [
        ("discount_percent", "200", "A share lies between 0 and 100 %; this says 200 %."),
        ("discount_percent", "-5", "A share lies between 0 and 100 %"),
        ("deposit_percent", "half", "“half” is not a number."),
        ("valid_until", "2001-01-01", "That day is past."),
        ("valid_until", "soon", "Write the day as 2026-05-31."),
        ("note", "z" * 10_000, "these are 10000"),
    ],
)
def test_terms_that_cannot_be_are_said_beside_their_field(client, draft, field, wrong, sentence):
    other = {"note": "A kept note."} if field != "note" else {"discount_percent": "12"}

    answer = send(client, "quote-change", draft, **terms(draft, **other, **{field: wrong}))

    html = answer.content.decode()
    assert answer.status_code == 422
    assert sentence in html
    assert next(iter(other.values())) in html


def test_the_lines_are_reckoned_anew_and_ones_own_stand(client, draft):
    send(client, "quote-line-add", draft, **{"own-text": "Courier", "own-amount": "12"})
    draft.refresh_from_db()

    answer = send(client, "quote-change", draft, refresh="1")

    assert answer.status_code == 302
    assert draft.lines.filter(text="Courier").exists()


# Two at once


def test_who_comes_second_hears_what_changed_and_keeps_what_was_typed(client, draft, bench):
    seen, found = draft.version, line(draft, "Casing patch")
    quotes.change_line(draft, found, who=bench, version=seen, amount=Decimal(140))

    answer = send(client, "quote-line", draft, found.pk, version=seen, **typed(found, amount="155"))

    html = answer.content.decode()
    assert answer.status_code == 422
    assert "Somebody changed this quote while you were writing." in html
    assert "Tomek Brandal changed “Casing patch”: amount from $100.00 to $140.00." in html
    assert 'value="155"' in html
    assert line(draft, "Casing patch").amount == Decimal(140)
    assert f'name="version" value="{draft.version}"' in html


def test_a_refused_entry_still_tells_of_the_other_ones_change(client, draft, bench):
    seen = draft.version
    quotes.change(draft, who=bench, version=seen, discount_percent=Decimal(5))

    answer = send(
        client, "quote-line-add", draft, version=seen, **{"own-text": "Courier", "own-amount": "-1"}
    )

    html = answer.content.decode()
    assert "discount from 0 % to 5 %" in html
    assert "An amount cannot be below nought." in html


def test_a_line_somebody_removed_meanwhile_is_said_to_be_gone(client, draft, bench):
    found = line(draft, "Casing patch")
    quotes.remove_line(draft, found, who=bench, version=draft.version)

    answer = send(client, "quote-line", draft, found.pk, **typed(found))

    assert answer.status_code == 422
    assert "That line is no longer on this quote." in answer.content.decode()


def test_a_draft_thrown_away_meanwhile_leaves_the_way_to_a_new_one(client, draft, bench):
    quotes.discard(draft, who=bench, version=draft.version)

    answer = client.post(reverse("quote-change", args=[draft.job.number]), {"version": 1})

    assert answer.status_code == 422
    assert "Draft the quote" in answer.content.decode()


# Worth


def priced(job: Job, new_price: str | None, year: int | None) -> None:
    gear = job.inflatable
    gear.new_price, gear.bought_year = new_price and Decimal(new_price), year
    gear.save()


def test_where_the_price_new_is_unknown_the_field_for_it_stands_right_there(client, draft):
    html = page(client, draft.job)
    card = html[html.index('id="worth"') :]

    assert "is not known" in card
    assert re.search(r"<details[^>]*\sopen", card)
    assert 'name="new-new_price"' in card


def test_gear_that_is_not_worth_it_says_so_plainly(client, draft):
    answer = send(client, "quote-worth", draft, **{"new-new_price": "300,00", "new-bought_year": "2015"})
    assert answer.status_code == 302

    html = page(client, draft.job)

    assert "not worth repairing" in html
    assert "worth-bar" in html
    draft.job.inflatable.refresh_from_db()
    assert draft.job.inflatable.new_price == Decimal(300)


@pytest.mark.parametrize("typed_price", ["-3", "much", "1" * 40])
def test_a_price_new_that_cannot_be_is_said_and_kept(client, draft, typed_price):
    answer = send(client, "quote-worth", draft, **{"new-new_price": typed_price})

    assert answer.status_code == 422
    assert f'value="{typed_price}"' in answer.content.decode()


def test_everybody_in_the_shop_may_write_a_quote_and_nobody_outside(as_person, bench, stranger, draft):
    assert as_person(bench).get(reverse("quote", args=[draft.job.number])).status_code == 200
    assert stranger.get(reverse("quote", args=[draft.job.number])).status_code == 302
