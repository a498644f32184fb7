from decimal import Decimal

import pytest

from shoprepair.papers.context import printed_job
from shoprepair.papers.figures import of_inflatable, pressures, test_pressure
from tests.factories import InflatableFactory, KiteFactory, PatternFactory

# It is a figure, not a test.
test_pressure.__test__ = False


@pytest.fixture
def lines(make_job, shop, metric):
    def of(inflatable, units=metric, **fields):
        job = make_job(inflatable=inflatable, **fields)
        return {line.label: line for line in of_inflatable(job.inflatable, printed_job(job, shop), units)}

    return of


def values(lines):
    return {label: line.value for label, line in lines.items()}


def test_the_figures_of_an_inflatable_stand_in_the_shops_units(lines, shop):
    said = values(lines(InflatableFactory(serial="HM-20418", colour="red"), came_with=["bag"]))

    assert said == {
        "Serial": "HM-20418",
        "Colour": "red",
        "Area": "5.0 m²",
        "Span": "3.50 m",
        "Leading edge": "240 to 120 mm",
        "Centre strut": "144 to 96 mm",
        "First struts": "96 to 72 mm",
        "Support": "Held by handles",
        "Pumping": "Linked",
        "Casing": "polyester casing cloth, 170 g/m²",
        "Came with": "bag",
    }


def test_inches_are_said_where_the_shop_reads_inches(lines, imperial):
    said = values(lines(InflatableFactory(), units=imperial))

    assert said["Leading edge"] == "9 1/2 to 4 3/4 in"
    assert said["Span"] == "11 ft 6 in"


def test_both_units_are_said_where_they_differ(lines, metric):
    fat = InflatableFactory(pattern=PatternFactory())
    fat.pattern.tubes.filter(kind="leading edge").update(diameter_root_m=1.2, diameter_tip_m=0.5)

    assert values(lines(fat))["Leading edge"] == "1.20 m to 500 mm"


def test_what_nobody_measured_is_marked(lines):
    guessed = InflatableFactory(pattern=PatternFactory(assumed=["area_m2", "struts", "casing"]))

    assert {label for label, line in lines(guessed).items() if line.assumed} == {
        "Area",
        "Centre strut",
        "First struts",
        "Casing",
    }


def test_weak_cloth_and_a_wet_arrival_are_said_and_sound_and_dry_are_not(lines):
    said = values(lines(InflatableFactory(condition="brittle"), arrived_wet=True))

    assert (said["Cloth"], said["Arrived"]) == ("brittle", "wet or sandy")
    assert not {"Cloth", "Arrived"} & set(values(lines(InflatableFactory(), arrived_wet=False)))


def test_the_hoop_tension_of_the_test_is_pressure_times_radius(db, metric):
    # Membrane theory of a thin tube: 50 000 Pa in 0.24 m across make 6000 N/m.
    figures = pressures(PatternFactory(), Decimal("1.00"), metric)

    assert [line.value for line in figures] == ["0.5 bar", "0.50 bar", "6.00 kN/m"]
    assert [line.label for line in figures] == [
        "rated, as written",
        "hold test, rated × 1.00",
        "hoop tension at the centre in the test",
    ]


def test_the_shops_factor_raises_test_pressure_and_tension_alike(db, metric):
    _, test, hoop = pressures(PatternFactory(), Decimal("1.20"), metric)

    assert (test.label, test.value, hoop.value) == ("hold test, rated × 1.20", "0.60 bar", "7.20 kN/m")


def test_a_rated_pressure_is_kept_as_written_with_the_shops_unit_beside_it(db, imperial):
    rated, test, _ = pressures(PatternFactory(), Decimal("1.00"), imperial)

    assert (rated.value, rated.label, test.value) == ("0.5 bar", "rated, as written, 7.3 psi", "7.3 psi")


def test_the_steps_and_the_figures_speak_of_one_test_pressure(db, metric):
    pattern = KiteFactory()

    assert (
        test_pressure(pattern, Decimal("1.10"), metric)
        == pressures(pattern, Decimal("1.10"), metric)[1].value
    )
