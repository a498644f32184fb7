import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shoprepair.mechanics import air
from shoprepair.work.sealed import TestedTube, brought_back, check_tube, expected
from tests.work.holding import BAR, ICE, RIGID, SEA_LEVEL, TUBE, gauge, later, reading

unhurried = settings(deadline=None, max_examples=30)
celsius = st.floats(-5, 60)
tubes = st.builds(
    TestedTube,
    volume_m3=st.floats(0.01, 0.5),
    radius_m=st.floats(0.03, 0.2),
    stiffness_n_per_m=st.floats(200e3, 1200e3),
)


@pytest.mark.parametrize(
    ("bar", "from_c", "to_c", "pascal"),
    [(0.5, 15, 50, 68380.6177), (0.5, 30, 15, 42512.3701), (0.6, 25, 5, 49178.266)],
)
def test_a_sealed_tube_that_does_not_give_follows_the_gas_law(bar, from_c, to_c, pascal):
    """Ideal gas at constant volume (Gay-Lussac): 0.5 bar gains 36.761 % from 15 to 50 °C."""
    assert expected(reading(bar, from_c), to_c + ICE, SEA_LEVEL, RIGID) == pytest.approx(pascal, rel=1e-6)


@pytest.mark.parametrize(("height", "bar"), [(1000, 0.614504371), (2000, 0.718297981), (3000, 0.812164735)])
def test_a_sealed_tube_hardens_on_the_mountain(height, bar):
    """Standard atmosphere of ISO 2533, the same temperature."""
    _, outside, _ = air.standard_atmosphere(height)
    assert expected(reading(0.5), 20 + ICE, outside, RIGID) / BAR == pytest.approx(bar, rel=1e-5)


def test_cloth_that_gives_takes_a_little_off_what_the_sun_adds():
    warm = [expected(reading(0.5, 15), 50 + ICE, SEA_LEVEL, tube) for tube in (RIGID, TUBE)]
    assert 0.95 * warm[0] < warm[1] < warm[0]


@unhurried
@given(tubes, celsius, celsius)
def test_what_the_gauge_shows_agrees_with_the_law_solved_by_trial(tube, from_c, to_c):
    first = reading(0.5, from_c)
    assert expected(first, to_c + ICE, SEA_LEVEL, tube) == pytest.approx(
        gauge(first, to_c + ICE, tube), abs=0.01
    )


@unhurried
@given(tubes, celsius, celsius, st.floats(-400, 3000))
def test_a_sealed_tube_brought_back_has_its_first_pressure_again(tube, from_c, to_c, height_m):
    first = reading(0.5, from_c, height_m=0.0)
    _, outside, _ = air.standard_atmosphere(height_m)
    carried = reading(expected(first, to_c + ICE, outside, tube) / BAR, to_c, height_m=height_m)
    assert brought_back(first, carried, tube) == pytest.approx(first.pressure_pa, abs=0.01)


def test_what_is_brought_back_tells_how_much_air_is_left():
    first = reading(0.5, 15)
    half = later(first, 1, 50 + ICE, RIGID, left=0.9)
    assert brought_back(first, half, RIGID) == pytest.approx(
        0.9 * (SEA_LEVEL + 0.5 * BAR) - SEA_LEVEL, rel=1e-6
    )


@pytest.mark.parametrize("wrong", ["volume_m3", "radius_m", "stiffness_n_per_m"])
def test_a_tube_of_no_size_is_refused(wrong):
    figures = {"volume_m3": 0.09, "radius_m": 0.1, "stiffness_n_per_m": 645e3, wrong: 0.0}
    with pytest.raises(ValueError, match="must be more than zero"):
        check_tube(TestedTube(**figures))
