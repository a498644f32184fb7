import pytest

from shoprepair.jobs.advice.told import Told
from shoprepair.jobs.enquiries import making
from shoprepair.papers import parcel_slip
from tests import shelves
from tests.papers.conftest import BASE_URL
from tests.papers.reading import aloud, facts, fonts, picture, qr_codes, size_mm, text

CUT = Told(kind="wing", size="medium", at="front-middle", look="cut", length="coin")
TEAR = Told(kind="wing", size="medium", at="canopy-outer", look="torn", length="120")
CLOUDY = Told(kind="wing", size="medium", at="window", look="cloudy")
WHOSE = {"name": "Ida Quist", "contact": "ida.quist@post.example"}


@pytest.fixture
def asked(shop):
    """Sends an enquiry about these damages."""
    shelves.patterns()

    def ask(*damages, **whose):
        return making.send(damages, comes="by-post", key="k", **{**WHOSE, **whose})

    return ask


def printed(enquiry, paper="A4", language="en"):
    return parcel_slip.render(enquiry, paper=paper, base_url=BASE_URL, language=language)


@pytest.mark.parametrize(("paper", "size"), [("A4", (210, 297)), ("Letter", (216, 279))])
def test_half_a_page_says_where_from_whom_and_what_is_wrong(asked, paper, size):
    enquiry = asked(CUT, TEAR)
    pdf = printed(enquiry, paper)
    said = text(pdf)

    assert size_mm(pdf) == size
    assert facts(pdf)["Pages"] == "1"
    for words in ("Northquay Loft", "3 Quay Road", str(enquiry.job), "Ida Quist", "ida.quist@post.example"):
        assert words in said, words
    for words in ("A cut", "Front tube, half way out", "no longer than a coin", "120 mm long"):
        assert words in said, words


def test_it_says_how_to_pack_and_what_to_keep_at_home(asked):
    said = text(printed(asked(CUT)))

    for words in (
        "Dry",
        "Sand out",
        "Roll it",
        "Never fold it on the cut",
        "no money and no passwords",
        "pump",
    ):
        assert words in said, words


def test_the_counter_scans_the_same_code_as_on_a_bag_tag(asked):
    enquiry = asked(CUT)

    assert qr_codes(printed(enquiry), dpi=150) == [f"{BASE_URL}/jobs/{enquiry.job.number}/"]


@pytest.mark.parametrize(("damage", "banned"), [(CUT, True), (CLOUDY, False)])
def test_only_what_must_not_be_inflated_says_so(asked, damage, banned):
    assert ("Do not inflate" in text(printed(asked(damage)))) is banned


def test_a_slip_in_german_holds_no_english(asked):
    pdf = printed(asked(CUT, TEAR), language="de")
    said = text(pdf) + aloud(pdf)

    for words in ("Schick es uns im Paket", "Fronttube", "Wing, 3,5 bis 5,5 m²", "Nicht aufpumpen"):
        assert words in said, words
    for words in (" the ", " and ", "model not known", "left", "Damage", "Enquiry"):
        assert words not in said, words


def test_as_many_damages_as_can_be_told_fit_on_the_page(asked):
    pdf = printed(asked(CUT, TEAR, CLOUDY, CUT, TEAR, name="M" * 80), "Letter", "de")

    assert facts(pdf)["Pages"] == "1"
    page = picture(pdf, dpi=60)
    assert min(page.getpixel((x, page.height - 4)) for x in range(page.width)) > 200


def test_a_slip_is_tagged_titled_small_and_whole(asked):
    enquiry = asked(CUT)
    pdf = printed(enquiry)

    assert (facts(pdf)["Tagged"], facts(pdf)["Title"]) == ("yes", f"Parcel slip {enquiry.job}")
    assert all(fonts(pdf).values())
    assert len(pdf) < 80_000


def test_there_is_no_other_paper(asked):
    with pytest.raises(ValueError, match="not on “62”"):
        printed(asked(CUT), "62")
