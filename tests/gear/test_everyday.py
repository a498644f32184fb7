from dataclasses import replace

import pytest

from shoprepair.gear import changes, describe, everyday, library
from shoprepair.gear.everyday import EVERYDAY
from shoprepair.gear.models import Cloth, Pattern
from shoprepair.mechanics.assessment import assess
from shoprepair.mechanics.description import (
    Element,
    Finding,
    FindingKind,
    Kind,
    LoadCases,
    Place,
)
from tests import shelves
from tests.factories import CustomerFactory

WINDLESS = LoadCases(held_wind_m_per_s=0, bridled_wind_m_per_s=0)
CUT = Finding(kind=FindingKind.CUT, length_m=0.025)
TENTHS = [tenth / 10 for tenth in range(11)]


def of_the_size(kind: str, area_m2: float) -> str:
    return next(e.code for e in EVERYDAY if e.kind == kind and e.area_low_m2 <= area_m2 <= e.area_high_m2)


def by_air(pattern, station):
    """The load ratio of a cut in single cloth by pressure alone."""
    single = replace(pattern, leading_edge=replace(pattern.leading_edge, doublings=()))
    return assess(single, Place(element=Element.LEADING_EDGE, station=station), CUT, WINDLESS).load_ratio


@pytest.mark.django_db
def test_no_pattern_of_the_library_is_asked_more_than_the_everyday_one_of_its_size():
    shelves.patterns()
    for pattern in Pattern.objects.all():
        own = describe.description(pattern)
        worst = everyday.description(of_the_size(own.kind, own.area_m2))
        for station in TENTHS:
            assert by_air(own, station) <= by_air(worst, station), (pattern, station)


@pytest.mark.parametrize("kind", Kind)
def test_a_larger_one_is_never_thinner_nor_softer_nor_narrower(kind):
    sizes = [e for e in EVERYDAY if e.kind is kind]
    assert [e.size for e in sizes] == list(everyday.SIZES)
    for figure in ("diameter_centre_m", "diameter_tip_m", "rated_pressure_pa", "span_m", "area_high_m2"):
        figures = [getattr(e, figure) for e in sizes]
        assert figures == sorted(figures), figure


def test_who_is_unsure_of_the_size_gets_the_largest():
    assert everyday.code(Kind.WING, "unsure") == "wing-large"
    assert everyday.code(Kind.KITE, "small") == "kite-small"
    with pytest.raises(ValueError, match="no size"):
        everyday.code(Kind.KITE, "enormous")
    with pytest.raises(ValueError, match="no everyday pattern"):
        everyday.pattern("boat-large")


@pytest.mark.django_db
def test_it_is_made_once_and_every_figure_of_it_is_marked_as_assumed():
    made = everyday.pattern("wing-medium")
    assert everyday.pattern("wing-medium") == made
    assert str(made) == "Wing of 3.5 to 5.5 m², model not known"
    assert {"rated_pressure_pa", "leading_edge", "casing", "area_m2"} <= set(made.assumed)
    assert made.area_m2 == pytest.approx(5.5, rel=0.05)
    assert not everyday.planform("wing-medium").leading_edge.doublings


@pytest.mark.django_db
def test_the_owner_may_correct_it_and_all_answers_follow(owner):
    made = everyday.pattern("kite-small")
    changes.change_pattern(
        made, who=owner, version=made.version, fields={"rated_pressure_pa": 60000.0}, tubes=[]
    )
    assert everyday.description("kite-small").rated_pressure_pa == 60000.0


@pytest.mark.django_db
def test_a_copy_of_it_is_an_ordinary_pattern(owner):
    copy = changes.copy_pattern(everyday.pattern("wing-small"), name="Havsule 3 wing", who=owner)
    assert copy.everyday == ""


@pytest.mark.django_db
def test_it_stands_where_the_library_was_never_loaded_and_survives_the_loading():
    made = everyday.pattern("wing-large")
    assert Cloth.objects.exists()
    library.load()
    made.refresh_from_db()
    assert (made.version, made.everyday) == (1, "wing-large")


@pytest.mark.django_db
def test_loading_the_library_again_changes_no_pattern():
    library.load()
    library.load()
    assert set(Pattern.objects.values_list("version", flat=True)) == {1}


@pytest.mark.django_db
def test_nobody_can_choose_it_at_the_counter(counter, as_person):
    shelves.patterns()
    made = everyday.pattern("wing-medium")
    page = as_person(counter).get(f"/check-in/{CustomerFactory().pk}/gear/")
    assert page.status_code == 200
    assert "Holm 5.0 wing" in page.content.decode()
    assert made.name not in page.content.decode()


@pytest.mark.django_db
def test_a_page_that_asks_for_them_often_reads_each_once(django_assert_num_queries):
    everyday.pattern("wing-medium")
    with everyday.read_once():
        first = everyday.pattern("wing-medium")
        with django_assert_num_queries(0):
            assert everyday.pattern("wing-medium") is first
    assert everyday.pattern("wing-medium") is not first
