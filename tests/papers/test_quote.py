"""The quote on paper, read back from outside: what it says, and to whom."""

import datetime
from decimal import Decimal

import pytest
from django.utils import timezone

from shoprepair.jobs import links
from shoprepair.jobs.models import Stage
from shoprepair.papers import quote as quote_paper
from shoprepair.pricing import quotes, totals
from shoprepair.pricing.money import say
from tests.papers.conftest import BASE_URL, BURST, SHARED, TEAR, line
from tests.papers.quoted import answered, printed
from tests.papers.reading import aloud, picture, qr_codes, text


def test_it_says_whose_which_gear_which_number_and_until_when(make_sent):
    quote = make_sent()

    said = text(printed(quote))

    for words in (
        "Northquay Loft · 3 Quay Road · Harbour 4210 · 555 0100",
        "0412-1",
        "Ida Quist",
        "Holm 5.0 wing",
        "HM-20418",
        "valid until",
        "60 mm cut along",
        "Scuff over 90 mm",
        "May it be used meanwhile?",
        "12 min, 1.2 m of seam",
        SHARED,
        "Choose one",
        "You may leave any of these out",
        "Discount 5 %",
        "Tax 10 %",
        "We stand behind every repair.",
        "Screening figures, not a certificate",
        "failure offshore can drown",
        "eye and ear protection at test pressure",
    ):
        assert words in said, words


def test_every_amount_is_the_one_that_is_reckoned_everywhere(make_sent):
    quote = make_sent()
    reckoned = totals.of(quote)

    said = text(printed(quote))

    shown = [each.amount for each in reckoned.lines]
    shown += [reckoned.subtotal, -reckoned.discount, reckoned.tax, reckoned.total, reckoned.deposit]
    for amount in shown:
        assert say(amount, "USD") in said, amount
    assert said.count(say(reckoned.total, "USD")) == 2  # at the head, and below the lines


def test_what_the_customer_decides_says_what_the_total_becomes(make_sent):
    quote = make_sent()
    by_text = {each.text: each.pk for each in quote.lines.all()}
    taken = {each.pk for each in quote.lines.all() if each.taken}

    said = text(printed(quote))

    replaced = taken - {by_text["Patch the bladder"]} | {by_text["Replace the bladder"]}
    for other_way in (replaced, taken - {by_text["Cover a scuff"]}, taken | {by_text["Full check"]}):
        assert f"total then {say(totals.of(quote, other_way).total, 'USD')}" in said
    assert said.count("✓") == 2


def test_nothing_is_added_up_where_there_is_nothing_to_add(make_quote):
    quote = make_quote(
        lines=False, discount_percent=Decimal(0), tax_percent=Decimal(0), deposit_percent=Decimal(0)
    )
    line(quote, "40.00")

    said = text(printed(quote))

    assert said.count("$40.00") == 3  # head, line, total
    assert "Tax" not in said
    assert "deposit" not in said
    assert "Choose" not in said


def test_a_warranty_quote_is_for_nought(make_sent):
    said = text(printed(make_sent(warranty=True)))

    assert "$64.20" not in said
    assert said.count("$0.00") >= 3


def test_the_shops_own_figures_stay_in_the_shop(make_sent):
    quote = make_sent(worth=Decimal("777.77"))

    said = text(printed(quote)) + aloud(printed(quote))

    assert "777" not in said
    assert "$60.00" not in said  # what a line costs the shop


@pytest.mark.parametrize("dpi", [200, 100])
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_code_leads_to_the_status_link(make_sent, paper, dpi):
    quote = make_sent()
    address = links.url(links.current(quote.job), BASE_URL)

    pdf = printed(quote, paper)

    assert qr_codes(pdf, dpi=dpi) == [address]
    assert address in aloud(pdf).replace(" ", "")


def test_an_address_that_only_the_shop_can_open_is_not_printed_but_how_the_shop_is_reached(make_sent):
    quote = make_sent()

    said = text(quote_paper.render(quote, paper="A4", base_url="http://192.168.1.20:8000"))

    assert "192.168" not in said
    assert "From elsewhere, call us: 555 0100" in said


def test_it_can_be_signed_or_answered_by_phone(make_sent):
    said = text(printed(make_sent()))

    assert "Answer on your phone" in said
    assert "Or sign here" in said
    assert "Go ahead as ticked above" in said
    assert "No, thank you" in said


def test_without_a_link_it_is_signed(make_sent, owner):
    quote = make_sent()
    links.withdraw(links.current(quote.job), who=owner)

    pdf = printed(quote)

    assert "Sign here" in text(pdf)
    assert "phone" not in text(pdf).replace("555", "")
    assert qr_codes(pdf) == []


def test_a_draft_says_so_and_leads_nowhere(make_quote, owner):
    quote = make_quote()
    links.make(quote.job, who=owner)

    pdf = printed(quote)

    assert text(pdf).count("Draft: not yet sent") >= 1
    assert "sign here" not in text(pdf).lower()
    assert qr_codes(pdf) == []


def test_a_draft_is_marked_across_the_page(make_quote):
    """Grey between the ink and the paper is nowhere else that far from text and drawing."""
    draft = picture(printed(make_quote()))

    tones = draft.crop((200, 900, 1500, 1900)).histogram()
    assert sum(tones[215:240]) > 20_000


def test_one_that_is_out_bears_no_mark(make_sent):
    pdf = printed(make_sent())

    assert "Draft" not in text(pdf)
    assert sum(picture(pdf).crop((200, 900, 1500, 1900)).histogram()[215:240]) < 10_000


def test_what_was_agreed_is_said_as_it_was_by_whom_and_when(make_sent, shop):
    quote = answered(make_sent(note="Fold it dry."), without=["Cover a scuff"], name="Ida Q. Quist")
    reckoned = totals.of(quote)

    said = text(printed(quote))

    assert "What was agreed" in said
    assert "Agreed by Ida Q. Quist on" in said
    assert f"Total agreed {say(reckoned.total, 'USD')}" in said
    offered = said.index("Offered and not taken")
    assert said.index("Sew a patch") < said.index("Patch the bladder") < offered
    assert offered < said.index("Replace the bladder") < said.index("Cover a scuff")
    assert say(Decimal(quote.agreed["total"]), "USD") in said
    assert "Fold it dry." in said
    assert "sign here" not in said.lower()
    assert "Follow it on your phone" in said


def test_what_was_agreed_is_not_reckoned_anew(make_sent):
    quote = answered(make_sent())
    quote.agreed["total"], quote.agreed["lines"][0]["amount"] = "999.99", "888.88"
    quote.agreed["terms"] = "The terms of that day."

    said = text(printed(quote))

    assert said.count("$999.99") == 2
    assert "$888.88" in said
    assert "The terms of that day." in said


def test_a_declined_one_says_who_declined_it(make_sent):
    said = text(printed(answered(make_sent(), accepted=False)))

    assert "Declined by Ida Quist on" in said
    assert "sign here" not in said.lower()


def test_one_that_was_replaced_or_taken_back_can_no_longer_be_signed(make_sent, owner):
    first = make_sent()
    second = quotes.revise(first, who=owner)
    quotes.send(second, who=owner, version=second.version, base_url=BASE_URL)
    first.refresh_from_db()
    replaced = text(printed(first))
    quotes.withdraw(second, who=owner, reason="Wrong cloth.")
    withdrawn = text(printed(second))

    assert "A newer quote has replaced this one" in replaced
    assert "We have withdrawn this quote" in withdrawn
    assert "sign here" not in (replaced + withdrawn).lower()
    assert "0412-2" in withdrawn


def test_one_that_is_too_old_can_no_longer_be_signed(make_sent, time_machine):
    quote = make_sent()
    time_machine.move_to(timezone.now() + datetime.timedelta(days=15))

    said = text(printed(quote))

    assert "ask us for a new one" in said
    assert "sign here" not in said.lower()


@pytest.mark.parametrize(
    ("found", "answer"), [(BURST, "Do not inflate it and do not ride it"), (TEAR, "before you ride it again")]
)
def test_it_says_whether_it_may_be_used_until_then(make_sent, found, answer):
    said = text(printed(make_sent(found)))

    assert f"{answer}" in said[said.index("May it be used meanwhile?") :]


def test_once_repaired_nobody_asks_whether_it_may_be_used(make_sent):
    quote = answered(make_sent())
    quote.job.stage = Stage.READY

    assert "meanwhile" not in text(printed(quote))


def test_the_shops_units_and_currency_are_spoken(make_quote, make_job, shop):
    shop.length_unit = "in"
    shop.save()
    quote = make_quote(currency="EUR")

    said = text(printed(quote))

    assert "in right of centre" in said
    assert say(totals.of(quote).total, "EUR") in said
