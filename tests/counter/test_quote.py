"""A quote as a draft: before there is one, what it shows, what holds for all of it, and two at once."""

import re
from decimal import Decimal

import pytest
from django.urls import reverse

from shoprepair.counter.quote import Row
from shoprepair.jobs import damages
from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import quotes
from shoprepair.pricing.models import Quote, QuoteLine
from tests.counter.drafts import line, send, typed
from tests.factories import JobFactory, OperationFactory, QuoteLineFactory
from tests.pricing.quoting import assessed, with_choices

pytestmark = pytest.mark.django_db


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
        detail="Charged once for all of them",
    )

    assert "Charged once" in page(client, draft.job)


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


def test_where_the_price_new_is_unknown_the_field_for_it_stands_right_there(client, draft):
    html = page(client, draft.job)
    card = html[html.index('id="worth"') :]

    assert "is not known" in card
    assert re.search(r"<details[^>]*\sopen", card)
    assert 'name="new-new_price"' in card


def test_what_is_ours_to_mend_is_not_weighed_against_what_the_gear_is_worth(client, draft):
    assert 'id="worth"' in page(client, draft.job)
    Quote.objects.filter(pk=draft.pk).update(warranty=True)

    assert 'id="worth"' not in page(client, draft.job)


@pytest.mark.parametrize(
    ("detail", "told"),
    [
        ("12 min", ""),
        ("12 min, 1.15 m of stitching", "1.15 m of stitching"),
        ("1 h 26 min, 1.15 m of stitching", "1.15 m of stitching"),
        ("2 h, 1.15 m of stitching", "1.15 m of stitching"),
        ("44.7 min, 1.15 m of stitching", "1.15 m of stitching"),
        ("24 min for 150 mm of closing seam", "150 mm of closing seam"),
        ("24 min für 150 mm Schließnaht", "150 mm Schließnaht"),
        ("Charged once for all of them: 24 min for 150 mm", None),
        ("Dries 24 h before it is pumped", "Dries 24 h before it is pumped"),
    ],
)
def test_a_line_says_its_bench_time_once(detail, told):
    shown = Row(QuoteLine(detail=detail, minutes=Decimal(12)), Decimal(9)).detail

    assert shown == (told if told is not None else "Charged once for all of them: 150 mm")


def test_a_line_without_bench_time_keeps_all_that_was_written_beside_it():
    assert Row(QuoteLine(detail="12 min away by car"), Decimal(9)).detail == "12 min away by car"


def assert_drawn_to_scale(context) -> None:
    """The two bars are as long beside each other as the two amounts are great."""
    bar, costs = context["bar"], context["sums"].total / context["quote"].worth
    assert bar.total == pytest.approx(bar.worth * float(costs), abs=float(costs))
    assert max(bar) <= 300


def test_gear_that_is_not_worth_it_says_so_plainly(client, draft):
    answer = send(client, "quote-worth", draft, **{"new-new_price": "300,00", "new-bought_year": "2015"})
    assert answer.status_code == 302

    html = page(client, draft.job)

    assert "not worth repairing" in html
    assert "worth-bar" in html
    assert_drawn_to_scale(client.get(reverse("quote", args=[draft.job.number])).context)
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
