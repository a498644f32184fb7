"""The tubes that are hold tested: their air, their cloth, and what a test pressure asks of it."""

from decimal import Decimal

from django.utils.translation import gettext

from shoprepair.gear.describe import description, is_linked, planform
from shoprepair.gear.models import Pattern
from shoprepair.jobs.models import Job
from shoprepair.mechanics.air import ZERO_CELSIUS_K, gauge_after
from shoprepair.mechanics.bladder import leading_edge_volume, tube_volume
from shoprepair.mechanics.description import Pattern as Description
from shoprepair.mechanics.description import Quantity, Sentence, Tube
from shoprepair.pricing.tubes import LEADING_EDGE, tube
from shoprepair.shop.settings import cases, current
from shoprepair.work.test_pressure import Casing, TestPressure, at_pressure

ALL = "all"
"""Tubes that share their air through hoses are tested at once."""
USUAL_STIFFNESS_N_PER_M = 645e3
"""Of polyester casing cloth whose own nobody has entered [assumed]."""


def tubes(pattern: Pattern) -> tuple[str, ...]:
    """Keys of all that can be tested by itself: one where the tubes share their air, else one a tube."""
    if is_linked(pattern):
        return (ALL,)
    struts = enumerate(planform(pattern).struts)
    return (
        LEADING_EDGE,
        *(
            f"strut-{side}-{index}"
            for index, strut in struts
            for side in (("centre",) if strut.is_centre else ("left", "right"))
        ),
    )


def label(pattern: Pattern, key: str) -> str:
    """'leading edge', 'first strut left', 'all tubes together'."""
    return gettext("all tubes together") if key == ALL else tube(planform(pattern), key).label


def name(pattern: Pattern, key: str) -> str:
    """The same within a sentence: 'leading edge', 'tubes together'."""
    return gettext("tubes together") if key == ALL else tube(planform(pattern), key).label


def volume(pattern: Pattern, key: str) -> float:
    """Air in m3 that is tested under a key."""
    of = description(pattern)
    if key == LEADING_EDGE:
        return leading_edge_volume(of)
    if key != ALL:
        return tube_volume(_strut(of, key))
    struts = sum(tube_volume(strut.tube) * (2 if strut.station else 1) for strut in of.struts)
    return leading_edge_volume(of) + struts


def radius(pattern: Pattern, key: str) -> float:
    """In m, at the widest place of what is tested under a key."""
    of = description(pattern)
    chosen = [_strut(of, key)] if key not in (ALL, LEADING_EDGE) else [of.leading_edge]
    if key == ALL:
        chosen += [strut.tube for strut in of.struts]
    return max(max(one.diameter_root_m, one.diameter_tip_m) for one in chosen) / 2


def stiffness(pattern: Pattern) -> float:
    """Of the casing cloth in N/m; the usual one where the library says none."""
    return description(pattern).casing.stiffness_n_per_m or USUAL_STIFFNESS_N_PER_M


def proposed_pa(job: Job) -> float:
    """The test pressure by the shop's settings, above the air around."""
    factor = Decimal(current().test_pressure_factor)
    return float(factor) * job.inflatable.pattern.rated_pressure_pa


def under_pressure(job: Job, key: str, pressure_pa: float) -> TestPressure:
    """What a test pressure asks of the casing. Raises ValueError where the closing seam would part."""
    pattern = job.inflatable.pattern
    of = description(pattern)
    casing = Casing(
        radius_m=radius(pattern, key),
        strength_n_per_m=of.casing.strength_warp_n_per_m,
        seam_efficiency=of.seam_efficiency,
    )
    return at_pressure(pressure_pa, rated_pa=of.rated_pressure_pa, casing=casing)


def in_the_sun(pressure_pa: float) -> Sentence:
    """What a sealed tube reaches that is left in the sun, by the shop's load cases and the gas law."""
    figures = cases()
    cool, hot = (each + ZERO_CELSIUS_K for each in (figures.fill_celsius, figures.hot_celsius))
    return Sentence(
        gettext(
            "Never leave it in the sun under test pressure: pumped at {cool} and warmed to {hot} it reaches "
            "{reached}."
        ),
        {
            "cool": Quantity(cool, "K"),
            "hot": Quantity(hot, "K"),
            "reached": Quantity(gauge_after(pressure_pa, cool, hot), "Pa"),
        },
    )


def _strut(of: Description, key: str) -> Tube:
    return of.struts[int(key.rpartition("-")[2])].tube
