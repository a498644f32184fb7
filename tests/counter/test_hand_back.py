"""Gear fetched at the counter: paid, signed for, handed back; and what is refused, in a sentence."""

import json
import re
from decimal import Decimal
from html import unescape

import pytest
from django.test import Client

from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.work import invoices, payments
from shoprepair.work.models import HandBack, Invoice, Payment
from tests import again
from tests.factories import SIGNED, JobFactory, agreed, handed_back, ready
from tests.work.test_invoices import a_job

pytestmark = pytest.mark.django_db
DRAWN = json.dumps(SIGNED)
TAKER = {"taker_name": "Ilka Sandvoort", "known_by": "tag", "signature": DRAWN}


@pytest.fixture
def client(as_person, counter) -> Client:
    return as_person(counter)


@pytest.fixture
def owners(as_person, owner) -> Client:
    return as_person(owner)


@pytest.fixture
def job(db) -> Job:
    """Ready, with $110.00 to pay."""
    return again.once("a wing that stands ready", lambda: ready(a_job(customer__name="Ilka Sandvoort")))


@pytest.fixture
def paid(job, counter) -> Job:
    payments.take(job, Decimal("110.00"), "cash", who=counter)
    return job


def said(response) -> str:
    words = unescape(re.sub(r"<[^>]+>", " ", response.content.decode()))
    return " ".join(words.split())


def page(client: Client, job: Job) -> str:
    return said(client.get(f"/jobs/{job.number}/hand-back/"))


def pay(client: Client, job: Job, amount: str = "110", method: str = "cash", **more: str):
    return client.post(
        f"/jobs/{job.number}/payments/", {"amount": amount, "method": method, **more}, follow=True
    )


def give(client: Client, job: Job, **more: str):
    return client.post(f"/jobs/{job.number}/hand-back/give/", {**TAKER, **more}, follow=True)


def test_the_page_says_what_was_agreed_and_what_is_to_pay(client, job):
    words = page(client, job)
    assert "$110.00 to pay" in words
    assert "Casing patch $100.00" in words
    assert "Tax 10 % $10.00" in words
    assert "Nothing has been paid yet." in words
    assert "$110.00 is still to be paid." in words


def test_the_amount_is_preset_to_what_is_due_and_the_name_to_the_customer(client, job):
    html = client.get(f"/jobs/{job.number}/hand-back/").content.decode()
    assert re.search(r'name="amount"[^>]*value="110"|value="110"[^>]*name="amount"', html)
    assert 'value="Ilka Sandvoort"' in html


def test_unpaid_gear_offers_no_hand_back_to_the_counter_but_its_payment(client, job):
    html = client.get(f"/jobs/{job.number}/hand-back/").content.decode()
    assert "Hand it back" not in html
    assert "Mend that first, or let the owner hand it back as it is." in html


def test_a_payment_is_taken_and_said(client, job):
    assert "$110.00 is paid." in said(pay(client, job, "110.00", note="by her brother"))
    assert Payment.objects.get().note == "by her brother"
    words = page(client, job)
    assert "paid in full" in words
    assert "Nothing is open." in words


def test_sent_twice_a_payment_came_in_once(client, job):
    for _ in range(2):
        pay(client, job, "60", key="abc-pay")
    assert invoices.owed(job).paid == Decimal("60.00")


def test_with_scripts_only_the_sheet_of_the_page_comes_back(client, job):
    response = client.post(
        f"/jobs/{job.number}/payments/",
        {"amount": "60", "method": "card"},
        headers={"HX-Request": "true"},
    )
    html = response.content.decode()
    assert html.strip().startswith("<div")
    assert "$60.00 is paid." in html
    assert "$50.00 of $110.00 is still to be paid." in html


@pytest.mark.parametrize(
    ("posted", "sentence"),
    [
        ({"amount": "", "method": "cash"}, "Write how much was paid."),
        ({"amount": "a lot", "method": "cash"}, "Write an amount in figures"),
        ({"amount": "-5", "method": "cash"}, "cannot be below nought"),
        ({"amount": "0", "method": "cash"}, "Write an amount above nought"),
        ({"amount": "111", "method": "cash"}, "Only $110.00 is still due; $111.00 would be too much."),
        ({"amount": "5"}, "Choose how it was paid"),
        ({"amount": "5", "method": "shells"}, "Choose how it was paid"),
        ({"amount": "5", "method": "cash", "note": "x" * 201}, "in 200 letters or fewer"),
    ],
)
def test_a_payment_that_cannot_be_is_refused_and_kept_as_typed(client, job, posted, sentence):
    response = client.post(f"/jobs/{job.number}/payments/", posted)
    assert response.status_code == 422
    assert sentence in said(response)
    if posted["amount"]:
        assert f'value="{posted["amount"]}"' in response.content.decode()
    assert not Payment.objects.exists()


def test_before_the_work_is_done_the_deposit_is_taken(client):
    job = a_job()
    agreed(job, deposit_percent=Decimal(30), deposit_from=Decimal(1))
    html = client.get(f"/jobs/{job.number}/hand-back/").content.decode()
    assert 'value="33"' in html
    assert "The deposit that was asked for." in html
    pay(client, job, "33", "card")
    assert Payment.objects.get().is_deposit
    assert "It is handed back here once it is ready." in page(client, job)


def test_money_goes_back_by_the_owner_alone_with_a_note(client, owners, paid):
    where, what = f"/jobs/{paid.number}/payments/refund/", {"back-amount": "10", "back-method": "cash"}
    assert "Give money back" not in page(client, paid)
    assert "Only the owner gives money back." in said(client.post(where, {**what, "back-note": "Late."}))
    assert "Say why the money goes back" in said(owners.post(where, what))
    words = said(owners.post(where, {**what, "back-note": "Late."}, follow=True))
    assert "$10.00 went back to the customer." in words
    assert "Given back" in words


def test_paid_gear_is_handed_back_to_whoever_signs(client, paid):
    words = said(give(client, paid))
    assert "Handed back to Ilka Sandvoort." in words
    assert "known by the tag" in words
    assert "Hand-back sheet" in words
    assert "Receipt" in words
    paid.refresh_from_db()
    assert paid.stage == Stage.HANDED_BACK
    assert HandBack.objects.get().signature == SIGNED


def test_a_double_tap_hands_it_back_once(client, paid):
    for _ in range(2):
        assert "Taken by" in said(give(client, paid, key="abc-give"))
    assert HandBack.objects.count() == 1


def test_a_document_is_named_and_not_copied(client, paid):
    give(client, paid, known_by="document", known_words="passport")
    assert HandBack.objects.get().known_by == "a document: passport"


@pytest.mark.parametrize(
    ("more", "sentence"),
    [
        ({"signature": ""}, "Nobody has signed yet."),
        ({"signature": "[[[0.5,0.5]]]"}, "A dot is not a signature."),
        ({"signature": "[[[0.5,0.5],[7,7]]]"}, "The signature did not arrive whole."),
        ({"signature": json.dumps([[[0.1, 0.1], [0.9, 0.9]]] * 5000)}, "That is more than a signature."),
        ({"signature": "x" * 300_000}, "That is more than a signature."),
        ({"taker_name": " "}, "Write the name of whoever takes it."),
        ({"known_by": "hearsay"}, "Choose one of those shown."),
    ],
)
def test_what_is_missing_is_said_and_the_rest_is_kept(client, paid, more, sentence):
    response = give(client, paid, known_words="from the club", **more)
    assert response.status_code == 422
    assert sentence in said(response)
    assert 'value="from the club"' in response.content.decode()
    assert not HandBack.objects.exists()


def test_whoever_takes_it_is_known_by_something(client, paid):
    assert "Say how you know them" in said(give(client, paid, known_by=""))
    assert "Taken by" in said(give(client, paid, known_by="", known_words="her brother, by the club"))
    assert HandBack.objects.get().known_by == "her brother, by the club"


def test_who_cannot_draw_types_their_name_and_it_is_marked_as_typed(client, paid):
    assert "Type the name instead of drawing" in page(client, paid)
    words = said(give(client, paid, signature="", typed_name="I. Sandvoort"))
    assert "I. Sandvoort Signed by typing the name." in words
    assert HandBack.objects.get().typed_name == "I. Sandvoort"


def test_a_typed_name_that_is_none_is_refused_beside_its_field(client, paid):
    refused = give(client, paid, signature="", typed_name="---")
    assert refused.status_code == 422
    assert "Type the name in letters" in said(refused)
    assert 'value="---"' in refused.content.decode()


def test_how_they_were_known_is_read_in_the_language_of_whoever_reads(client, counter, paid):
    give(client, paid, known_by="person")
    counter.language = "de"
    counter.save()
    words = page(client, paid)
    assert "in person" not in words
    assert "persönlich" in words


def test_who_signs_on_paper_needs_no_script(client, paid):
    html = client.get(f"/jobs/{paid.number}/hand-back/").content.decode()
    assert "Print the hand-back sheet and let them sign that." in html
    assert "Signed on paper." in said(give(client, paid, signature="", on_paper="on"))


def test_the_owner_hands_unpaid_gear_back_with_a_reason(client, owners, job):
    refused = give(client, job, override_reason="Pays later.")
    assert "let the owner hand it back" in said(refused)
    refused = give(owners, job)
    assert refused.status_code == 422
    assert "Say why it is handed back so" in said(refused)
    words = said(give(owners, job, override_reason="Pays by transfer."))
    assert "Open when it left $110.00 is still to be paid." in words
    assert "Runa Selvaag let it go: Pays by transfer." in words
    assert "$110.00 to pay" in words
    assert "$110.00 is paid." in said(pay(client, job, "110", "transfer"))


def test_gear_on_hold_says_so(client, paid):
    Job.objects.filter(pk=paid.pk).update(hold=Hold.CUSTOMER)
    assert "It is on hold: waiting for the customer." in page(client, paid)


def test_the_owner_says_that_it_was_not_handed_back(client, owners, paid, counter):
    handed_back(paid, counter)
    assert "It was not handed back" not in page(client, paid)
    where = f"/jobs/{paid.number}/hand-back/undo/"
    assert "Only the owner" in said(client.post(where, {"reason": "Wrong bag."}))
    assert "Say why" in said(owners.post(where, {"reason": ""}))
    assert "it was not handed back" in said(owners.post(where, {"reason": "Wrong bag."}, follow=True))
    paid.refresh_from_db()
    assert paid.stage == Stage.READY


def test_the_job_sheet_leads_here_and_not_past_it(client, paid):
    sheet = client.get(f"/jobs/{paid.number}/").content.decode()
    assert f'href="/jobs/{paid.number}/hand-back/"' in sheet
    response = client.post(f"/jobs/{paid.number}/stage/", {"to": "handed-back"})
    assert "Write down who takes it, and let them sign." in said(response)
    paid.refresh_from_db()
    assert paid.stage == Stage.READY


def test_nothing_agreed_is_said_with_the_way_to_the_quote(client):
    job = JobFactory(stage=Stage.ASSESSED)
    words = page(client, job)
    assert "Nothing was agreed for this job, so there is nothing to pay." in words
    assert "Look at the quote" in words


def test_the_invoice_can_be_made_before_and_taken_back_by_the_owner(client, owners, paid):
    assert "Invoice 0001 is made." in said(client.post(f"/jobs/{paid.number}/invoice/", follow=True))
    where = f"/jobs/{paid.number}/invoice/credit/"
    assert "Only the owner takes an invoice back." in said(client.post(where, {"reason": "Wrong."}))
    assert "Say why the invoice is taken back" in said(owners.post(where, {"reason": " "}))
    assert "Credit 0002 takes the invoice back." in said(
        owners.post(where, {"reason": "Wrong."}, follow=True)
    )
    assert "There is no invoice to take back." in said(owners.post(where, {"reason": "Again."}))
    assert Invoice.objects.count() == 2


def test_the_papers_open_as_pdf(client, paid, counter):
    assert client.get(f"/jobs/{paid.number}/invoice.pdf").status_code == 404
    unsigned = client.get(f"/jobs/{paid.number}/hand-back.pdf")
    assert unsigned.content.startswith(b"%PDF")
    handed_back(paid, counter)
    for paper in ("invoice.pdf", "hand-back.pdf", "invoice.pdf?number=1&paper=Letter"):
        response = client.get(f"/jobs/{paid.number}/{paper}")
        assert response.headers["Content-Type"] == "application/pdf"
        assert "no-store" in response.headers["Cache-Control"]
    for asked in ("2", "x", "-1", "9" * 30, "１"):
        assert client.get(f"/jobs/{paid.number}/invoice.pdf", {"number": asked}).status_code == 404


def test_somebody_who_is_not_logged_in_sees_and_pays_nothing(stranger, paid):
    for path in ("hand-back/", "hand-back.pdf", "invoice.pdf"):
        assert stranger.get(f"/jobs/{paid.number}/{path}").status_code == 302
    assert stranger.post(f"/jobs/{paid.number}/payments/", {"amount": "1"}).status_code == 302


def test_a_page_takes_as_many_statements_whatever_was_paid(
    client, job, counter, django_assert_max_num_queries
):
    for _ in range(12):
        payments.take(job, Decimal("1.00"), "cash", who=counter)
    with django_assert_max_num_queries(40):
        client.get(f"/jobs/{job.number}/hand-back/")


def test_the_bench_sees_what_is_owed_and_takes_no_money(as_person, bench, job):
    theirs = as_person(bench)
    assert "What is still owed is taken at the counter." in page(theirs, job)
    for part in ("payments/", "payments/refund/", "invoice/", "invoice/credit/"):
        answer = theirs.post(f"/jobs/{job.number}/{part}", {"amount": "110", "method": "cash"})
        assert (answer.status_code, "at the counter" in said(answer)) == (403, True)
    assert not Payment.objects.exists()
    assert not Invoice.objects.exists()
