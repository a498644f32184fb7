"""The quote on paper, read back from outside."""

import datetime
from decimal import Decimal

import pytest
from django.utils import timezone

from shoprepair.jobs import links
from shoprepair.jobs.models import Stage
from shoprepair.papers import quote as paper_quote
from shoprepair.pricing import answers, quotes, totals
from shoprepair.pricing.money import say
from tests.factories import InflatableFactory, KiteFactory, PatternFactory, QuoteFactory, QuoteLineFactory
from tests.papers.conftest import BASE_URL, BURST, CUT, SCUFF, TEAR
from tests.papers.reading import aloud, facts, fonts, pages, picture, qr_codes, size_mm, text

HOSTILE = '<img src="file:///etc/passwd"><script>x</script>{{7*7}}&amp;'
SHARED = "Shared by damages 1 and 2, charged once: 40 min for 600 mm of closing seam"
TERMS = "We dry what comes in wet.\nWe quote before we sew.\nWe stand behind every repair."


def printed(quote, paper="A4"):
    return paper_quote.render(quote, paper=paper, base_url=BASE_URL)


def line(quote, amount, text="Casing patch", **facts):
    return QuoteLineFactory(quote=quote, amount=Decimal(amount), text=text, **facts)


@pytest.fixture
def make_quote(make_job):
    """Makes a draft for a cut and a scuff: shared access, a choice, extras, discount, tax and deposit."""

    def make(*found, lines=True, job=None, **fields):
        job = job or make_job(*(found or (CUT, SCUFF)), number=412, stage=Stage.ASSESSED)
        values = {
            "discount_percent": Decimal(5),
            "deposit_percent": Decimal(30),
            "deposit_from": Decimal(150),
            "terms": TERMS,
        }
        quote = QuoteFactory(job=job, **values | fields)
        if lines:
            line(
                quote, "64.20", "Sew a patch inside and outside", detail="12 min, 1.2 m of seam", damages=[1]
            )
            line(quote, "51.35", "Open the leading edge", detail=SHARED, kind="access", damages=[1, 2])
            line(quote, "22.00", "Patch the bladder", choice="bladder", damages=[1])
            line(quote, "118.00", "Replace the bladder", kind="part", choice="bladder", taken=False)
            line(quote, "24.40", "Cover a scuff", optional=True, damages=[2])
            line(quote, "36.00", "Full check", kind="extra", optional=True, taken=False)
        return quote

    return make


@pytest.fixture
def make_sent(make_quote, owner):
    """The same, sent out."""

    def make(*found, **fields):
        quote = make_quote(*found, **fields)
        return quotes.send(quote, who=owner, version=quote.version, base_url=BASE_URL)

    return make


def answered(quote, *, accepted=True, without=(), name="Ida Quist", **how):
    taken = {each.pk for each in quote.lines.all() if each.taken and each.text not in without}
    return answers.answer(
        quote,
        name=name,
        accepted=accepted,
        taken=taken,
        total_shown=totals.of(quote, taken).total,
        version=quote.version,
        **how,
    )


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


@pytest.mark.parametrize(("paper", "size"), [("A4", (210, 297)), ("Letter", (216, 279))])
def test_a_usual_quote_stands_on_one_page_of_the_shops_paper(make_sent, paper, size):
    pdf = printed(make_sent(), paper)

    assert size_mm(pdf) == size
    assert [page[-11:] for page in pages(pdf)] == ["page 1 of 1"]


def test_there_is_no_other_paper(make_quote):
    with pytest.raises(ValueError, match="on A4 or on Letter, not on “A5”"):
        printed(make_quote(), "A5")


@pytest.fixture
def forty(make_quote, owner):
    quote = make_quote(lines=False)
    for each in range(40):
        line(
            quote,
            f"{30 + each}.25",
            f"Repair of seam number {each + 1}",
            detail="12 min to set up, 1.2 m of stitching at 14 min/m, 0.04 m² of casing cloth",
            damages=[1 + each % 2],
            optional=each > 33,
        )
    return quotes.send(quote, who=owner, version=quote.version, base_url=BASE_URL)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_forty_lines_stand_on_two_pages_with_the_head_repeated(forty, paper):
    sheets = pages(printed(forty, paper))

    assert [page[-11:] for page in sheets] == ["page 1 of 2", "page 2 of 2"]
    assert all("how its price comes about" in page for page in sheets)
    said = " ".join(sheets)
    assert all(f"number {each + 1} " in said for each in range(40))


@pytest.mark.parametrize("count", [10, 13, 17, 21, 23])
def test_the_total_never_stands_without_a_line_above_it(make_quote, owner, count):
    quote = make_quote(lines=False)
    for each in range(count):
        line(quote, "30.00", f"Repair number {each}", detail="12 min to set up")
    sent = quotes.send(quote, who=owner, version=quote.version, base_url=BASE_URL)

    for paper in ("A4", "Letter"):
        sheets = pages(printed(sent, paper))
        last = next(page for page in sheets if "All lines counted" in page)
        assert f"Repair number {count - 1}" in last
        assert last.index("Repair number") < last.index("All lines counted") < last.rindex("deposit")


def test_it_is_read_aloud_in_the_order_in_which_it_is_decided(make_sent):
    said = aloud(printed(make_sent()))

    order = (
        "Northquay Loft",
        "0412-1",
        "Ida Quist",
        "What we found",
        "60 mm cut along",
        "May it be used meanwhile?",
        "What it costs",
        "Sew a patch",
        "Open the leading edge",
        "Choose one",
        "Patch the bladder",
        "You may leave any",
        "All lines counted",
        "deposit",
        "Answer on your phone",
        "Or sign here",
        "Terms",
        "Please mind",
    )
    places = [said.find(words) for words in order]
    assert -1 not in places
    assert places == sorted(places)


def test_it_is_tagged_and_titled_and_knows_no_author(make_sent):
    pdf = printed(make_sent())

    said = facts(pdf)
    assert (said["Tagged"], said["Title"]) == ("yes", "Quote 0412-1")
    assert "Author" not in said


def test_fonts_lie_in_the_file(make_sent):
    found = fonts(printed(make_sent()))

    assert all(found.values())
    assert {"Atkinson-Hyperlegible-Next", "Atkinson-Hyperlegible-Next-Bold"} <= set(found)


@pytest.mark.parametrize("name", ["سلمى بدر الساحلي", "ליאור בן־חוף", "Þórdís Eyvindardóttir Skerjafjall"])
def test_names_of_other_scripts_are_shaped_and_their_fonts_lie_in_the_file(make_quote, make_job, name):
    pdf = printed(make_quote(job=make_job(CUT, name=name, stage=Stage.ASSESSED)))

    said = text(pdf).replace("\u202b", "").replace("\u202c", "")
    assert all(part in said for part in name.split())
    assert all(fonts(pdf).values())


def test_very_long_names_push_nothing_off_the_page(make_quote, make_job):
    thing = InflatableFactory(pattern=PatternFactory(name="Holm" * 20), serial="S" * 40, colour="red " * 10)
    job = make_job(CUT, name="M" * 120, inflatable=thing, stage=Stage.ASSESSED)
    quote = make_quote(job=job, lines=False)
    line(quote, "1234567.89", "W" * 200, detail="i" * 300)

    pdf = printed(quote)

    assert aloud(pdf).replace(" ", "").count("W" * 200) == 1
    assert "$1,234,567.89" in text(pdf)
    margin = picture(pdf, dpi=100).crop((790, 0, 827, 1100))
    assert margin.getextrema()[0] > 200


def test_text_that_people_typed_stays_text(make_quote, make_job, shop):
    shop.name, shop.address = HOSTILE, HOSTILE
    shop.save()
    thing = InflatableFactory(pattern=PatternFactory(name=HOSTILE), serial=HOSTILE[:40], colour=HOSTILE[:40])
    job = make_job(CUT, name=HOSTILE, inflatable=thing, stage=Stage.ASSESSED)
    quote = make_quote(job=job, lines=False, note=HOSTILE, terms=HOSTILE, tax_name=HOSTILE[:40])
    line(quote, "10.00", HOSTILE, detail=HOSTILE)

    pdf = printed(quote)

    said = text(pdf).replace(" ", "")
    # Shop's name and address, customer, pattern, note, line and its detail, terms.
    assert said.count(HOSTILE.replace(" ", "")) >= 7
    assert b"/JavaScript" not in pdf
    assert "root:" not in said


def test_a_name_typed_as_html_stays_a_name(make_sent):
    said = text(printed(answered(make_sent(), name=HOSTILE)))

    assert HOSTILE.replace(" ", "") in said.replace(" ", "")


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


def test_a_kite_is_quoted_on_one_page_too(make_sent, make_job):
    job = make_job(CUT, inflatable=InflatableFactory(pattern=KiteFactory()), number=412, stage=Stage.ASSESSED)

    assert facts(printed(make_sent(job=job), "Letter"))["Pages"] == "1"


def test_it_is_small_enough_to_send(make_sent, forty):
    assert len(printed(forty)) < 200_000
