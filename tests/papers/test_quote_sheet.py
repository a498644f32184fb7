"""The sheet that a quote is printed on: its pages, its fonts, its tags, and whatever people typed."""

import pytest

from shoprepair.jobs.damages import live
from shoprepair.jobs.models import Job, Stage
from shoprepair.papers import quote as quote_paper
from shoprepair.papers.drawing import drawing
from shoprepair.papers.render import svg
from shoprepair.pricing import quotes
from tests.factories import InflatableFactory, KiteFactory, PatternFactory
from tests.papers.conftest import BASE_URL, CUT, line
from tests.papers.quoted import answered, printed
from tests.papers.reading import aloud, facts, fonts, pages, picture, size_mm, text

HOSTILE = '<img src="file:///etc/passwd"><script>x</script>{{7*7}}&amp;'


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


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_what_is_chosen_from_is_never_parted_by_the_end_of_a_page(make_quote, owner, paper):
    quote = make_quote(lines=False)
    for each in range(40):
        line(quote, "30.00", f"Patch number {each},", choice=f"bladder {each}")
        line(quote, "90.00", f"Replacement number {each},", choice=f"bladder {each}", taken=False)
    sheets = pages(printed(quotes.send(quote, who=owner, version=1, base_url=BASE_URL), paper))

    assert len(sheets) > 2
    for page in sheets:
        assert page.count("Choose one") == page.count("Patch number") == page.count("Replacement number")
        assert "how its price comes about Patch" not in page


def test_a_choice_from_more_than_a_page_of_lines_is_printed_all_the_same(make_quote, owner):
    quote = make_quote(lines=False)
    for each in range(70):
        line(quote, "30.00", f"Way number {each}", choice="bladder", taken=not each)
    sent = quotes.send(quote, who=owner, version=1, base_url=BASE_URL)

    assert "Way number 69" in text(printed(sent))


@pytest.mark.parametrize(("count", "whole"), [(12, False), (13, True)])
def test_very_many_tags_have_a_drawing_over_the_whole_width(make_quote, monkeypatch, count, whole):
    """Where there is half a page for it they would hide what is drawn."""
    made = {}
    monkeypatch.setattr(quote_paper, "printed", lambda _, context, **more: made.update(more, **context))
    printed(make_quote(*[(0.1 + each / 30, 0.05, None) for each in range(count)]))

    assert made["crowd"] is whole
    high = quote_paper.CROWD_MM if whole else quote_paper.DRAWN_MM
    job = Job.objects.get()
    share = {} if whole else {"tag_share": quote_paper.TAG_SHARE}
    assert made["pictures"]["drawing"] == svg(drawing(job, live(job), high, **share))


def sent_for_long_names(make_quote, make_job, owner, *, more: int):
    """A quote with more lines than the usual one, of gear and somebody with long names."""
    pattern = PatternFactory(name="Silberfischchenseeschwalbe Expedition Zweitausendfünfhundert 18")
    job = make_job(
        CUT,
        name="Maximiliane-Theodora van der Oosterwijck-Halvorsgaard zu Brakenmoor",
        inflatable=InflatableFactory(pattern=pattern, serial="OL036-174981"),
        number=412,
        stage=Stage.ASSESSED,
    )
    quote = make_quote(job=job)
    for each in range(more):
        line(quote, "30.00", f"Repair number {each}", detail="12 min to set up")
    return quotes.send(quote, who=owner, version=quote.version, base_url=BASE_URL)


def test_the_drawing_shrinks_before_the_answer_goes_to_a_second_page(make_quote, make_job, owner):
    """Three lines more than there is room for beside a drawing of the usual size."""
    quote = sent_for_long_names(make_quote, make_job, owner, more=3)
    (only,) = pages(printed(quote, "A4"))

    assert "Or sign here" in only
    assert only.count("Total $") == 1


@pytest.mark.parametrize("more", [7, 12, 18])
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_signature_on_a_second_page_stands_by_what_is_signed(make_quote, make_job, owner, more, paper):
    quote = sent_for_long_names(make_quote, make_job, owner, more=more)
    first, *_, last = pages(printed(quote, paper))

    total = next(figure for figure in first.partition("Total")[2].split() if figure.startswith("$"))
    assert "Or sign here" not in first
    assert f"0412-1 Total {total}" in last[last.index("Or sign here") :]


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


def test_a_kite_is_quoted_on_one_page_too(make_sent, make_job):
    job = make_job(CUT, inflatable=InflatableFactory(pattern=KiteFactory()), number=412, stage=Stage.ASSESSED)

    assert facts(printed(make_sent(job=job), "Letter"))["Pages"] == "1"


def test_it_is_small_enough_to_send(make_sent, forty):
    assert len(printed(forty)) < 200_000
