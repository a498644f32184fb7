import datetime
import json
from decimal import Decimal
from typing import Any

import pytest
import time_machine
from django.utils import timezone

from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import answers, quotes, totals
from shoprepair.pricing.answers import AnswerRefused
from shoprepair.pricing.models import Quote, QuoteLine
from shoprepair.shop import journal, outbox, settings
from shoprepair.shop.models import JournalEntry, Letter, Staff
from tests.factories import StaffFactory, accepted, quoted
from tests.pricing.quoting import answered, assessed, with_choices

State = Quote.State
BASE = "https://loft.example"


def out(**facts: Any) -> tuple[Quote, dict[str, QuoteLine]]:
    """A quote with a choice and an optional line, in the customer's hands."""
    quote, lines = with_choices(assessed(), **facts)
    quotes.send(quote, who=StaffFactory(), version=quote.version, base_url=BASE)
    return quote, lines


def refusal(quote: Quote, *lines: QuoteLine, **changes: Any) -> str:
    """Why the answer is not taken; nothing is written."""
    before = (list(Quote.objects.values()), JournalEntry.objects.count(), Letter.objects.count())
    with pytest.raises(AnswerRefused) as refused:
        answered(quote, *lines, **changes)
    assert (list(Quote.objects.values()), JournalEntry.objects.count(), Letter.objects.count()) == before
    return str(refused.value)


@pytest.mark.django_db
def test_accepting_fixes_what_was_shown_and_moves_the_job_ahead() -> None:
    quote, lines = out()
    answered(quote, lines["mend"])
    assert (quote.state, quote.answered_name) == (State.ACCEPTED, "Ilka Sandvoort")
    assert quote.answered_at is not None
    assert Job.objects.get().stage == Stage.GO_AHEAD
    agreed = quote.agreed
    assert [(line["text"], line["amount"], line["taken"]) for line in agreed["lines"]] == [
        ("Casing patch", "100.00", True),
        ("New bladder", "80.00", False),
        ("Bladder patch", "30.00", True),
        ("Wash and dry", "20.00", False),
    ]
    assert (agreed["subtotal"], agreed["tax"], agreed["total"]) == ("130.00", "13.00", "143.00")
    assert (agreed["currency"], agreed["tax_name"], agreed["tax_percent"]) == ("USD", "Tax", "10.00")
    assert (agreed["name"], agreed["terms"]) == ("Ilka Sandvoort", "Fetched within 30 days.")
    assert datetime.datetime.fromisoformat(agreed["at"]) == quote.answered_at
    assert json.loads(json.dumps(agreed)) == agreed


@pytest.mark.django_db
def test_an_accepted_quote_adds_up_to_what_was_agreed() -> None:
    quote, lines = out()
    answered(quote, lines["mend"], lines["wash"])
    sums = totals.of(quote)
    assert str(sums.total) == quote.agreed["total"] == "165.00"
    assert [each.taken for each in sums.lines] == [line["taken"] for line in quote.agreed["lines"]]


@pytest.mark.django_db
def test_the_journal_calls_the_customer_by_the_name_they_typed() -> None:
    quote, lines = out()
    answered(quote, lines["replace"], name="  Ilka \n Sandvoort-Ås ")
    newest, answer = journal.entries(quote.job)[:2]
    assert (newest.verb, answer.verb) == ("stage.changed", "quote.accepted")
    assert newest.who is None
    assert newest.who_name == answer.who_name == "Ilka Sandvoort-Ås (customer)"
    assert answer.text == "Accepted quote 1: $198.00."


@pytest.mark.django_db
def test_a_letter_thanks_for_the_go_ahead_with_all_that_adds_up(owner: Staff) -> None:
    shop = settings.current()
    shop.web_address = BASE
    shop.save()
    quote, lines = out(discount_percent=Decimal(10), minimum_charge=Decimal(200), deposit_percent=Decimal(30))
    answered(quote, lines["mend"])
    [letter] = outbox.letters(quote.job)[:1]
    assert letter.code == "go-ahead-received"
    for said in (
        "Casing patch: $100.00",
        "Bladder patch: $30.00",
        "Up to the minimum charge: $70.00",
        "Discount 10 %: -$20.00",
        "Tax 10 %: $18.00",
        "$198.00",
        "$59.40",
        f"{BASE}/s/",
    ):
        assert said in letter.body
    assert "New bladder" not in letter.body


@pytest.mark.django_db
def test_declining_needs_no_choice_and_closes_the_job() -> None:
    quote, _ = out()
    answered(quote, accepted=False, total_shown=Decimal(0))
    job = Job.objects.get()
    assert (quote.state, quote.agreed, job.stage, job.is_open) == (State.DECLINED, {}, Stage.DECLINED, False)
    assert journal.entries(job).first().text == "Customer declines: quote 1, Ilka Sandvoort."
    assert [letter.code for letter in outbox.letters(job)] == ["quote-out"]


@pytest.mark.django_db
def test_staff_write_down_an_answer_given_by_phone(counter: Staff) -> None:
    quote, lines = out()
    answered(quote, lines["replace"], who=counter)
    entry = journal.entries(quote.job).filter(verb="quote.accepted").get()
    assert entry.who == counter
    assert entry.text == "Accepted quote 1 for Ilka Sandvoort, who said so to the shop: $198.00."
    assert quote.agreed["written_down_by"] == "Maja Orrevik"


@pytest.mark.django_db
@pytest.mark.parametrize("said_yes", [True, False])
def test_the_same_answer_again_is_the_one_on_record_and_writes_nothing(said_yes: bool) -> None:
    quote, lines = out()
    seen = quote.version
    first = answered(quote, lines["mend"], accepted=said_yes)
    before = (Quote.objects.values().get(), JournalEntry.objects.count(), Letter.objects.count())
    again = answered(quote, lines["mend"], accepted=said_yes, version=seen, name="ilka  sandvoort")
    assert again == first
    assert (Quote.objects.values().get(), JournalEntry.objects.count(), Letter.objects.count()) == before


@pytest.mark.django_db
def test_another_answer_after_the_first_is_refused() -> None:
    quote, lines = out()
    answered(quote, lines["mend"])
    for changes in ({"accepted": False}, {"name": "Somebody Else"}):
        assert refusal(quote, lines["mend"], **changes) == (
            "This quote was already accepted by Ilka Sandvoort. Ask the shop if that should change."
        )
    assert "already accepted" in refusal(quote, lines["replace"])


@pytest.mark.django_db
@pytest.mark.parametrize(
    "name",
    [
        "",
        "   ",
        "\t\n",
        "\u200b\u200b",
        "\u2060\ufeff",
        "\u3164",
        "\u115f\u1160",
        "\u2800",
        "\x00",
        "\u202e",
        "…",
    ],
)
def test_a_name_that_nobody_can_see_is_none(name: str) -> None:
    quote, lines = out()
    assert "Type your name" in refusal(quote, lines["mend"], name=name)


@pytest.mark.django_db
def test_a_name_is_kept_without_what_cannot_be_seen_in_it() -> None:
    quote, lines = out()
    answered(quote, lines["mend"], name="\u202eIlka\u200b \x00 Sandvoort\u2066")
    assert quote.answered_name == "Ilka Sandvoort"


@pytest.mark.parametrize("name", ["Ådne Öst", "李小龍", "O’Hara", "علی\u200cرضا", "X", "Ilka Sandvoort 2nd"])
def test_names_of_all_scripts_are_names(name: str) -> None:
    assert answers.name_of(name) == name


@pytest.mark.django_db
def test_a_name_may_be_long_and_not_endless() -> None:
    quote, lines = out()
    assert "120 letters or fewer; these are 121" in refusal(quote, lines["mend"], name="x" * 121)
    answered(quote, lines["mend"], name="x" * 120)
    assert journal.entries(quote.job).first().who_name == f"{'x' * 120} (customer)"


@pytest.mark.django_db
def test_markup_in_a_name_stays_text() -> None:
    assert answers.name_of("<b>Ilka</b>") == "<b>Ilka</b>"


@pytest.mark.django_db
def test_an_expired_quote_is_answered_no_more() -> None:
    with time_machine.travel(datetime.datetime(2026, 11, 20, 12, tzinfo=datetime.UTC), tick=False):
        quote, lines = out(valid_until=datetime.date(2026, 12, 3))
    with time_machine.travel(datetime.datetime(2026, 12, 4, 0, 1, tzinfo=datetime.UTC), tick=False):
        assert refusal(quote, lines["mend"]) == (
            "This quote was valid until 3 December. Ask the shop for a new one."
        )
    with time_machine.travel(datetime.datetime(2026, 12, 3, 23, 59, tzinfo=datetime.UTC), tick=False):
        assert answered(quote, lines["mend"]).state == State.ACCEPTED


@pytest.mark.django_db
def test_a_quote_that_was_replaced_or_taken_back_says_so(owner: Staff) -> None:
    quote, lines = out()
    newer = quotes.revise(quote, who=owner)
    quotes.send(newer, who=owner, version=newer.version, base_url=BASE)
    quote.refresh_from_db()
    assert "There is a newer quote in place of this one." in refusal(quote, lines["mend"])
    quotes.withdraw(newer, who=owner, reason="Wrong wing.")
    assert refusal(newer, version=newer.version) == (
        "The shop has taken this quote back. Ask the shop for a new one."
    )


@pytest.mark.django_db
def test_a_draft_is_not_answered() -> None:
    quote, lines = with_choices(assessed())
    assert "has not been sent yet" in refusal(quote, lines["mend"])


@pytest.mark.django_db
def test_a_job_that_the_customer_took_away_is_not_agreed_to() -> None:
    quote, lines = out()
    Job.objects.update(stage=Stage.WITHDRAWN, is_open=False)
    assert "The job is at “Withdrawn”" in refusal(quote, lines["mend"])


@pytest.mark.django_db
def test_another_total_than_the_page_showed_is_refused() -> None:
    quote, lines = out()
    assert refusal(quote, lines["mend"], total_shown=Decimal("1.00")) == (
        "The page showed $1.00, but what you chose comes to $143.00. Look at it and answer again."
    )


@pytest.mark.django_db
def test_a_line_of_another_quote_is_refused() -> None:
    quote, lines = out()
    _, others = with_choices(assessed())
    assert "not on this quote" in refusal(quote, lines["mend"], others["wash"])


@pytest.mark.django_db
@pytest.mark.parametrize("chosen", [("replace", "mend"), ("wash",)])
def test_exactly_one_of_a_choice_is_taken(chosen: tuple[str, ...]) -> None:
    quote, lines = out()
    assert refusal(quote, *(lines[name] for name in chosen)) == (
        "Choose one of these: “New bladder” or “Bladder patch”."
    )


@pytest.mark.django_db
def test_a_choice_of_optional_lines_may_be_left_altogether() -> None:
    quote, _ = with_choices(assessed())
    quote.lines.exclude(choice="").update(optional=True)
    quotes.send(quote, who=StaffFactory(), version=1, base_url=BASE)
    answered(quote)
    assert quote.agreed["total"] == "110.00"


@pytest.mark.django_db
def test_a_page_of_another_version_is_not_answered() -> None:
    quote, lines = out()
    assert "has changed since you opened the page" in refusal(quote, lines["mend"], version=1)


@pytest.mark.django_db
def test_whoever_writes_a_newer_quote_hears_of_the_answer_before_sending_it(owner: Staff) -> None:
    quote, lines = out()
    newer = quotes.revise(quote, who=owner)
    seen = newer.version
    answered(quote, lines["mend"])
    with pytest.raises(quotes.Stale) as stale:
        quotes.send(newer, who=owner, version=seen, base_url=BASE)
    assert stale.value.meanwhile == ("Ilka Sandvoort (customer) accepted quote 1: $143.00.",)
    quotes.send(newer, who=owner, version=stale.value.record.version, base_url=BASE)
    assert quotes.agreed(quote.job) == quote


@pytest.mark.django_db
def test_answers_to_a_job_go_by_the_days_of_the_shop() -> None:
    with time_machine.travel(datetime.datetime(2026, 12, 3, 23, 30, tzinfo=datetime.UTC), tick=False):
        quote, lines = out(valid_until=datetime.date(2026, 12, 3))
        with timezone.override("Pacific/Auckland"):
            assert "valid until 3 December" in refusal(quote, lines["mend"])
        with timezone.override("Pacific/Honolulu"):
            assert answered(quote, lines["mend"]).state == State.ACCEPTED


@pytest.mark.django_db
def test_the_factories_answer_as_a_customer_does() -> None:
    job = assessed()
    assert accepted(quoted(job), job).agreed["total"] == "110.00"
    assert job.stage == Stage.GO_AHEAD
