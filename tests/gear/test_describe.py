import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shoprepair.gear import describe, library
from shoprepair.gear.models import Pattern
from shoprepair.gear.shape import shape
from tests.factories import PatternFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def holm() -> Pattern:
    library.load()
    describe.forget()
    return Pattern.objects.select_related("casing", "canopy", "window").get(name="Holm 5.0 wing")


@pytest.fixture
def skarv() -> Pattern:
    library.load()
    describe.forget()
    return Pattern.objects.get(name="Skarv 9 kite")


def test_a_description_carries_the_patterns_own_figures(holm: Pattern) -> None:
    said = describe.description(holm)
    assert (said.span_m, said.area_m2, said.rated_pressure_pa) == (3.5, 5.0, 50_000.0)
    assert (said.held, said.linked, said.handle_count) == (True, True, 2)
    assert (said.leading_edge.diameter_root_m, said.leading_edge.diameter_tip_m) == (0.24, 0.12)
    assert said.casing.strength_warp_n_per_m == 35_000
    assert not said.casing.measured
    assert said.window is not None
    assert said.assumed == {"seam_efficiency"}


def test_tube_lengths_come_from_the_drawing(holm: Pattern) -> None:
    said, of = describe.description(holm), shape(describe.planform(holm))
    assert said.leading_edge.length_m == of.line.length_m
    front, back = of.strut_ends(0)
    assert said.struts[0].tube.length_m == back - front


def test_a_boom_takes_the_load_at_both_ends() -> None:
    library.load()
    lunde = Pattern.objects.get(name="Lunde 5.4 wing")
    assert describe.description(lunde).handle_count == 2
    assert describe.planform(lunde).boom


def test_a_kite_is_bridled_and_its_struts_count_outwards(skarv: Pattern) -> None:
    said = describe.description(skarv)
    assert not said.held
    assert said.bridle_stations == tuple(sorted(said.bridle_stations))
    assert [strut.station for strut in said.struts] == [0.0, 0.46, 0.80]


def test_a_pattern_is_read_once_until_its_version_grows(holm: Pattern) -> None:
    first = describe.planform(holm)
    describe.description(holm)
    with CaptureQueriesContext(
        connection,
    ) as asked:
        assert describe.planform(holm) is first
        describe.description(holm)
    assert len(asked) == 0
    edge = holm.tubes.get(kind="leading edge")
    edge.diameter_root_m = 0.26
    edge.save()
    holm.version += 1
    assert describe.planform(holm).leading_edge.diameter_root_m == 0.26


def test_a_list_of_patterns_is_read_in_a_few_statements_together() -> None:
    patterns = [PatternFactory() for _ in range(3)]
    describe.forget()
    with CaptureQueriesContext(connection) as asked:
        describe.warm(patterns)
        drawn = [describe.planform(pattern) for pattern in patterns]
    assert len(asked) == 3
    assert [planform.name for planform in drawn] == [pattern.name for pattern in patterns]


def test_a_shop_with_ever_more_patterns_keeps_only_so_many_drawings(
    holm: Pattern, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(describe, "MOST_KEPT", 1)
    first = describe.planform(holm)
    describe.planform(PatternFactory())
    assert describe.planform(holm) is not first
    assert describe.planform(holm) == first
