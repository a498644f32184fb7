"""What the page says, in each state that a job and its quote can be in."""

import datetime
import re
from decimal import Decimal

import pytest
import time_machine
from django.urls import reverse
from django.utils import timezone

from shoprepair.jobs import conversation, damages, links, stages
from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.pricing import answers, quotes
from shoprepair.pricing.models import PriceRules
from tests.factories import DamageFactory, QuoteFactory, QuoteLineFactory, accepted
from tests.portal.visits import SHOP, address, answer, assessed, bid, go, judged, read

pytestmark = pytest.mark.django_db


def test_the_page_says_whose_shop_it_is_and_what_the_gear_is(client, job):
    page = read(client, job)
    for said in ("North Quay Loft", "+1 555 0123", "Harbour Lane 4", job.inflatable.pattern.name, str(job)):
        assert said in page
    assert 'href="tel:+15550123"' in client.get(address(job)).content.decode()


def test_the_page_says_no_more_than_the_customer_needs(client, job, owner, bench):
    job.note = job.customer.note = job.inflatable.note = "inside word"
    job.hold_note = "inside word"
    for record in (job, job.customer, job.inflatable):
        record.save()
    damages.answer(job.damages.get(), who=bench, note="inside word")
    quote = bid(job, owner, worth=Decimal("777.77"))
    quote.lines.update(repair=None)
    page = client.get(address(job)).content.decode()
    for secret in ("inside word", "60.00", "777.77", "Selvaag", "Brandal", "Sandvoort", "ilka@", "Log in"):
        assert secret not in page
    assert job.customer.phone not in page


def test_the_stages_stand_in_a_row_with_the_present_one_marked(client, job):
    page = client.get(address(job)).content.decode()
    here = page[page.index('aria-current="step"') :]
    assert here.index("Assessed") < here.index("It was looked over") < here.index("Quote out")
    assert page.count("aria-current") == 1
    assert "The quote comes to this page." in page


def test_the_promised_date_stands_by_the_stage_and_lateness_is_owned(client, job):
    job.promised_on = timezone.localdate() + datetime.timedelta(days=3)
    job.save()
    assert f"Promised for {job.promised_on:%A}" in read(client, job)
    job.promised_on = timezone.localdate() - datetime.timedelta(days=3)
    job.save()
    assert "It is late; the shop owes you a word." in read(client, job)


def test_a_hold_is_said_in_the_customer_s_words(client, job, counter):
    stages.set_hold(job, Hold.DRYING, "left side still damp", who=counter)
    page = read(client, job)
    assert "It is drying." in page
    assert "left side" not in page


def test_without_a_quote_the_page_says_that_one_comes(client, job):
    assert "There is no quote yet." in read(client, job)


def test_a_draft_shows_nothing_of_itself(client, job):
    QuoteLineFactory(quote=QuoteFactory(job=job), text="Secret of the draft")
    page = read(client, job)
    assert "There is no quote yet." in page
    assert "Secret of the draft" not in page
    assert "Accept" not in page


def test_a_quote_that_is_out_can_be_answered(client, job, owner):
    bid(job, owner, note="Within a week.")
    page = read(client, job)
    for said in (
        "Casing patch",
        "$100.00",
        "Tax, 10 %",
        "$10.00",
        "Within a week.",
        "Fetched within 30 days.",
    ):
        assert said in page
    assert "Accept for $110.00" in page
    assert "Read and answer: $110.00" in page


def test_an_expired_quote_is_shown_and_cannot_be_answered(client, job, owner):
    bid(job, owner)
    with time_machine.travel(timezone.now() + datetime.timedelta(days=15)):
        page = read(client, job)
    assert "and can no longer be answered" in page
    assert "$110.00" in page
    assert "Accept" not in page
    assert "Read and answer" not in page


def test_a_quote_of_a_visit_that_has_ended_cannot_be_answered(client, job, owner):
    bid(job, owner)
    go(job, owner, Stage.WITHDRAWN)
    page = read(client, job)
    assert "This quote can no longer be answered." in page
    assert "Accept" not in page


def test_a_quote_that_was_taken_back_is_gone_with_a_sentence(client, job, owner):
    quotes.withdraw(bid(job, owner), who=owner, reason="A line was wrong.")
    page = read(client, job)
    assert "The shop has taken its quote back. A new one comes to this page." in page
    assert "$110.00" not in page
    assert "A line was wrong" not in page


def test_after_accepting_the_record_stands_by_whom_and_when_and_for_what(client, job, owner):
    accepted(bid(job, owner), job, name="Ilka Sandvoort")
    page = read(client, job)
    assert "Agreed: $110.00" in page
    assert f"by Ilka Sandvoort on {timezone.localdate():%A}" in page
    assert "Fetched within 30 days." in page
    assert "Accept for" not in page
    assert "You said yes." in page


def test_what_was_agreed_stays_as_it_was_shown_whatever_the_rules_become(client, job, owner):
    agreed = accepted(bid(job, owner), job)
    before = read(client, job)
    PriceRules.objects.update_or_create(pk=1, defaults={"tax_percent": 25, "rounding": "1.00"})
    quotes.revise(agreed, who=owner)
    assert read(client, job) == before


def test_a_newer_quote_stands_beside_the_agreement_it_would_replace(client, job, owner):
    older = accepted(bid(job, owner), job)
    newer = quotes.revise(older, who=owner)
    QuoteLineFactory(quote=newer, text="A second patch")
    newer.refresh_from_db()
    quotes.send(newer, who=owner, version=newer.version, base_url=SHOP)
    page = read(client, job)
    assert "Accept for $216.00" in page
    assert "What was agreed before, and holds until you accept this one" in page
    assert "Agreed: $110.00" in page


def test_what_the_customer_said_on_the_phone_is_recorded_as_told_to_the_shop(client, job, owner):
    from_phone = bid(job, owner)
    answers.answer(
        from_phone,
        name="Ilka Sandvoort",
        accepted=True,
        taken=set(),
        total_shown=Decimal("110.00"),
        version=from_phone.version,
        who=owner,
    )
    page = read(client, job)
    assert "as told to the shop" in page
    assert "Selvaag" not in page


def test_after_declining_the_page_says_what_becomes_of_the_gear(client, job, owner):
    answer(client, job, bid(job, owner), act="decline")
    page = read(client, job)
    assert "Declined by Ilka Sandvoort" in page
    assert "You declined the quote. Nothing was repaired." in page
    assert "May it be used meanwhile?" in page


def test_gear_handed_back_is_said_to_be_repaired_and_the_record_stays(client, job, owner):
    accepted(bid(job, owner), job)
    go(job, owner, Stage.BENCH, Stage.HOLD_TEST, Stage.READY, Stage.HANDED_BACK)
    page = read(client, job)
    assert "It is repaired and back with you." in page
    assert "It was repaired as agreed." in page
    assert "Agreed: $110.00" in page
    assert "Promised for" not in page


def test_warranty_work_costs_nothing_and_says_so(client, job, owner):
    bid(job, owner, warranty=True)
    page = read(client, job)
    assert "This is ours to mend: it costs you nothing." in page
    assert "Accept: it costs you nothing" in page
    assert page.count("$0.00") == 1


def test_what_is_ours_is_told_without_a_column_of_noughts(client, job, owner):
    lines = [{"text": f"Casing patch {number}"} for number in range(2, 9)]
    answers.agree_ourselves(bid(job, owner, lines, warranty=True), who=owner)
    page = read(client, job)
    assert "Ours to mend: $0.00" in page
    assert "You pay nothing for it." in page
    assert "Casing patch 8" in page
    assert page.count("$0.00") == 1


def test_what_was_found_is_told_as_of_before_once_it_is_repaired(client, job):
    assert "What was found before the repair" not in read(client, job)
    Job.objects.update(stage=Stage.READY)
    assert "What was found before the repair" in read(client, job)


def test_shared_access_says_that_it_is_charged_once_and_for_which_damages(client, job, owner):
    access = {"text": "Open the closing seam", "kind": "access", "damages": [1, 2, 3, 7]}
    bid(job, owner, [access])
    page = read(client, job)
    assert "Opened and closed once, and charged once, for all of them." in page
    assert "For tags 1–3 and 7" in page


def test_a_line_that_says_itself_why_it_is_charged_once_has_it_said_once(client, job, owner):
    access = {"text": "Open the seam", "detail": "Charged once for all of them", "kind": "access"}
    bid(job, owner, [{**access, "damages": [1, 2]}])
    assert read(client, job).count("harged once") == 1


def test_discount_minimum_and_deposit_stand_between_the_lines_and_the_total(client, job, owner):
    bid(
        job,
        owner,
        discount_percent=Decimal(5),
        minimum_charge=Decimal(120),
        deposit_percent=Decimal(30),
        deposit_from=Decimal(50),
    )
    page = read(client, job)
    for said in (
        "Raised to the shop’s least charge of $120.00 $20.00",
        "Discount, 5 % −$6.00",
        "Tax, 10 % $11.40",
        "Total $125.40",
        "Of this as a deposit $37.62",
    ):
        assert said in page


@pytest.mark.parametrize("count", [1, 40])
def test_forty_damages_are_all_there_and_ask_no_more_of_the_database(
    client, shop, counter, count, django_assert_max_num_queries
):
    job = assessed()
    for number in range(1, count):
        judged(job, number=100 + number, x_m=0.2 + number / 50)
    links.make(job, who=counter)
    with django_assert_max_num_queries(20):
        page = client.get(address(job)).content.decode()
    assert page.count('class="finding"') == count
    assert ("Move the drawing sideways" in page) == (count > 12)


def test_a_removed_damage_is_not_shown(client, job, bench):
    judged(job, number=7, length_m=0.012, length_typed="12 mm")
    assert "12 mm cut" in read(client, job)
    damages.remove(job.damages.get(number=7), bench)
    assert "12 mm cut" not in read(client, job)


def test_a_damage_that_nobody_has_judged_yet_says_so(client, job):
    DamageFactory(job=job, number=9, kind="")
    page = read(client, job)
    assert "The shop is still looking at it." in page


def test_lengths_are_in_the_shop_s_units_whoever_looks(client, job, shop, counter, as_person):
    counter.length_unit = "in"
    counter.save()
    assert read(as_person(counter), job) == read(client, job)
    shop.length_unit = "in"
    shop.save()
    assert re.search(r"leading edge, [\d. /]+ in right of centre", read(client, job))


HOSTILE = "<script>alert(1)</script>\"'><img src=x onerror=alert(2)>"


def test_html_in_every_field_is_only_text(client, job, owner, shop, counter):
    shop.name = shop.address = shop.phone = HOSTILE[:40]
    shop.save()
    pattern, gear = job.inflatable.pattern, job.inflatable
    pattern.name = gear.serial = gear.colour = HOSTILE[:40]
    pattern.save()
    gear.save()
    conversation.ask(job, name=HOSTILE, text=HOSTILE)
    conversation.reply(job, who=counter, text=HOSTILE)
    extra = {"text": HOSTILE, "detail": HOSTILE, "optional": True}
    choice = {"text": HOSTILE, "choice": HOSTILE[:40]}
    quote = bid(job, owner, [extra, choice], note=HOSTILE, terms=HOSTILE, tax_name=HOSTILE[:40])
    for page in (client.get(address(job)), answer(client, job, quote, name=HOSTILE, total_shown="1")):
        body = page.content.decode()
        assert "<script>alert" not in body
        assert "<img src=x" not in body
        assert "&lt;script&gt;" in body
    assert answer(client, job, quote, name=HOSTILE, total_shown="330.00").status_code == 302
    body = client.get(address(job)).content.decode()
    assert "Agreed" in body
    assert "<script>alert" not in body
    assert "<img src=x" not in body


def test_names_that_run_from_right_to_left_keep_to_themselves(client, job, owner, shop):
    job.inflatable.pattern.name = "שלום 5"
    job.inflatable.pattern.save()
    accepted(bid(job, owner), job, name="ليلى بنت يوسف")
    conversation.ask(job, name="ليلى بنت يوسف", text="هل هو جاهز؟")
    body = client.get(address(job)).content.decode()
    assert body.count("<bdi>ليلى بنت يوسف</bdi>") == 2
    assert "<bdi>שלום 5</bdi>" in body
    assert 'dir="auto">هل هو جاهز؟' in body


def test_the_preview_of_a_link_tells_nothing_but_the_shop_s_name(client, job):
    body = client.get(address(job)).content.decode()
    head = body[: body.index("</head>")]
    assert "og:" not in head
    assert "description" not in head
    assert job.inflatable.pattern.name not in head
    assert 'content="noindex, nofollow, noarchive"' in head


def test_the_pdf_of_the_quote_is_the_one_that_the_page_shows(client, job, owner):
    assert client.get(address(job, "quote.pdf")).status_code == 404
    quote = bid(job, owner)
    response = client.get(address(job, "quote.pdf"))
    assert response["Content-Type"] == "application/pdf"
    assert response.content.startswith(b"%PDF")
    assert address(job, "quote.pdf") in client.get(address(job)).content.decode()
    quotes.withdraw(quote, who=owner, reason="A line was wrong.")
    assert client.get(address(job, "quote.pdf")).status_code == 404


def test_who_strays_from_outside_is_told_how_to_reach_the_shop_and_nothing_of_its_rack(client, shop):
    shop.phone = "555 0100"
    shop.save()
    body = client.get("/no/such/page/").content.decode()
    assert 'href="tel:5550100"' in body
    assert reverse("self-check") in body
    assert "Go to the rack" not in body
