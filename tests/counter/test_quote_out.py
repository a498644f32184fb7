"""The quote on its way: sent after a look at what will happen, answered on the phone, revised, taken back."""

import datetime
import re
from decimal import Decimal

import pytest
import time_machine
from django.urls import reverse
from django.utils import timezone

from shoprepair.jobs import links
from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import quotes
from shoprepair.pricing.models import Quote
from shoprepair.shop.models import Letter
from tests.factories import OperationFactory, QuoteFactory, QuoteLineFactory, accepted
from tests.pricing.quoting import assessed, with_choices

pytestmark = pytest.mark.django_db


@pytest.fixture
def client(as_person, counter):
    return as_person(counter)


@pytest.fixture
def draft(db) -> Quote:
    """A patch for 100, a bladder to replace (80) or to patch (30), a wash (20) at will; 10 % tax."""
    OperationFactory()
    return with_choices(assessed())[0]


@pytest.fixture
def out(draft, counter) -> Quote:
    quotes.send(draft, who=counter, version=draft.version, base_url="https://loft.example")
    draft.refresh_from_db()
    return draft


def get(client, name: str, quote: Quote, /, **query) -> str:
    return client.get(reverse(name, args=[quote.job.number]), query).content.decode()


def post(client, name: str, quote: Quote, /, **fields):
    return client.post(reverse(name, args=[quote.job.number]), fields)


def ids(quote: Quote) -> dict[str, int]:
    return {line.text: line.pk for line in quote.lines.all()}


def state(quote: Quote) -> str:
    return Quote.objects.get(pk=quote.pk).state


# Sending


def test_before_it_goes_the_page_says_to_whom_how_how_much_until_when(client, draft):
    html = get(client, "quote-send", draft)

    assert "Ilka Sandvoort" in html
    assert "An e-mail goes to ilka@sandvoort.example" in html
    assert "$220.00" in html
    assert str(draft.valid_until.year) in html
    assert html.count("is-primary") == 1
    assert state(draft) == Quote.State.DRAFT


def test_without_an_address_it_goes_by_phone_or_on_paper(client, draft):
    draft.job.customer.email = ""
    draft.job.customer.save()

    html = get(client, "quote-send", draft)
    assert "No e-mail address is known, so nothing is sent" in html
    assert "Put it out, to hand over" in html
    assert "Send it now" not in html


def test_a_quote_is_sent_once_with_its_link_its_letter_and_the_stage(client, draft):
    for _ in range(2):
        post(client, "quote-send", draft, version=draft.version)

    assert state(draft) == Quote.State.OUT
    assert Job.objects.get(pk=draft.job_id).stage == Stage.QUOTE_OUT
    assert Letter.objects.filter(code="quote-out").count() == 1
    html = get(client, "quote", draft)
    assert links.path(links.current(draft.job)) in html
    assert "Record the customer’s answer" in html
    assert html.count("is-primary") == 1


def test_a_draft_changed_meanwhile_is_not_sent_unseen(client, draft, bench):
    seen = draft.version
    quotes.change(draft, who=bench, version=seen, discount_percent=Decimal(5))

    answer = post(client, "quote-send", draft, version=seen)

    html = answer.content.decode()
    assert answer.status_code == 422
    assert "discount from 0 % to 5 %" in html
    assert "$209.00" in html
    assert state(draft) == Quote.State.DRAFT


def test_an_empty_draft_is_not_sent(client):
    OperationFactory()
    empty = QuoteFactory(job=assessed())

    answer = post(client, "quote-send", empty, version=empty.version)

    assert answer.status_code == 422
    assert "There is nothing on this quote yet." in answer.content.decode()


def test_what_it_takes_the_place_of_is_said_before(client, out):
    post(client, "quote-revise", out)

    assert f"takes the place of quote {out.number}" in get(client, "quote-send", out)


# Out


def test_a_quote_that_is_out_offers_nothing_to_change(client, out):
    html = get(client, "quote", out)

    assert "Remove" not in html
    assert "Keep these" not in html
    assert post(client, "quote-change", out, version=out.version).status_code == 422
    assert client.get(reverse("quote-line", args=[out.job.number, 1])).status_code == 422


def test_a_revision_leaves_the_older_one_answerable_and_lists_both(client, out):
    assert post(client, "quote-revise", out).status_code == 302

    html = get(client, "quote", out)
    assert "Quote 2" in html
    assert state(out) == Quote.State.OUT
    older = get(client, "quote", out, number=1)
    assert "Record the customer’s answer" in older


def test_a_version_that_never_was_is_not_found(client, out):
    assert client.get(reverse("quote", args=[out.job.number]), {"number": "77"}).status_code == 404


def test_a_quote_is_taken_back_with_a_reason_and_not_without(client, out):
    refused = post(client, "quote-withdraw", out, reason="  ")
    assert refused.status_code == 422
    assert 'id="withdraw-error"' in refused.content.decode()

    long = post(client, "quote-withdraw", out, reason="too long " * 1000)
    assert long.status_code == 422
    assert "too long too long" in long.content.decode()

    assert post(client, "quote-withdraw", out, reason="Wrong bladder.").status_code == 302
    assert state(out) == Quote.State.WITHDRAWN
    assert Job.objects.get(pk=out.job_id).stage == Stage.ASSESSED


def test_a_draft_is_thrown_away_only_as_it_was_seen(client, draft):
    assert post(client, "quote-withdraw", draft, draft="1", version=77).status_code == 422
    assert Quote.objects.exists()

    post(client, "quote-withdraw", draft, draft="1", version=draft.version)
    assert not Quote.objects.exists()


def test_an_expired_quote_says_so_and_offers_a_new_version(client, draft, counter):
    Quote.objects.filter(pk=draft.pk).update(valid_until=timezone.localdate())
    quotes.send(draft, who=counter, version=draft.version, base_url="https://loft.example")

    with time_machine.travel(timezone.now() + datetime.timedelta(days=2)):
        client.force_login(counter)
        html = get(client, "quote", draft)

    assert "no longer valid since" in html
    assert "Record the customer" not in html
    assert "Write a new version" in html


# The customer's answer on the phone


def test_the_lines_are_read_out_with_what_they_come_to(client, out):
    html = get(client, "quote-answer", out)

    assert "$220.00" in html
    assert "does not see this" not in html
    assert html.count('type="radio"') == 2
    assert html.count('type="checkbox"') == 1
    assert 'value="Ilka Sandvoort"' in html


def test_the_shop_reads_the_lines_in_the_order_that_the_customer_has_before_them(client, draft, counter):
    draft.lines.filter(text="Wash and dry").update(position=0)
    quotes.send(draft, who=counter, version=draft.version, base_url="https://loft.example")

    pages = (
        client.get(links.path(links.current(draft.job))).content.decode(),
        get(client, "quote", draft),
        get(client, "quote-answer", draft),
    )

    texts = [line.text for line in draft.lines.all()]
    assert [sorted(texts, key=page.index) for page in pages] == [sorted(texts, key=pages[0].index)] * 3


def test_of_many_choices_what_is_taken_stands_open_and_the_rest_is_folded(client, draft, counter):
    for number in range(6):
        facts = {"quote": draft, "choice": f"damage {number}"}
        QuoteLineFactory(text=f"Sew {number}", **facts)
        QuoteLineFactory(text=f"Tape {number}", taken=False, **facts)
    quotes.send(draft, who=counter, version=draft.version, base_url="https://loft.example")

    html = get(client, "quote-answer", draft)

    assert html.count("Another way") == 7
    first, folded = html.index("Sew 3"), html.index("Tape 3")
    assert "<details" in html[first:folded]


def test_another_choice_shows_another_total_before_anything_is_written(client, out):
    lines = ids(out)
    first = min(lines["New bladder"], lines["Bladder patch"])

    html = get(client, "quote-answer", out, version=out.version, **{f"one-{first}": lines["Bladder patch"]})

    assert "$143.00" in html  # 100 + 30, and 10 % tax; no wash
    assert state(out) == Quote.State.OUT


def test_a_yes_is_written_down_once_with_what_was_taken(client, out):
    lines = ids(out)
    first = min(lines["New bladder"], lines["Bladder patch"])
    said = {f"one-{first}": lines["Bladder patch"], "take": lines["Wash and dry"], "name": "Ilka Sandvoort"}

    for _ in range(2):
        post(client, "quote-answer", out, version=out.version, total="165.00", answer="yes", **said)

    out.refresh_from_db()
    assert out.state == Quote.State.ACCEPTED
    assert Decimal(out.agreed["total"]) == Decimal("165.00")
    assert out.agreed["written_down_by"] == "Maja Orrevik"
    assert Job.objects.get(pk=out.job_id).stage == Stage.GO_AHEAD
    assert "Go on with the job" in get(client, "quote", out)


def test_a_no_declines_the_whole(client, out):
    post(client, "quote-answer", out, version=out.version, total="220.00", answer="no", name="Ilka")

    assert state(out) == Quote.State.DECLINED
    assert Job.objects.get(pk=out.job_id).stage == Stage.DECLINED
    assert "Write a new version" in get(client, "quote", out)


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"name": "  "}, "Type your name"),
        ({"name": "x" * 10_000}, "in 120 letters or fewer"),
        ({"total": "1.00"}, "comes to $220.00"),
        ({"total": "plenty"}, "comes to $220.00"),
        ({"version": "999"}, "has changed since you opened the page"),
    ],
)
def test_an_answer_that_cannot_be_taken_says_why_and_writes_nothing(client, out, changed, sentence):
    lines = ids(out)
    first = min(lines["New bladder"], lines["Bladder patch"])
    said = {
        f"one-{first}": lines["New bladder"],
        "take": lines["Wash and dry"],
        "name": "Ilka",
        "total": "220.00",
        "version": out.version,
        "answer": "yes",
    }

    answer = post(client, "quote-answer", out, **(said | changed))

    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert state(out) == Quote.State.OUT


def test_where_no_quote_is_out_there_is_nothing_to_answer(client, draft):
    answer = client.get(reverse("quote-answer", args=[draft.job.number]))

    assert answer.status_code == 422
    assert "No quote awaits an answer." in answer.content.decode()


def test_while_it_is_revised_the_customer_may_still_accept_and_the_draft_hears_of_it(client, out):
    post(client, "quote-revise", out)
    newer = quotes.open_draft(out.job)
    seen = newer.version
    accepted(out)

    answer = post(client, "quote-send", out, version=seen)

    assert answer.status_code == 422
    assert "ccepted quote 1" in answer.content.decode()
    assert state(newer) == Quote.State.DRAFT


# On the job sheet and on paper


def test_the_job_sheet_says_what_it_costs_and_where_that_stands(client, out):
    html = client.get(out.job.get_absolute_url()).content.decode()
    card = html[html.index('id="quote"') :]

    assert "$220.00" in card
    assert re.search(r"Out since \d", card)


def test_an_assessed_job_leads_to_its_quote(client, draft):
    html = client.get(draft.job.get_absolute_url()).content.decode()
    head = html[html.index("job-next") : html.index("job-work")]

    assert f'href="{reverse("quote", args=[draft.job.number])}"' in head


def test_the_paper_is_one_tap_away(client, out):
    answer = client.get(reverse("quote-pdf", args=[out.job.number]), {"number": 1})

    assert answer["Content-Type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")
    assert client.get(reverse("quote-pdf", args=[out.job.number]), {"number": 9}).status_code == 404
