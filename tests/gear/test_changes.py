from dataclasses import astuple

import pytest

from shoprepair.gear import changes, describe, library
from shoprepair.gear.changes import TubeChange
from shoprepair.gear.models import Pattern
from shoprepair.mechanics.assessment import sound_load_ratio
from shoprepair.mechanics.description import DEFAULT_CASES, Kind
from shoprepair.shop import journal
from shoprepair.shop.changes import ChangedMeanwhile
from tests.factories import PatternFactory

pytestmark = pytest.mark.django_db


def tubes_of(pattern: Pattern, **changes: object) -> list[TubeChange]:
    """The tubes as they are, with these figures of the leading edge replaced."""
    found = []
    for tube in pattern.tubes.all():
        figures = {
            "diameter_root_m": tube.diameter_root_m,
            "diameter_tip_m": tube.diameter_tip_m,
            "doublings": tube.doublings,
        }
        found.append(
            TubeChange(pk=tube.pk, **(figures | changes if tube.kind == "leading edge" else figures))
        )
    return found


def test_every_pattern_of_the_library_is_an_inflatable_by_its_own_rules():
    for pattern in library.load():
        changes.check(pattern)


@pytest.mark.parametrize(
    ("kind", "support"), [(Kind.WING, "handles"), (Kind.WING, "boom"), (Kind.KITE, "bridled")]
)
@pytest.mark.parametrize("span_m", [2.0, 3.5, 6.0, 9.0])
def test_what_the_counter_measures_can_be_corrected_later(kind, support, span_m):
    measured = library.measured_here(
        kind=kind,
        support=support,
        span_m=span_m,
        diameter_centre_m=0.05 * span_m,
        diameter_tip_m=0.025 * span_m,
        rated_pressure_pa=50_000,
        rated_pressure_typed="0.5 bar",
        struts=3,
    )

    changes.check(measured)


def test_a_fatter_tube_is_drawn_and_loaded_anew(owner):
    wing = PatternFactory()
    drawn, loaded = describe.planform(wing), sound_load_ratio(describe.description(wing), 0.9, DEFAULT_CASES)
    fatter = tubes_of(wing, diameter_root_m=0.3, diameter_tip_m=0.2)
    changes.change_pattern(wing, who=owner, version=1, fields={}, tubes=fatter)

    anew = Pattern.objects.get(pk=wing.pk)
    assert describe.planform(anew).leading_edge.diameter_root_m == 0.3
    assert drawn.leading_edge.diameter_root_m == 0.24
    assert sound_load_ratio(describe.description(anew), 0.9, DEFAULT_CASES) > loaded


def test_a_change_that_was_refused_leaves_no_drawing_behind(owner):
    wing = PatternFactory()
    with pytest.raises(ValueError, match="wider at its end"):
        changes.change_pattern(
            wing, who=owner, version=1, fields={}, tubes=tubes_of(wing, diameter_tip_m=0.4)
        )
    changes.change_pattern(wing, who=owner, version=1, fields={"seam_efficiency": 0.7}, tubes=tubes_of(wing))

    anew = Pattern.objects.get(pk=wing.pk)
    assert anew.version == 2
    assert describe.planform(anew).leading_edge.diameter_tip_m == 0.12


def test_of_two_versions_the_older_is_refused(owner):
    wing = PatternFactory()
    changes.change_pattern(wing, who=owner, version=1, fields={"sweep_m": 0.9}, tubes=tubes_of(wing))

    with pytest.raises(ChangedMeanwhile):
        changes.change_pattern(wing, who=owner, version=1, fields={"sweep_m": 0.8}, tubes=tubes_of(wing))


def test_a_copy_is_drawn_like_its_source(owner):
    wing = PatternFactory()
    copy = changes.copy_pattern(wing, name="Petrel sister", who=owner)

    assert (copy.version, copy.measured_here) == (1, False)
    assert astuple(describe.planform(copy))[1:] == astuple(describe.planform(wing))[1:]


def test_a_pattern_measured_at_the_counter_is_copied_into_the_library(owner):
    measured = PatternFactory(name="Wing of 3.40 m, measured here", measured_here=True)
    copy = changes.copy_pattern(measured, name=measured.name, who=owner)

    assert not copy.measured_here
    with pytest.raises(changes.NameTaken):
        changes.copy_pattern(measured, name=measured.name.upper(), who=owner)


def test_a_weaker_cloth_is_felt_by_every_pattern_cut_from_it(owner):
    wing = PatternFactory()
    loaded = sound_load_ratio(describe.description(wing), 0.0, DEFAULT_CASES)
    cloth = wing.casing
    changes.change_cloth(cloth, who=owner, seen=0, name=cloth.name, strength_warp_n_per_m=25_000.0)

    anew = Pattern.objects.get(pk=wing.pk)
    assert sound_load_ratio(describe.description(anew), 0.0, DEFAULT_CASES) > loaded


def test_loading_the_library_again_leaves_what_the_owner_corrected(owner):
    library.load()
    wing = Pattern.objects.get(name="Holm 5.0 wing")
    cloth = wing.casing
    changes.change_pattern(wing, who=owner, version=1, fields={"span_m": 3.45}, tubes=tubes_of(wing))
    changes.change_cloth(cloth, who=owner, seen=0, name=cloth.name, strength_warp_n_per_m=33_000.0)
    library.load()

    anew = Pattern.objects.get(pk=wing.pk)
    assert anew.span_m == 3.45
    assert anew.casing.strength_warp_n_per_m == 33_000


@pytest.mark.parametrize(
    ("fields", "tubes", "sentence"),
    [
        ({}, {"diameter_root_m": 1.2, "diameter_tip_m": 0.4}, "leading edge is too thick for that chord"),
        ({"chord_tip_m": 1.9}, {}, "tip cannot be longer than at the centre"),
        ({"area_m2": 11.0}, {}, "far from the area of 11 m²"),
    ],
)
def test_figures_that_are_no_inflatable_are_refused_with_what_is_a_slip(owner, fields, tubes, sentence):
    wing = PatternFactory()
    with pytest.raises(ValueError, match=sentence):
        changes.change_pattern(wing, who=owner, version=1, fields=fields, tubes=tubes_of(wing, **tubes))
    assert Pattern.objects.get(pk=wing.pk).version == 1


def test_saving_a_pattern_or_a_cloth_as_it_is_changes_nothing(owner):
    wing = PatternFactory()
    assert changes.change_pattern(wing, who=owner, version=1, fields={}, tubes=tubes_of(wing)) == {}
    assert changes.change_cloth(wing.casing, who=owner, seen=0, name=wing.casing.name) == {}
    assert Pattern.objects.get(pk=wing.pk).version == 1
    assert not journal.entries(wing).exists()


def test_a_cloth_is_added_to_the_library_under_a_name_of_its_own(owner):
    names = "use weight_g_per_m2 strength_warp_n_per_m strength_weft_n_per_m stiffness_n_per_m"
    cloth = PatternFactory().canopy
    figures = {name: getattr(cloth, name) for name in names.split()}
    added = changes.add_cloth(who=owner, name="ripstop canopy cloth, 60 g/m²", **figures)
    assert journal.entries(added).get().text == "ripstop canopy cloth, 60 g/m² was added."
    with pytest.raises(changes.NameTaken):
        changes.add_cloth(who=owner, name=added.name.upper(), **figures)
