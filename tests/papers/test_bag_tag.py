import pytest

from shoprepair.papers import bag_tag
from tests.factories import InflatableFactory, PatternFactory
from tests.papers.conftest import BASE_URL, BURST, CUT, TEAR
from tests.papers.reading import aloud, facts, fonts, picture, qr_codes, size_mm, text, words

PAPERS = ["62", "100", "A4", "Letter"]


def printed(job, paper="62"):
    return bag_tag.render(job, paper=paper, base_url=BASE_URL)


@pytest.mark.parametrize("paper", PAPERS)
def test_a_tag_says_whose_what_came_along_and_when(make_job, paper):
    said = text(printed(make_job(CUT, number=412, came_with=["bag", "pump", "a red sock"]), paper))

    for each in (
        "Northquay Loft",
        "0412",
        "Ida",
        "Holm 5.0 wing",
        "HM-20418",
        "bag",
        "pump",
        "a red sock",
        "received Fri 20 Nov 2026",
        "promised Tue 1 Dec 2026",
    ):
        assert each in said, each


@pytest.mark.parametrize("paper", PAPERS)
def test_of_the_customer_there_is_the_first_name_alone(make_job, paper):
    pdf = printed(make_job(CUT, phone="+1 555 0142 318"), paper)

    said = text(pdf) + aloud(pdf)
    assert "Quist" not in said
    assert "0142" not in said
    assert "318" not in said


@pytest.mark.parametrize("dpi", [300, 150])
@pytest.mark.parametrize("paper", PAPERS)
def test_the_code_leads_to_the_job_sheet_at_full_and_at_half_size(make_job, paper, dpi):
    assert qr_codes(printed(make_job(CUT, number=412), paper), dpi=dpi) == [f"{BASE_URL}/jobs/412/"]


@pytest.mark.parametrize(("paper", "wide", "least", "most"), [("62", 62, 70, 125), ("100", 100, 50, 95)])
@pytest.mark.parametrize("found", [(), (BURST,)])
def test_a_label_is_as_wide_as_the_roll_and_as_long_as_it_needs(make_job, paper, wide, least, most, found):
    pdf = printed(make_job(*found, came_with=["bag", "pump", "leash"], arrived_wet=True), paper)

    assert size_mm(pdf)[0] == wide
    assert least <= size_mm(pdf)[1] <= most
    assert facts(pdf)["Pages"] == "1"


def test_more_things_make_a_longer_label(make_job):
    things = [f"thing {number}" for number in range(12)]

    long, short = (
        printed(make_job(came_with=things)),
        printed(make_job(came_with=things[:1], inflatable=InflatableFactory())),
    )

    assert "thing 11" in text(long)
    assert size_mm(long)[1] > size_mm(short)[1] + 10


@pytest.mark.parametrize(("paper", "size"), [("A4", (210, 297)), ("Letter", (216, 279))])
def test_on_a_sheet_the_tag_is_cut_folded_and_punched(make_job, paper, size):
    pdf = printed(make_job(CUT, came_with=["bag"], arrived_wet=True), paper)

    assert size_mm(pdf) == size
    assert facts(pdf)["Pages"] == "1"
    assert "Cut along this line, fold down the middle, punch through both rings." in text(pdf)


def test_the_two_holes_meet_when_the_sheet_is_folded(make_job):
    sheet = picture(printed(make_job(CUT), "A4"), dpi=100)
    high, fold = round(10 / 25.4 * 100), sheet.width / 2
    dark = [x for x in range(sheet.width) if sheet.getpixel((x, high)) < 128 and abs(x - fold) > 9]
    left, right = [x for x in dark if x < fold], [x for x in dark if x > fold]

    assert left
    assert right
    assert fold - (left[0] + left[-1]) / 2 == pytest.approx((right[0] + right[-1]) / 2 - fold, abs=4)


def test_a_shops_own_sheet_is_the_shops_own_paper(make_job, shop):
    shop.paper = "Letter"
    shop.save()

    assert size_mm(printed(make_job(CUT), "sheet")) == (216, 279)


def test_there_is_no_other_roll(make_job):
    with pytest.raises(ValueError, match="not on “80”"):
        printed(make_job(), "80")


@pytest.mark.parametrize("paper", PAPERS)
def test_a_grounded_inflatable_is_not_to_be_inflated(make_job, paper):
    said = text(printed(make_job(BURST), paper))

    assert "Do not inflate" in said
    assert "100 Grounded" in said


@pytest.mark.parametrize("paper", PAPERS)
def test_another_band_is_said_and_forbids_nothing(make_job, paper):
    job = make_job(TEAR)
    said = text(printed(job, paper))

    assert f"{job.urgency} {job.band}" in said
    assert "Do not inflate" not in said


def test_a_job_not_judged_yet_claims_no_band(make_job):
    said = text(printed(make_job()))

    assert "Watch" not in said


@pytest.mark.parametrize(("wet", "marked"), [(True, True), (False, False), (None, False)])
def test_what_came_wet_or_sandy_is_marked(make_job, wet, marked):
    assert ("Wet or sandy" in text(printed(make_job(arrived_wet=wet)))) is marked


def test_nothing_that_came_along_is_said(make_job):
    assert "came with nothing else" in text(printed(make_job(came_with=[])))


@pytest.mark.parametrize("paper", ["62", "100"])
def test_a_label_is_black_on_white(make_job, paper):
    label = picture(printed(make_job(BURST, arrived_wet=True), paper), dpi=300)

    clear = sum(label.histogram()[shade] for shade in (*range(48), *range(208, 256)))
    assert clear / (label.width * label.height) > 0.97


def test_text_that_people_typed_stays_text(make_job, shop):
    hostile = '<b onclick="x">{{7*7}}</b>&lt;'
    shop.name = hostile
    shop.save()
    thing = InflatableFactory(pattern=PatternFactory(name=hostile), serial=hostile)

    said = text(printed(make_job(name=hostile, inflatable=thing, came_with=[hostile]))).replace(" ", "")

    assert said.count(hostile.replace(" ", "")) >= 4


@pytest.mark.parametrize("paper", PAPERS)
def test_a_very_long_name_stays_on_the_label(make_job, paper):
    pdf = printed(make_job(name="M" * 120, inflatable=InflatableFactory(pattern__name="Holm " * 16)), paper)
    label = picture(pdf, dpi=100)

    assert "MMMM" in text(pdf)
    assert min(label.getpixel((label.width - 3, y)) for y in range(label.height // 3)) > 200


@pytest.mark.parametrize("name", ["فاطمة الزهراء", "נועה כהן"])
@pytest.mark.parametrize("paper", ["62", "100"])
def test_a_name_of_another_script_is_shaped_and_its_font_lies_in_the_file(make_job, paper, name):
    pdf = printed(make_job(name=name, came_with=["תיק"]), paper)

    assert name.split()[0] in text(pdf).replace("\u202b", "").replace("\u202c", "")
    assert all(fonts(pdf).values())


@pytest.mark.parametrize("number", [7, 412, 9999, 10000, 123456, 2147483647])
def test_every_job_number_fits_the_roll(make_job, number):
    label = picture(printed(make_job(number=number)), dpi=100)

    assert min(label.getpixel((label.width - 3, y)) for y in range(label.height)) > 200


@pytest.mark.parametrize("paper", PAPERS)
def test_a_tag_is_tagged_titled_and_small(make_job, paper):
    pdf = printed(make_job(CUT, number=412), paper)

    assert (facts(pdf)["Tagged"], facts(pdf)["Title"]) == ("yes", "Bag tag 0412")
    assert len(pdf) < 60_000


@pytest.mark.parametrize("paper", PAPERS)
def test_no_word_of_a_models_long_name_is_torn_where_a_line_of_the_tag_holds_it(make_job, paper):
    name = "Silberfischchenseeschwalbe Zweitausendfünfhundert"
    gear = InflatableFactory(pattern=PatternFactory(name=name))

    shown = {word.text for word in words(printed(make_job(CUT, inflatable=gear), paper))}

    assert set(name.split()) <= shown


def test_a_first_name_longer_than_a_line_is_divided_as_the_shops_language_divides_it(make_job, shop):
    shop.language = "de"
    shop.save()

    said = text(printed(make_job(CUT, name="Dampfschifffahrtsgesellschaft Quist")))

    assert "Dampfschiff\N{HYPHEN}" in said
