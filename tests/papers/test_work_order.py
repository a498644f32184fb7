import re

import pytest

from shoprepair.jobs import damages
from shoprepair.papers import work_order
from tests.factories import InflatableFactory, KiteFactory, PatternFactory
from tests.papers.conftest import BASE_URL, BURST, CUT, SCUFF, TEAR
from tests.papers.reading import aloud, facts, fonts, pages, qr_codes, size_mm, text, words

HOSTILE = '<img src="file:///etc/passwd"><script>x</script>{{7*7}}&amp;'


def printed(job, paper="A4"):
    return work_order.render(job, paper=paper, base_url=BASE_URL)


def test_the_front_says_whose_what_and_how_bad(make_job):
    job = make_job(CUT, number=412, came_with=["bag", "pump"], arrived_wet=True)

    pdf = printed(job)
    said = text(pdf) + aloud(pdf)

    for each in (
        "Northquay Loft · 3 Quay Road · Harbour 4210 · 555 0100",
        "Work order",
        "0412",
        "Holm 5.0 wing",
        "HM-20418",
        "240 to 120 mm",
        "bag and pump",
        "wet or sandy",
        "0.5 bar",
        "0.50 bar",
        "6.00 kN/m",
        "hold test, rated × 1.00",
        "60 mm cut along",
        f"{damages.live(job)[0].load_ratio:.2f}",
        str(job.urgency),
        job.band,
        "Look at the bladder behind it",
        "Sewing thread",
        "Done by Checked by Date",
        "Screening figures, not a certificate",
        "eye and ear protection at test pressure",
    ):
        assert each in said, each


def test_of_the_customer_there_is_the_first_name_and_three_digits(make_job):
    pdf = printed(make_job(CUT, name="Ida Quist", phone="+1 555 0142 318"))

    said = text(pdf) + aloud(pdf)
    assert "Ida" in said
    assert "phone ends 318" in said
    assert "Quist" not in said
    assert "0142" not in said
    assert b"Quist" not in pdf


@pytest.mark.parametrize("dpi", [200, 100])
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_code_leads_to_the_job_sheet_at_full_and_at_half_size(make_job, paper, dpi):
    pdf = printed(make_job(CUT, number=412), paper)

    assert qr_codes(pdf, dpi=dpi) == [f"{BASE_URL}/jobs/412/"]


@pytest.mark.parametrize(("paper", "size"), [("A4", (210, 297)), ("Letter", (216, 279))])
def test_it_comes_on_the_shops_paper(make_job, paper, size):
    assert size_mm(printed(make_job(CUT), paper)) == size


def test_there_is_no_other_paper(make_job):
    with pytest.raises(ValueError, match="on A4 or on Letter, not on “A5”"):
        printed(make_job(), "A5")


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_short_job_stands_on_one_page(make_job, paper):
    pdf = printed(make_job(TEAR), paper)

    assert [page[-11:] for page in pages(pdf)] == ["page 1 of 1"]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_longer_job_says_what_on_the_front_and_how_on_the_back(make_job, paper):
    front, back = pages(printed(make_job(CUT, SCUFF, TEAR, number=412), paper))

    assert "Damages" in front
    assert front.endswith("0412 Holm 5.0 wing page 1 of 2")
    assert back.startswith("Steps")
    assert "Sign-off" in back
    assert back.endswith("0412 Holm 5.0 wing page 2 of 2")


def test_it_is_read_aloud_in_the_order_of_work(make_job):
    said = aloud(printed(make_job(CUT, TEAR, number=412)))

    order = (
        "Northquay Loft",
        "0412",
        "Ida",
        "Serial",
        "Damages",
        "Place and finding",
        "60 mm cut along 60 mm",
        "120 mm tear from front to back 120 mm",
        "Steps",
        "Before",
        "Open",
        "Close",
        "Hold test",
        "Last",
        "Materials",
        "Sign-off",
        "Screening figures",
    )
    places = [said.find(words) for words in order]
    assert -1 not in places
    assert places == sorted(places)


def test_a_grounded_job_says_so_and_a_harmless_one_does_not(make_job):
    assert "Grounded Do not inflate" in aloud(printed(make_job(BURST)))


def test_a_job_that_may_be_pumped_is_not_forbidden_to(make_job):
    assert "Do not inflate" not in text(printed(make_job(TEAR)))


def test_after_a_burst_the_mirror_place_is_named(make_job):
    assert "Look at the mirror place" in text(printed(make_job(BURST)))


def test_nothing_pinned_is_said_and_nothing_judged(make_job):
    said = aloud(printed(make_job()))

    assert "Not judged yet" in said
    assert "No damage is pinned yet" in said
    assert "pump nothing before it is judged" in said


def test_the_shops_units_are_spoken(make_job, shop):
    shop.length_unit, shop.pressure_unit = "in", "psi"
    shop.save()

    said = text(printed(make_job(CUT)))

    assert "9 1/2 to 4 3/4 in" in said
    assert "rated, as written, 7.3 psi" in said


def test_a_removed_damage_is_not_worked_on(make_job, bench):
    job = make_job(CUT, TEAR)
    damages.remove(damages.live(job)[0], bench)
    job.refresh_from_db()

    said = text(printed(job))
    assert "cut along" not in said
    assert "tear from front to back" in said


@pytest.fixture
def forty(make_job):
    along = [(x / 10, 0.05 + 0.02 * abs(x), None) for x in range(-9, 11)]
    return make_job(*[(x, y, CUT[2] if i % 2 else None) for i, (x, y, _) in enumerate(along * 2)], number=412)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_forty_damages_break_between_rows_with_the_head_repeated(forty, paper):
    sheets = pages(printed(forty, paper))

    tables = [page for page in sheets if "Place and finding" in page]
    assert len(sheets) <= 10
    assert len(tables) >= 3
    assert all(page.split("page")[0] for page in sheets)
    for number, page in enumerate(sheets, 1):
        assert page.endswith(f"0412 Holm 5.0 wing page {number} of {len(sheets)}")


def test_what_is_to_be_looked_at_in_many_of_forty_damages_is_said_once_with_their_numbers(forty):
    said = text(printed(forty))

    assert said.count("Look at the bladder behind it") == 1
    assert ", ".join(str(number) for number in range(2, 41, 2)) in said


def test_of_forty_damages_none_is_done_in_two_places(forty):
    said = text(printed(forty))

    assert len(re.findall("Trim loose yarns", said)) <= 4
    assert said.count("Sign-off") == said.count("Sewing thread") == 1


def test_of_many_damages_none_is_torn_from_its_inspection(make_job):
    along = [(x / 10, 0.05 + 0.02 * abs(x), None) for x in range(-9, 11)] * 2
    described = [(x, y, CUT[2] if place % 10 == 6 else None) for place, (x, y, _) in enumerate(along)]
    inspected = 0
    for page in pages(printed(make_job(*described, number=412))):
        rows = len(re.findall("60 mm cut along(?!,)", page))
        assert page.count("Look at the bladder behind it") == rows
        inspected += rows
    assert inspected == 4


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("language", ["en", "de", "es"])
def test_neither_side_of_a_sheet_for_one_damage_is_half_empty(make_job, shop, paper, language):
    shop.language = language
    shop.save()
    pdf = printed(make_job(CUT), paper)

    assert facts(pdf)["Pages"] == "2"
    high = size_mm(pdf)[1] / 25.4 * 72
    for page in (1, 2):
        body = [word.box[3] for word in words(pdf) if word.page == page and word.box[3] < 0.94 * high]
        assert max(body) > 0.72 * high, page


def test_text_that_people_typed_stays_text(make_job, shop, bench):
    shop.name, shop.address, shop.phone = HOSTILE, HOSTILE, HOSTILE[:40]
    shop.save()
    thing = InflatableFactory(pattern=PatternFactory(name=HOSTILE), serial=HOSTILE[:40], colour=HOSTILE[:40])
    job = make_job(
        (0.4, 0.05, CUT[2] | {"note": HOSTILE}), name=HOSTILE, inflatable=thing, came_with=[HOSTILE]
    )

    pdf = printed(job)

    said = text(pdf).replace(" ", "")
    # Shop's name and address, pattern twice, note, what came along twice.
    assert said.count(HOSTILE.replace(" ", "")) >= 5
    assert "49" not in said.replace("14.9", "")
    assert b"/JavaScript" not in pdf
    assert "root:" not in said


def test_very_long_names_push_nothing_off_the_page(make_job, shop):
    shop.name = "Northquay " * 12
    shop.save()
    thing = InflatableFactory(pattern=PatternFactory(name="Holm" * 20), serial="S" * 40, colour="red " * 10)

    front = pages(printed(make_job(CUT, name="M" * 120, inflatable=thing)))[0]

    assert "M" * 20 in front
    assert "…" in front
    assert "S" * 10 in front


@pytest.mark.parametrize(
    ("name", "shown"), [("فاطمة الزهراء", "فاطمة"), ("נועה כהן", "נועה"), ("Ørsted Łukasz", "Ørsted")]
)
def test_names_of_other_scripts_are_shaped_and_their_fonts_lie_in_the_file(make_job, name, shown):
    pdf = printed(make_job(CUT, name=name))

    assert shown in text(pdf).replace("\u202b", "").replace("\u202c", "")
    assert all(fonts(pdf).values())


def test_fonts_are_the_shops_own_with_one_for_other_letters(make_job):
    found = fonts(printed(make_job(CUT)))

    assert all(found.values())
    assert set(found) == {
        "Atkinson-Hyperlegible-Next",
        "Atkinson-Hyperlegible-Next-Bold",
        "DejaVu-Sans",  # λ
    }


def test_it_is_tagged_and_titled_and_knows_no_author(make_job):
    said = facts(printed(make_job(CUT, number=412)))

    assert (said["Tagged"], said["Title"]) == ("yes", "Work order 0412")
    assert "Author" not in said
    assert "Creator" not in said


@pytest.mark.parametrize("found", [(CUT,), (CUT, SCUFF, TEAR, BURST)])
def test_it_is_small_enough_to_send(make_job, found):
    assert len(printed(make_job(*found))) < 300_000


def test_forty_damages_are_small_enough_to_send_too(forty):
    assert len(printed(forty)) < 300_000


def test_a_kite_gets_the_width_of_the_sheet(make_job):
    kite = InflatableFactory(pattern=KiteFactory())

    front, _ = pages(printed(make_job(CUT, (-0.4, 0.05, CUT[2]), inflatable=kite)))

    assert "Bridled" in front
    assert "First struts" in front


def test_the_database_is_asked_no_more_for_three_damages_than_for_one(make_job, django_assert_num_queries):
    one, three = make_job(CUT), None
    three = make_job(CUT, SCUFF, TEAR, inflatable=InflatableFactory(pattern=PatternFactory()))
    printed(one), printed(three)

    with django_assert_num_queries(4):
        printed(one)
    with django_assert_num_queries(4):
        printed(three)
