"""The hand-back sheet on paper, read back from outside."""

import pytest

from shoprepair.jobs.models import Stage
from shoprepair.papers import hand_back as sheet
from shoprepair.papers.care import care, watch
from shoprepair.pricing import catalogue
from shoprepair.pricing.models import Operation
from shoprepair.shop.units import Typed
from shoprepair.work import hand_back, invoices
from tests.factories import handed_back, ready
from tests.papers.conftest import BASE_URL, BURST, CUT, TEAR
from tests.papers.reading import aloud, facts, fonts, pages, picture, size_mm, text
from tests.work.benching import agree


def printed(job, paper="A4"):
    return sheet.render(job, paper=paper, base_url=BASE_URL)


def told(job):
    """What a sheet is made of."""
    made = {}
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(sheet, "printed", lambda _, context, **more: made.update(context))
        printed(job)
    return made


@pytest.fixture
def make(make_job, owner):
    """A job whose damages were agreed to be mended as the catalogue has it, done, and ready."""

    def made(*found, **facts):
        catalogue.load()
        agreed = {"terms_agreed_at": "2026-05-04T09:00:00Z", "stage": Stage.ASSESSED}
        job = make_job(*(found or (CUT,)), **(agreed | facts))
        agree(job, owner)
        job.steps.update(state="done")
        type(job).objects.filter(pk=job.pk).update(stage=Stage.READY)
        job.refresh_from_db()
        return job

    return made


@pytest.fixture
def plain(make_job, owner):
    """A job agreed for one line without a repair behind it, ready."""
    job = make_job(CUT, stage=Stage.ASSESSED, terms_agreed_at="2026-05-04T09:00:00Z", number=412)
    return ready(job, owner)


def test_it_says_what_was_done_where_and_how_it_was_laid_up(make):
    said = text(printed(make()))
    for words in ("Hand-back", "Holm 5.0 wing", "Ida Quist", "What we did", "Sew a patch on a casing"):
        assert words in said
    assert "60 mm cut along" in said
    assert "ply inside and" in said
    assert "rows of Tex" in said


def test_what_was_done_alike_at_several_places_is_said_once_with_the_numbers_of_each_place(make):
    left, right = CUT, (-CUT[0], *CUT[1:])
    job = make(left, right, left)
    work = next(each for each in told(job)["works"] if each.name == "Sew a patch on a casing")
    assert work.numbers == (1, 2, 3)
    assert [numbers for _, numbers in work.where] == [(1, 3), (2,)]
    assert text(printed(job)).count("ply inside and") == 1


def test_one_place_says_its_number_on_its_tag_alone(make):
    work = next(each for each in told(make(CUT, CUT))["works"] if each.layup)
    assert [numbers for _, numbers in work.where] == [(1, 2)]


def test_it_says_what_the_shop_stands_behind_and_how_long(make):
    said = text(printed(make(TEAR)))
    assert "What we stand behind" in said
    assert "until" in said


def test_the_cover_stays_as_it_was_worded_that_day(make, owner):
    job = make()
    sold = text(printed(job))
    assert "for the life of the gear, passes to a new owner" in sold
    invoices.make(job, who=owner)
    Operation.objects.update(cover_terms="Nothing at all.", cover_months=1, cover_passes_on=False)
    kept = text(printed(job))
    assert "Nothing at all." not in kept
    assert "passes to a new owner" in kept


def test_after_a_burst_the_mirror_place_is_named(make):
    assert "mirror place" in text(printed(make(BURST)))


def test_it_gives_care_advice_with_the_rated_pressure(plain, metric):
    said = text(printed(plain))
    rated = plain.inflatable.pattern.rated_pressure_typed
    assert f"Pump it by a gauge, to {rated} and no more." in said
    assert len(care(plain.inflatable.pattern, metric)) == 5


@pytest.mark.parametrize(
    ("units", "said", "unsaid"),
    [
        (("bar", "mm"), ("35 mm cut", "0.55 bar"), ("psi", " cm")),
        (("psi", "in"), ("1 3/8 in cut", "8 psi"), (" bar", " mm")),
    ],
)
def test_its_figures_stand_in_the_shops_units_whatever_they_were_typed_in(make, shop, units, said, unsaid):
    type(shop).objects.update(pressure_unit=units[0], length_unit=units[1])
    job = make((0.4, 0.05, {"kind": "cut", "length": Typed(0.035, "3.5 cm"), "direction": "along"}))
    type(job.inflatable.pattern).objects.update(rated_pressure_pa=55158, rated_pressure_typed="8 psi")
    job.refresh_from_db()
    paper = text(printed(job))
    assert [each for each in said if each not in paper] == []
    assert [each for each in unsaid if each in paper] == []


def test_what_was_found_and_not_mended_is_to_be_watched(plain, metric):
    found = list(plain.damages.all())
    assert "1 was found and not repaired" in " ".join(watch(found, [], metric))
    assert "not repaired" not in " ".join(watch(found, [1], metric))


def test_unsigned_it_has_lines_to_sign_on(plain):
    said = text(printed(plain))
    assert "I have taken it" in said
    assert "Signature" in said
    assert "Taken by" not in said


def test_signed_it_shows_who_took_it_and_their_signature(plain, counter):
    before = picture(printed(plain))
    handed_back(plain, counter)
    pdf = printed(plain)
    said = text(pdf)
    assert "Taken by Ida Quist" in said
    assert "known by the tag" in said
    assert "Signature of Ida Quist" not in said
    assert picture(pdf) != before


def test_what_was_open_when_it_left_stands_on_it(plain, owner):
    hand_back.give(plain, "Ida Quist", "in person", [], who=owner, override_reason="Later.", on_paper=True)
    assert "Open then: $110.00 is still to be paid." in text(printed(plain))


@pytest.mark.parametrize(("paper", "size"), [("A4", (210, 297)), ("Letter", (216, 279))])
def test_it_is_one_tagged_page_with_its_fonts_inside(make, paper, size):
    pdf = printed(make(CUT, BURST), paper)
    assert size_mm(pdf) == size
    assert len(pages(pdf)) == 1
    assert facts(pdf)["Tagged"] == "yes"
    assert facts(pdf)["Title"].startswith("Hand-back sheet")
    assert all(fonts(pdf).values())
    assert aloud(pdf).index("What we did") < aloud(pdf).index("What to watch")


def test_a_typed_signature_is_printed_and_marked_as_typed(plain, owner):
    hand_back.give(plain, "Ida Quist", "in person", [], who=owner, override_reason="Later.", typed="I. Quist")
    said = aloud(printed(plain))
    assert said.index("Taken by") < said.index("I. Quist") < said.index("Signed by typing the name.")


def test_no_other_paper_is_known(plain):
    with pytest.raises(ValueError, match="on A4 or on Letter"):
        printed(plain, "A5")


@pytest.mark.parametrize(("count", "whole"), [(12, False), (13, True)])
def test_very_many_tags_have_a_drawing_over_the_whole_width(make_job, count, whole):
    made = told(make_job(*[(0.1 + each / 30, 0.05, None) for each in range(count)]))

    assert made["crowd"] is whole
