import pytest

from shoprepair.jobs.advice.rules import RULES
from shoprepair.jobs.advice.verdicts import Verdict
from shoprepair.papers import leaflet, leaflet_lines
from tests import shelves
from tests.papers.conftest import BASE_URL
from tests.papers.reading import aloud, facts, fonts, pages, qr_codes, size_mm, text


@pytest.fixture
def printed(shop):
    shelves.patterns()

    def printed(paper="A4", language="en"):
        return leaflet.render(paper=paper, base_url=BASE_URL, language=language)

    return printed


@pytest.mark.parametrize(
    ("paper", "language", "size"), [("A4", "en", (210, 297)), ("Letter", "de", (216, 279))]
)
def test_all_of_it_is_on_one_page(printed, paper, language, size):
    pdf = printed(paper, language)

    assert size_mm(pdf) == size
    assert len(pages(pdf)) == 1
    assert qr_codes(pdf, dpi=150) == [f"{BASE_URL}/self-check/"]
    assert all(fonts(pdf).values())
    assert facts(pdf)["Tagged"] == "yes"
    assert (" the " in text(pdf)) is (language == "en")


def test_it_says_the_four_verdicts_the_zones_and_how_cloth_is_taped(printed):
    pdf = printed()
    said = text(pdf) + aloud(pdf)

    for verdict in Verdict:
        assert str(verdict.title) in said
    for step in RULES["tear-tape"].fix.steps:
        assert str(step.words).split(".")[0] in said
    for words in ("Never here.", "Only here,", "The fold test", "shop.example/self-check"):
        assert words in said


def test_each_line_stands_under_the_verdict_that_the_rules_give_it(shop):
    shelves.patterns()
    found = leaflet_lines.of_verdict()

    assert "A scrape on a tube that stays round in the fold test" in found[Verdict.RIDE_ON]
    assert "A tear in the cloth (C), up to a palm" in found[Verdict.FIX_YOURSELF]
    assert "A tear or an open seam in the cloth (C), up to a hand" in found[Verdict.GET_HOME]
    assert "Any other cut or hole in a tube (A), however small" in found[Verdict.BRING_IN]


def test_only_near_a_tip_and_far_from_any_shop_may_a_cut_in_a_tube_be_closed(shop):
    shelves.patterns()
    milder = leaflet_lines.of_verdict()[Verdict.GET_HOME]
    lines = [line for line in leaflet_lines.LINES if line.words in milder]
    cuts = {(told.at, told.far) for line in lines for told in line.damages if told.look == "cut"}

    assert cuts == {("front-tip", "far")}


def test_there_is_no_other_paper(printed):
    with pytest.raises(ValueError, match="not on “62”"):
        printed("62")
