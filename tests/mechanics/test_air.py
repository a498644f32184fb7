from math import inf, pi, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from shoprepair.mechanics import air
from tests.mechanics.wild import unhurried

BAR, WARM = 100000.0, 293.15
VOLUME = 0.0924


def standard_ml_per_min(leak_pa_m3_s, leak_k, at_k):
    return leak_pa_m3_s / leak_k * at_k / 101325 * 6e7


@pytest.mark.parametrize(
    ("bar", "from_c", "to_c", "pascal"),
    [(0.5, 15, 50, 68380.6177), (0.5, 30, 15, 42512.3701), (0.6, 25, 5, 49178.266)],
)
def test_a_closed_tube_hardens_in_the_sun_and_softens_in_the_water(bar, from_c, to_c, pascal):
    """Ideal gas at constant volume; 15 to 50 °C gains 36.761 %, 30 to 15 °C loses 14.975 %."""
    gauge = air.gauge_after(bar * BAR, from_c + 273.15, to_c + 273.15)
    assert gauge == pytest.approx(pascal, rel=1e-8)


@pytest.mark.parametrize(("height", "bar"), [(1000, 0.614504371), (2000, 0.718297981), (3000, 0.812164735)])
def test_a_tube_pumped_at_the_sea_hardens_on_the_mountain(height, bar):
    _, outside, _ = air.standard_atmosphere(height)
    assert air.gauge_after(0.5 * BAR, WARM, WARM, to_ambient_pa=outside) / BAR == pytest.approx(bar, rel=1e-6)


@pytest.mark.parametrize(
    ("height", "pascal"), [(0, 101325), (1000, 89874.6), (2000, 79495.2), (3000, 70108.5), (5000, 54019.9)]
)
def test_the_standard_atmosphere(height, pascal):
    """ISO 2533 / US Standard Atmosphere 1976, geopotential height, as public test suites quote them."""
    kelvin, outside, density = air.standard_atmosphere(height)
    assert outside == pytest.approx(pascal, rel=2e-6)
    assert kelvin == pytest.approx(288.15 - 0.0065 * height)
    assert density == pytest.approx(outside / (287.05287 * kelvin))


def test_the_top_of_the_lowest_layer():
    """22632.06 Pa at 11 km in the US Standard Atmosphere 1976, which differs from ISO 2533 by 2e-6 here."""
    assert air.standard_atmosphere(11000)[1] == pytest.approx(22632.06, rel=2e-6)


def test_a_leak_from_two_readings():
    """92.4 l from 0.50 to 0.45 bar in 600 s at 20 °C: 424.851 (0 °C) or 455.959 (20 °C) standard ml/min."""
    leak = air.leak_rate(VOLUME, 0.50 * BAR, WARM, 0.45 * BAR, WARM, 600)
    assert leak == pytest.approx(0.77)
    assert standard_ml_per_min(leak, WARM, 273.15) == pytest.approx(424.851024)
    assert standard_ml_per_min(leak, WARM, WARM) == pytest.approx(455.958549)
    at_zero = air.leak_rate(VOLUME, 0.50 * BAR, WARM, 0.45 * BAR, WARM, 600, reference_k=273.15)
    assert at_zero / 101325 * 6e7 == pytest.approx(424.851024)


def test_one_kelvin_cooler_looks_like_a_tenth_of_that_leak():
    leak = air.leak_rate(VOLUME, 0.50 * BAR, WARM, 0.45 * BAR, WARM - 1, 600)
    assert leak == pytest.approx(0.692868218)
    assert standard_ml_per_min(leak, WARM, 273.15) == pytest.approx(382.293211)
    per_kelvin = (0.5 * BAR + 101325) / WARM
    assert per_kelvin == pytest.approx(516.203)


def test_the_vacuum_decay_example_of_the_code_of_federal_regulations():
    """40 CFR 1065.644: 2 l, 25.3 to 50.6 kPa, 293.15 K, 70 s give 0.00030 mol/s (formula from memory)."""
    leak = air.leak_rate(0.002, 0, WARM, 0, WARM, 70, ambient_start_pa=50600, ambient_end_pa=25300)
    assert leak / (8.314472 * WARM) == pytest.approx(2.96570468e-4)


def test_a_cloth_tube_gives_way_and_so_leaks_more_than_a_rigid_vessel():
    """ASTM E2930 does not apply to deformable vessels; radius 0.1 m, 645 kN/m: + 4.457636 %."""
    give = air.give_of_cloth(0.1, 645e3)
    assert give == pytest.approx(2.94573643e-7)
    assert 1 + (101325 + 0.5 * BAR) * give == pytest.approx(1.04457636, rel=1e-6)


@pytest.mark.parametrize(
    ("bar", "flow", "ml_per_min"),
    [
        (0.3, 1.27422669e-4, 5916.22163),
        (0.5, 1.63378939e-4, 7585.66757),
        (1.0, 2.27673146e-4, 10570.8411),
    ],
)
def test_air_through_a_hole_of_one_millimetre(bar, flow, ml_per_min):
    """Compressible flow, choked below a ratio of 0.528; discharge 0.61, sharp-edged (from memory)."""
    through = air.orifice_flow(0.001, bar * BAR, WARM)
    assert through == pytest.approx(flow, rel=1e-7)
    assert through * 287.05287 * 273.15 / 101325 * 6e7 == pytest.approx(ml_per_min, rel=1e-7)


def test_taking_air_as_a_liquid_overstates_the_flow_by_a_quarter():
    """2.03165126e-4 kg/s at 0.5 bar, + 24 %."""
    density = 1.5 * BAR / (287.05287 * WARM)
    as_liquid = 0.61 * pi * 0.001**2 / 4 * sqrt(2 * density * 0.5 * BAR)
    assert as_liquid == pytest.approx(2.03165126e-4, rel=0.01)
    assert as_liquid / air.orifice_flow(0.001, 0.5 * BAR, WARM) == pytest.approx(1.24, abs=0.01)


def test_beyond_nine_tenths_of_a_bar_the_flow_grows_only_with_the_pressure():
    """Choked above 0.904760 bar gauge at sea level."""
    inside = [1.013250 + bar for bar in (0.905, 1.2)]
    flows = [air.orifice_flow(0.001, (p - 1.013250) * BAR, WARM) for p in inside]
    assert flows[1] / flows[0] == pytest.approx(inside[1] / inside[0])


def test_a_leak_as_one_round_hole_and_back():
    """424.851 standard ml/min at a mean of 0.475 bar: 0.239611 mm; which takes 600.203 s for the 0.05 bar."""
    flow = 0.77 / (287.05287 * WARM)
    hole = air.pinhole_diameter(flow, 0.475 * BAR, WARM)
    assert hole * 1000 == pytest.approx(0.239611, abs=1e-6)
    assert air.time_to_gauge(VOLUME, hole, 0.50 * BAR, 0.45 * BAR, WARM) == pytest.approx(600.203, abs=0.001)


def test_a_hole_of_half_a_millimetre_halves_the_pressure_in_a_quarter_of_an_hour():
    """0.5 to 0.25 bar, 92.4 l: 783.850685 s."""
    seconds = air.time_to_gauge(VOLUME, 0.0005, 0.5 * BAR, 0.25 * BAR, WARM)
    assert seconds == pytest.approx(783.850685, rel=1e-7)
    assert air.pinhole_from_time(VOLUME, seconds, 0.5 * BAR, 0.25 * BAR, WARM) == pytest.approx(0.0005)


@pytest.mark.parametrize(("start", "end"), [(0.5, 0.25), (1.4, 0.2), (0.3, 0.001)])
def test_the_time_to_empty_agrees_with_quadrature(start, end):
    slowness = quad(
        lambda p: 1 / air.orifice_flow(0.001, p, WARM), end * BAR, start * BAR, points=[90476], limit=200
    )[0]
    expected = VOLUME / (287.05287 * WARM) * slowness
    assert air.time_to_gauge(VOLUME, 0.001, start * BAR, end * BAR, WARM) == pytest.approx(expected, rel=1e-5)


def test_two_readings_carried_on_to_half_pressure():
    hole = 0.0004
    seconds = air.time_to_gauge(VOLUME, hole, 0.5 * BAR, 0.44 * BAR, WARM)
    half = air.time_to_gauge(VOLUME, hole, 0.5 * BAR, 0.25 * BAR, WARM)
    assert air.seconds_to_half(0.5 * BAR, WARM, 0.44 * BAR, WARM, seconds) == pytest.approx(half)


def test_a_tube_that_only_cooled_down_does_not_leak():
    cooler = air.gauge_after(0.5 * BAR, WARM, WARM - 5)
    assert air.seconds_to_half(0.5 * BAR, WARM, cooler + 1, WARM - 5, 600) == inf


@pytest.mark.parametrize(
    ("beaufort", "speed", "pascal"),
    [(4, 5.5, 18.528125), (5, 8.0, 39.2), (6, 10.8, 71.442), (7, 13.9, 118.341125), (8, 17.2, 181.202)],
)
def test_the_pressure_of_the_wind_by_the_beaufort_scale(beaufort, speed, pascal):
    """Lower limits of the scale in m/s, V ≈ 0.836 B^1.5 to the nearest."""
    assert air.wind_pressure(speed) == pytest.approx(pascal)
    assert 0.836 * (beaufort - 0.5) ** 1.5 == pytest.approx(speed, abs=0.3)


@unhurried
@given(st.floats(100, 150000), st.floats(100, 150000), st.floats(1e-4, 5e-3))
def test_a_larger_hole_empties_sooner(one, other, hole):
    low, high = sorted((one, other))
    if high - low < 1:
        return
    seconds = air.time_to_gauge(VOLUME, hole, high, low, WARM)
    assert air.time_to_gauge(VOLUME, 2 * hole, high, low, WARM) == pytest.approx(seconds / 4)


@pytest.mark.parametrize(
    "ask",
    [
        lambda: air.gauge_after(-1, 290, 300),
        lambda: air.gauge_after(1, 0, 300),
        lambda: air.gauge_after(1, 290, 300, to_ambient_pa=-1),
        lambda: air.standard_atmosphere(12000),
        lambda: air.standard_atmosphere(float("nan")),
        lambda: air.leak_rate(0, 5e4, 293, 4e4, 293, 60),
        lambda: air.leak_rate(1, 5e4, 293, 4e4, 293, 0),
        lambda: air.leak_rate(1, 5e4, 0, 4e4, 293, 60),
        lambda: air.give_of_cloth(0.1, 0),
        lambda: air.orifice_flow(-0.001, 5e4, 293),
        lambda: air.pinhole_diameter(-1e-6, 5e4, 293),
        lambda: air.pinhole_diameter(1e-6, 0, 293),
        lambda: air.time_to_gauge(1, 0.001, 4e4, 5e4, 293),
        lambda: air.time_to_gauge(1, 0.001, 4e4, 0, 293),
        lambda: air.time_to_gauge(1, 0, 5e4, 4e4, 293),
        lambda: air.pinhole_from_time(1, 0, 5e4, 4e4, 293),
        lambda: air.seconds_to_half(5e4, 293, 0, 293, 60),
        lambda: air.seconds_to_half(0, 293, 0, 293, 60),
        lambda: air.wind_pressure(-1),
    ],
)
def test_what_no_air_can_do_is_refused_in_a_sentence(ask):
    with pytest.raises(ValueError, match=r"^[A-Z].*\.$"):
        ask()
