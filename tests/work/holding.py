"""Tubes and readings for the hold tests: sealed ones, leaking ones, by the gas law and no code of ours."""

from datetime import UTC, datetime, timedelta

from scipy.optimize import brentq

from shoprepair.work.hold_test import Allowance, judge
from shoprepair.work.readings import Reading
from shoprepair.work.sealed import TestedTube

BAR, ICE = 1e5, 273.15
SEA_LEVEL = 101325.0
MORNING = datetime(2026, 11, 24, 9, 0, tzinfo=UTC)
TUBE = TestedTube(volume_m3=0.0924, radius_m=0.1, stiffness_n_per_m=645e3)
RIGID = TestedTube(volume_m3=0.0924, radius_m=0.1, stiffness_n_per_m=1e15)
USUAL = Allowance(share_per_hour=0.02, least_s=1800)


def reading(bar, celsius=20.0, *, minutes=0.0, at=None, **said):
    return Reading(
        pressure_pa=bar * BAR,
        temperature_k=celsius + ICE,
        at=at or MORNING + timedelta(minutes=minutes),
        **said,
    )


def judged(*readings, tube=TUBE, allowance=USUAL, **said):
    return judge(readings, tube=tube, allowance=allowance, **said)


def gauge(first, kelvin, tube, *, left=1.0):
    """What the gauge shows in Pa when the share `left` of the first air is in the swelling tube."""
    air = (first.pressure_pa + SEA_LEVEL) / first.temperature_k * left

    def too_much(pascal):
        size = 1 + tube.give_per_pa * (pascal - first.pressure_pa)
        return (pascal + SEA_LEVEL) * size / kelvin - air

    return brentq(too_much, -SEA_LEVEL, 5e5, xtol=1e-9)


def later(first, hours, kelvin, tube, *, left=1.0):
    return Reading(
        pressure_pa=max(0.0, gauge(first, kelvin, tube, left=left)),
        temperature_k=kelvin,
        at=first.at + timedelta(hours=hours),
    )


def words(sentence):
    """The text with its figures left open."""
    return sentence.text
