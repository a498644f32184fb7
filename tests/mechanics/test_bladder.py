from math import inf

import pytest

from shoprepair.mechanics import air
from shoprepair.mechanics.assessment import assess
from shoprepair.mechanics.bladder import leading_edge_volume, leaking_volume, tube_volume
from shoprepair.mechanics.description import Band, Element, Finding, FindingKind, Place, Softens, Tube
from tests.mechanics.patterns import KITE, TAPERED_KITE, THREE_STRUT_WING, WING
from tests.mechanics.wild import on_strut, on_the_leading_edge

VALVE = Place(element=Element.VALVE, station=0.1, side="right")
HOSE = Place(element=Element.HOSE, station=0.0)


def leak(softens=Softens.UNKNOWN, seconds=None):
    return Finding(kind=FindingKind.LEAK, softens=softens, seconds_to_half=seconds)


@pytest.mark.parametrize(
    ("softens", "ratio", "band"),
    [
        (Softens.DAY, 1 / 12, Band.WATCH),
        (Softens.HOUR, 2.0, Band.GROUNDED),
        (Softens.MINUTES, 24.0, Band.GROUNDED),
        (Softens.UNKNOWN, 24.0, Band.GROUNDED),
    ],
)
def test_a_leak_is_measured_against_a_session_of_two_hours(softens, ratio, band):
    """Session 2 h, and the time behind each word: assumed."""
    judged = assess(WING, VALVE, leak(softens))
    assert judged.load_ratio == pytest.approx(ratio)
    assert judged.band is band


def test_how_fast_it_softens_when_nobody_said_is_taken_as_minutes_and_said():
    assert "taken as within minutes" in assess(WING, HOSE, leak()).reasons[0].text


def test_seconds_measured_win_over_words():
    judged = assess(WING, VALVE, leak(Softens.MINUTES, seconds=14400))
    assert judged.load_ratio == pytest.approx(0.5)
    assert judged.band is Band.REPAIR_FIRST
    assert not judged.reasons


def test_two_readings_make_the_seconds():
    """0.50 to 0.45 bar in ten minutes at 20 °C: half in 57 minutes, so a session asks twice that."""
    seconds = air.seconds_to_half(50000, 293.15, 45000, 293.15, 600)
    assert seconds == pytest.approx(3412, abs=1)
    assert assess(WING, VALVE, leak(seconds=seconds)).load_ratio == pytest.approx(7200 / seconds)


def test_the_pinhole_is_the_one_that_halves_the_pressure_in_that_time():
    judged = assess(WING, VALVE, leak(seconds=3600))
    volume = leaking_volume(WING, VALVE)
    back = air.time_to_gauge(volume, judged.pinhole_m, 50000, 25000, 293.15)
    assert back == pytest.approx(3600)


def test_linked_tubes_share_a_leak_and_separate_ones_do_not():
    linked = leaking_volume(KITE, on_strut(1))
    assert linked == leaking_volume(KITE, VALVE) > leading_edge_volume(KITE)
    separate = leaking_volume(THREE_STRUT_WING, on_strut(1))
    assert separate == tube_volume(THREE_STRUT_WING.struts[1].tube)
    assert leaking_volume(TAPERED_KITE, VALVE) == leading_edge_volume(TAPERED_KITE)


def test_a_tube_is_a_truncated_cone():
    straight = Tube(diameter_root_m=0.2, diameter_tip_m=0.2, length_m=1.0)
    assert tube_volume(straight) == pytest.approx(3.14159265 * 0.01)


def test_a_burst_holds_nothing():
    judged = assess(WING, on_the_leading_edge(0.3), Finding(kind=FindingKind.BURST))
    assert (judged.load_ratio, judged.urgency, judged.band) == (inf, 100, Band.GROUNDED)
    assert judged.demand_n_per_m > 0


def test_a_cut_hose_or_a_cracked_valve_is_a_leak():
    torn = Finding(kind=FindingKind.CUT, length_m=0.01, softens=Softens.HOUR)
    assert assess(WING, HOSE, torn).load_ratio == pytest.approx(2)
    cracked = Finding(kind=FindingKind.CRACK, length_m=0.01, softens=Softens.HOUR)
    assert assess(WING, VALVE, cracked).load_ratio == pytest.approx(2)


def test_a_stained_hose_is_nothing_to_fear():
    judged = assess(WING, HOSE, Finding(kind=FindingKind.STAIN))
    assert (judged.urgency, judged.band) == (0, Band.WATCH)


@pytest.mark.parametrize("seconds", [0, -1, inf, float("nan")])
def test_a_leak_takes_some_time(seconds):
    with pytest.raises(ValueError, match="time to half pressure"):
        assess(WING, VALVE, leak(seconds=seconds))
