"""The cover record on paper, read back from outside."""

import datetime
from zoneinfo import ZoneInfo

import pytest

from shoprepair.cover import endings, links
from shoprepair.cover.models import Cover
from shoprepair.gear.describe import planform
from shoprepair.gear.models import Inflatable, Pattern
from shoprepair.papers import cover_record
from shoprepair.shop.models import Staff
from shoprepair.shop.settings import current
from shoprepair.shop.units import units_for
from tests.factories import InflatableFactory
from tests.papers.conftest import BASE_URL
from tests.papers.covering import TERMS, cover, damage, visit
from tests.papers.reading import aloud, facts, fonts, pages, qr_codes, size_mm, text
from tests.papers.reading import words as standing

DAY = datetime.datetime(2026, 5, 20, 10, tzinfo=datetime.UTC)
LATER = datetime.datetime(2027, 3, 2, 10, tzinfo=datetime.UTC)


def printed(gear: Inflatable, paper: str = "A4") -> bytes:
    return cover_record.render(gear, paper=paper, base_url=BASE_URL)


@pytest.fixture
def wing(shop) -> Inflatable:
    return InflatableFactory(pattern__name="Holm 5.0 wing", serial="HM-20418", colour="sand")


@pytest.fixture
def covered(wing) -> Cover:
    return cover(visit(wing, DAY, customer__name="Ida Quist", customer__phone="+1 555 0142 318"))


def test_it_says_of_each_repair_when_what_how_by_whom_from_which_lot_and_what_is_promised(covered):
    said = text(printed(covered.inflatable))
    for words in (
        *("Cover record", "Holm 5.0 wing", "HM-20418", "sand", "Northquay Loft", "1 repair is covered"),
        *(
            "20 May 2026",
            f"job {covered.job}",
            "Sew a patch on a casing",
            "60 mm cut along, leading edge, 404",
        ),
        *("1 ply inside and 1 outside, 160 mm × 120 mm", "By Bo Larsgard, checked by Mira Tollen"),
        *("Polyester casing cloth L-2207", "Held 0.55 bar for 2 hours", "for the life of the gear", TERMS),
        *("It passes on to a new owner", f"00001 · {covered.digest[:4]} {covered.digest[4:8]}"),
    ):
        assert words in said, words


def test_it_names_no_customer(covered):
    said = text(printed(covered.inflatable))
    assert not [word for word in ("Ida", "Quist", "0142", "$") if word in said]


def test_its_code_opens_the_page_of_this_gear(covered):
    (code,) = qr_codes(printed(covered.inflatable))
    assert code.startswith(f"{BASE_URL}/c/")
    assert links.find(code.split("/")[-2]).inflatable == covered.inflatable


def test_it_prints_an_address_that_a_buyer_can_open_and_else_how_the_shop_is_reached(covered, shop):
    reached = text(printed(covered.inflatable))
    at_home = text(cover_record.render(covered.inflatable, paper="A4", base_url="http://127.0.0.1:8000"))

    assert f"The record as it stands today: {BASE_URL}/c/" in reached
    assert "127.0.0.1" not in at_home
    assert "From elsewhere, call us: 555 0100" in at_home

    shop.phone = ""
    shop.save()
    silent = text(cover_record.render(covered.inflatable, paper="A4", base_url="http://127.0.0.1:8000"))
    assert "From elsewhere, ask us." in silent


def test_before_any_hand_back_it_says_when_it_begins(wing):
    with pytest.raises(cover_record.NothingCovered, match="begins with the first repair that is handed back"):
        printed(wing)


def test_no_other_paper_is_known(covered):
    with pytest.raises(ValueError, match="on A4 or on Letter"):
        printed(covered.inflatable, "A5")


@pytest.mark.parametrize(("paper", "size"), [("A4", (210, 297)), ("Letter", (216, 279))])
def test_eight_repairs_fill_one_tagged_page_with_its_fonts_inside(wing, paper, size):
    for at in (DAY, LATER):
        back = visit(wing, at)
        for n in range(4):
            cover(back, 0.1 + 0.2 * n, 0.05)
    pdf = printed(wing, paper)
    assert size_mm(pdf) == size
    assert pages(pdf)[0].endswith("page 1 of 1")
    assert facts(pdf)["Tagged"] == "yes"
    assert facts(pdf)["Title"] == "Cover record Holm 5.0 wing HM-20418"
    assert all(fonts(pdf).values())
    said = aloud(pdf)
    assert said.index("What we stand behind") < said.index("20 May 2026") < said.index("2 Mar 2027")


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("language", ["en", "de"])
def test_its_caption_stands_within_the_margins(wing, shop, paper, language):
    type(shop).objects.update(language=language)
    cover(visit(wing, DAY))
    pdf = printed(wing, paper)

    margin, wide = (12 if paper == "A4" else 15) / 25.4 * 72, size_mm(pdf)[0] / 25.4 * 72
    assert [
        each for each in standing(pdf) if each.box[0] < margin - 1 or each.box[2] > wide - margin + 1
    ] == []


@pytest.mark.parametrize("count", [2, 9])
def test_its_word_for_lots_never_stands_away_from_the_first_of_them(wing, count):
    lots = [{"material": "Polyester adhesive cloth", "code": f"AC-{n}B", "cloth": ""} for n in range(1, 4)]
    for n in range(count):
        techs = [f"{'Benno ' * (1 + n)}Skarre"]
        cover(visit(wing, DAY + datetime.timedelta(days=n)), lots=lots, techs=techs)
    said = standing(printed(wing))

    begun = [at for at, each in enumerate(said) if each.text == "Lots:"]
    assert len(begun) == count
    assert all(said[at].box[1] == pytest.approx(said[at + 1].box[1], abs=1) for at in begun)
    assert "·" not in {said[at - 1].text for at in begun}


def test_very_many_repairs_go_on_over_more_pages_that_are_counted(wing):
    for n in range(16):
        cover(visit(wing, DAY + datetime.timedelta(days=n)), 0.4, 0.05, lots=[])
    first, second = pages(printed(wing))
    assert first.endswith("page 1 of 2")
    assert second.endswith("page 2 of 2")
    assert "HM-20418" in second


def test_repairs_that_were_made_alike_say_so_once_and_each_its_own_place_and_mark(wing):
    back = visit(wing, DAY)
    given = [cover(back, 0.1 + 0.2 * n, 0.05) for n in range(3)]
    said = text(printed(wing))

    assert said.count("1 ply inside and 1 outside") == 1
    assert said.count("Polyester casing cloth L-2207") == 1
    assert said.count("60 mm cut along, leading edge") == 3
    assert all(f"{one.digest[:4]} {one.digest[4:8]}" in said for one in given)


def test_two_alike_one_from_another_lot_and_one_that_ended_each_say_all_of_themselves(wing, owner):
    back = visit(wing, DAY)
    for n in range(2):
        cover(back, 0.1 + 0.2 * n, 0.05)
    cover(back, 0.5, 0.05, lots=[])
    endings.end(cover(back, 0.7, 0.05), "void", "It was ridden too hard.", who=owner)

    told = cover_record.told(wing, units_for(None, current()), ZoneInfo("UTC"), DAY.date())
    (only,) = told.visits
    assert [len(together) for together in cover_record.together(only.covers)] == [1, 1, 1, 1]


def test_nothing_of_today_changes_what_it_says(covered, shop):
    wing = covered.inflatable
    Pattern.objects.update(name="Something else", span_m=9.0, version=7)
    Inflatable.objects.update(serial="ZZ-1", colour="black")
    Staff.objects.update(first_name="Nobody", username="nobody")
    shop.name = "Southquay Works"
    shop.save()
    said = text(printed(Inflatable.objects.get(pk=wing.pk)))
    for words in (
        "Holm 5.0 wing",
        "HM-20418",
        "sand",
        "By Bo Larsgard",
        "Southquay Works",
        "by Northquay Loft",
    ):
        assert words in said, words


def test_terms_that_two_repairs_share_are_said_once(wing):
    back = visit(wing, DAY)
    tape = {"words": "A tape holds two seasons.", "months": 24, "passes_on": False}
    cover(back)
    cover(back, -0.4)
    cover(back, -0.8, 0.2, until=datetime.date(2028, 5, 20), terms=tape)
    said = text(printed(wing))
    assert said.count(TERMS) == 1
    assert "until 20 May 2028" in said
    assert "does not pass on" in said


def test_what_ended_stays_on_it_with_the_reason_and_without_anybody_s_note(wing, owner):
    first, second = cover(visit(wing, DAY)), cover(visit(wing, DAY), -0.4)
    endings.end(first, "void", "Ida Quist rode it with 3 bar.", who=owner)
    endings.end(second, "taken back", "Wrong bag.", who=owner)
    said = aloud(printed(wing))
    assert "No repair is covered, 1 no longer is." in said
    assert "the shop ended it." in said
    assert "Nothing of it is covered any more." in said
    assert TERMS not in said
    assert "3 bar" not in said
    assert "00002" not in said


def test_a_record_that_was_changed_outside_is_not_printed_as_if_it_were_whole(covered, wing):
    bad = cover(visit(wing, DAY), damages=None)
    said = text(printed(wing))
    assert "changed outside the program" in said
    assert str(bad) in said
    assert "1 repair is covered, 1 no longer is." in said


def test_long_names_and_names_written_from_right_to_left_fit_and_read_right(wing):
    drawn = planform(wing.pattern)
    techs = ["Bartholomew Constantine Sandvoort-Wolverham", "בו לרסגרד"]
    several = [damage(drawn, 0.2 * n, 0.05, number=n) for n in range(1, 4)]
    cover(visit(wing, DAY), techs=techs, damages=several)
    pdf = printed(wing)
    assert len(pages(pdf)) == 1
    # A reader may give the letters in the order of the eye or of the tongue.
    name, said = "לרסגרד", text(pdf)
    assert name in said or name[::-1] in said
