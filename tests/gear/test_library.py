import pytest
from django.core.management import call_command

from shoprepair.gear import library
from shoprepair.gear.models import Cloth, Panel, Pattern, Tube, Valve
from shoprepair.mechanics.description import Kind

pytestmark = pytest.mark.django_db


def counts() -> tuple[int, ...]:
    return tuple(model.objects.count() for model in (Cloth, Pattern, Tube, Panel, Valve))


def test_loading_the_library_again_doubles_nothing_and_changes_no_drawing() -> None:
    library.load()
    before = counts(), list(Pattern.objects.values_list("pk", "version"))
    library.load()
    assert (counts(), list(Pattern.objects.values_list("pk", "version"))) == before


def test_a_pattern_that_fell_behind_is_mended_and_gets_a_new_version() -> None:
    library.load()
    Pattern.objects.filter(name="Holm 5.0 wing").update(span_m=3.1)
    library.load()
    holm = Pattern.objects.get(name="Holm 5.0 wing")
    assert (holm.span_m, holm.version) == (3.5, 2)


def test_a_pattern_measured_here_is_left_alone() -> None:
    library.load()
    own = measured(name="Holm 5.0 wing")
    library.load()
    own.refresh_from_db()
    assert (own.span_m, own.version) == (3.3, 1)


def test_the_command_says_how_many_patterns_there_are(capsys: pytest.CaptureFixture[str]) -> None:
    call_command("load_library")
    assert capsys.readouterr().out == f"{Pattern.objects.count()} patterns are in the library.\n"


def test_the_library_holds_the_gear_that_walks_in() -> None:
    """Common practice, no source: the sizes and builds that a small shop sees."""
    library.load()
    wings, kites = (Pattern.objects.filter(kind=kind) for kind in Kind)
    assert len(wings) + len(kites) >= 14
    assert {min(w.area_m2 for w in wings), max(w.area_m2 for w in wings)} == {2.5, 7.0}
    assert {min(k.area_m2 for k in kites), max(k.area_m2 for k in kites)} == {5.0, 17.0}
    assert {w.support for w in wings} == {"handles", "boom"}
    assert {k.support for k in kites} == {"bridled"}
    assert {w.pumping for w in wings} == {k.pumping for k in kites} == {"linked", "separate"}
    assert {drawn_struts(w) for w in wings} == {1, 3}
    assert {drawn_struts(k) for k in kites} == {3, 5, 6, 7}
    edges = Tube.objects.filter(kind=Tube.Kind.LEADING_EDGE)
    assert {bool(edge.doublings) for edge in edges} == {True, False}
    assert any(p.panels.filter(window=True).exists() for p in wings)


def drawn_struts(pattern: Pattern) -> int:
    stations = pattern.tubes.filter(kind=Tube.Kind.STRUT).values_list("station", flat=True)
    return sum(1 if station == 0 else 2 for station in stations)


def test_linked_gear_has_one_inflation_valve_and_a_hose_a_strut_separate_gear_a_valve_a_tube() -> None:
    for pattern in library.load():
        inflation = pattern.valves.filter(kind="inflation").count()
        hoses = pattern.valves.filter(kind="hose").count()
        struts = drawn_struts(pattern)
        linked = pattern.pumping == Pattern.Pumping.LINKED
        assert (inflation, hoses) == ((1, struts) if linked else (1 + struts, 0))


def test_every_cloth_says_where_its_strength_comes_from() -> None:
    library.load()
    assert set(Cloth.objects.values_list("measured", flat=True)) == {True, False}
    assert {use for use, _ in Cloth.Use.choices} == set(Cloth.objects.values_list("use", flat=True))
    assert all(len(cloth.source) > 40 for cloth in Cloth.objects.all())


def test_strengths_lie_within_the_typical_values() -> None:
    """Woven polyester sailcloth of 150–200 g/m² 26–45 kN/m, canopy ripstop 7.4–10 kN/m (assumed ranges)."""
    library.load()
    for use, low, high in (("casing", 26e3, 45e3), ("canopy", 7.3e3, 10e3), ("bladder", 1.5e3, 5e3)):
        for cloth in Cloth.objects.filter(use=use):
            assert low <= min(cloth.strength_warp_n_per_m, cloth.strength_weft_n_per_m)
            assert max(cloth.strength_warp_n_per_m, cloth.strength_weft_n_per_m) <= high


def test_published_strengths_are_converted_right() -> None:
    """45 lbf/in of PIA/MIL-C-44378 type I and 50 lbf/in of MIL-C-7020 type II, at 175.126835 N/m each."""
    library.load()
    by_name = {cloth.name: cloth.strength_warp_n_per_m for cloth in Cloth.objects.all()}
    assert by_name["Ripstop canopy cloth 40"] == pytest.approx(45 * 175.126835246, rel=1e-4)
    assert by_name["Ripstop canopy cloth 54"] == pytest.approx(50 * 175.126835246, rel=1e-4)


def measured(**changed: object) -> Pattern:
    told: dict[str, object] = {
        "kind": Kind.WING,
        "support": "handles",
        "span_m": 3.3,
        "diameter_centre_m": 0.22,
        "diameter_tip_m": 0.11,
        "rated_pressure_pa": 50_000.0,
        "rated_pressure_typed": "0.5 bar",
        "struts": 1,
    }
    return library.measured_here(**(told | changed))  # type: ignore[arg-type]


def test_a_pattern_measured_at_the_counter_keeps_what_was_told_and_marks_the_rest() -> None:
    pattern = measured(pumping="separate")
    edge = pattern.tubes.get(kind=Tube.Kind.LEADING_EDGE)
    assert (pattern.span_m, edge.diameter_root_m, edge.diameter_tip_m) == (3.3, 0.22, 0.11)
    assert (pattern.rated_pressure_typed, pattern.pumping) == ("0.5 bar", "separate")
    assert pattern.measured_here
    assert "span_m" not in pattern.assumed
    assert {"area_m2", "chord_centre_m", "casing", "seam_efficiency"} <= set(pattern.assumed)


def test_a_guessed_casing_is_the_weakest_of_the_library() -> None:
    library.load()
    weakest = min(c.strength_weft_n_per_m for c in Cloth.objects.filter(use=Cloth.Use.CASING))
    assert measured().casing.strength_weft_n_per_m == weakest


def test_two_pieces_measured_alike_are_two_patterns() -> None:
    assert measured().pk != measured().pk


def test_every_pattern_of_the_library_says_what_it_cost_new() -> None:
    """Common practice, no source: invented prices, more for more cloth within one kind."""
    library.load()
    assert not Pattern.objects.filter(measured_here=False, new_price=None).exists()
    kites = list(Pattern.objects.filter(kind=Kind.KITE).order_by("area_m2"))
    assert kites[0].new_price < kites[-1].new_price
