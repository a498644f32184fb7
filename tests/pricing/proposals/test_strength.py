"""Every proposed lay-up against its place, reckoned here from first formulas and by none of its own code."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shoprepair.gear import describe
from shoprepair.gear.models import Inflatable, Pattern, Tube
from shoprepair.jobs.assessment import assess_damage
from shoprepair.jobs.models import Damage, Job
from shoprepair.mechanics.description import DEFAULT_CASES
from shoprepair.pricing.layup import Layup
from shoprepair.pricing.proposals.asked import asked
from shoprepair.pricing.proposals.layups import proposed
from shoprepair.pricing.resewing import Seam
from tests.pricing.mending import stocked

pytestmark = pytest.mark.django_db
ATMOSPHERE_PA = 101_325.0
SEWN_ON_A_TUBE = (
    "casing-patch-small",
    "casing-patch",
    "casing-scuff-ply",
    "le-burst-rebuild",
    "segment-seam-resew",
    "closing-seam-resew",
)
tubes = st.sampled_from(["leading edge", "strut"])
cuts = st.fixed_dictionaries(
    {
        "station": st.floats(0, 1),
        "length_m": st.floats(0.002, 0.4),
        "direction": st.sampled_from(["along", "around", "at an angle", "not said"]),
        "angle_deg": st.floats(0, 90),
    }
)


@pytest.fixture(params=[1, 2], ids=["one ply", "two plies"])
def patterns(request, db):
    """The whole library, as it is or with its casings doubled from end to end."""
    stocked()
    if request.param == 2:
        Tube.objects.update(doublings=[[0, 1]])
        describe.forget()
    found = Pattern.objects.select_related("casing", "canopy", "window").prefetch_related("tubes")
    return list(found)


def tube_of(pattern, element):
    """The leading edge, or the strut nearest the centre."""
    return min((t for t in pattern.tubes.all() if t.kind == element), key=lambda tube: tube.station)


def plies_at(pattern, share, element):
    return 2 if any(low <= share <= high for low, high in tube_of(pattern, element).doublings) else 1


def damage_of(pattern, cut, element="leading edge"):
    """A cut, unsaved, at a station of the leading edge or at the same share of a strut."""
    job = Job(inflatable=Inflatable(pattern=pattern))
    facts = {"strut": 0, "fraction": cut["station"]} if element == "strut" else {}
    kind = "tear" if element == "canopy" else "cut"
    damage = Damage(
        job=job, number=1, x_m=0, y_m=0, element=element, side="right", kind=kind, **(cut | facts)
    )
    assess_damage(damage, DEFAULT_CASES)
    return damage


def hoop_n_per_m(pattern, share, element):
    """Gauge pressure times radius, at the rating and on a hot beach: filled at 20 °C, warmed to 50 °C."""
    tube = tube_of(pattern, element)
    radius = (tube.diameter_root_m + share * (tube.diameter_tip_m - tube.diameter_root_m)) / 2
    hot = (pattern.rated_pressure_pa + ATMOSPHERE_PA) * 323.15 / 293.15 - ATMOSPHERE_PA
    return max(pattern.rated_pressure_pa, hot) * radius


def strength_n_per_m(layup, weaker_cloth, existing):
    """0.85 of each ply that the needle went through, and 1.24 thread strengths a stitch a row."""
    loops = layup.rows / layup.pitch_m * layup.thread.strength_n * 1.24
    plies = layup.plies_inside + layup.plies_outside if isinstance(layup, Layup) else existing + layup.tapes
    return min(0.85 * weaker_cloth * plies, loops)


def test_every_lay_up_carries_the_load_of_its_place(patterns):
    @settings(max_examples=120, deadline=None, derandomize=True)
    @given(st.sampled_from(patterns), cuts, st.sampled_from(SEWN_ON_A_TUBE), tubes)
    def holds(pattern, cut, code, element):
        plies = plies_at(pattern, cut["station"], element)
        damage = damage_of(pattern, cut, element)
        demand = asked(damage)
        layup = proposed(code, demand)
        cloth = pattern.casing
        weaker = min(cloth.strength_warp_n_per_m, cloth.strength_weft_n_per_m)
        stronger = max(cloth.strength_warp_n_per_m, cloth.strength_weft_n_per_m)
        worst = damage.assessment["result"]["demand_n_per_m"]
        assert worst >= hoop_n_per_m(pattern, cut["station"], element) * (1 - 1e-9)
        needed = max(3 * worst, pattern.seam_efficiency * stronger * plies)
        assert strength_n_per_m(layup, weaker, plies) >= needed * (1 - 1e-9)
        assert layup.strength_n_per_m == pytest.approx(strength_n_per_m(layup, weaker, plies))
        assert layup.required_n_per_m == pytest.approx(needed)
        assert layup.shortfall == 0

    holds()


def test_every_patch_covers_its_damage_and_seats_its_rows(patterns):
    @settings(max_examples=80, deadline=None, derandomize=True)
    @given(st.sampled_from(patterns), cuts)
    def covers(pattern, cut):
        plies = plies_at(pattern, cut["station"], "leading edge")
        layup, demand = (
            proposed("casing-patch", asked(damage_of(pattern, cut))),
            asked(damage_of(pattern, cut)),
        )
        along, around = demand.extent_m
        length, angle = cut["length_m"], math.radians(cut["angle_deg"])
        assert math.hypot(along, around) >= length * (1 - 1e-9)
        if cut["direction"] == "at an angle":
            assert (along, around) == pytest.approx((length * math.cos(angle), length * math.sin(angle)))
        beyond = 0.015 + 0.006 * (layup.rows - 1) + 0.005
        assert layup.outline_m[0] >= along + 2 * max(0.03, beyond) - 1e-6
        assert layup.outline_m[1] >= min(around + 2 * max(0.03, beyond), demand.around_m) - 1e-6
        assert layup.outline_m[1] <= demand.around_m + 1e-9
        assert layup.corner_m >= 0.02
        if plies == 2:
            assert layup.plies >= 3
        assert layup.plies_inside >= 1
        assert layup.plies_outside >= 1

    covers()


def test_more_load_never_gives_a_weaker_lay_up(patterns):
    @settings(max_examples=80, deadline=None, derandomize=True)
    @given(st.sampled_from(patterns), cuts, st.floats(1, 8), st.sampled_from(SEWN_ON_A_TUBE))
    def grows(pattern, cut, times, code):
        demand = asked(damage_of(pattern, cut))
        less = proposed(code, demand)
        more = proposed(code, replace(demand, tension_n_per_m=times * demand.tension_n_per_m))
        assert more.strength_n_per_m >= less.strength_n_per_m * (1 - 1e-12)
        assert more.rows >= less.rows

    grows()


def test_canopy_patches_and_seams_carry_the_canopy_and_tape_is_only_said_to_hold_where_it_does(patterns):
    @settings(max_examples=60, deadline=None, derandomize=True)
    @given(st.sampled_from(patterns), cuts)
    def holds(pattern, cut):
        damage = damage_of(pattern, cut, "canopy")
        demand = asked(damage)
        worst = damage.assessment["result"]["demand_n_per_m"]
        cloth = pattern.canopy
        weaker = min(cloth.strength_warp_n_per_m, cloth.strength_weft_n_per_m)
        stronger = max(cloth.strength_warp_n_per_m, cloth.strength_weft_n_per_m)
        needed = max(3 * worst, pattern.seam_efficiency * stronger)
        for code in ("canopy-patch-sewn", "canopy-seam-resew"):
            assert strength_n_per_m(proposed(code, demand), weaker, 1) >= needed * (1 - 1e-9)
        tape = proposed("canopy-tape", demand)
        decay = math.sqrt(2 * 0.5e6 / (0.0001 * cloth.stiffness_n_per_m))
        lasting = 0.2 * 2 * 2 * 0.5e6 / decay * math.tanh(decay * tape.overlap_m / 2)
        assert not tape.holds or lasting >= worst * (1 - 1e-9)

    holds()


def test_a_resewn_seam_is_a_seam_and_a_patch_a_patch(patterns):
    demand = asked(damage_of(patterns[0], {"station": 0.2, "length_m": 0.05}))
    assert isinstance(proposed("closing-seam-resew", demand), Seam)
    assert isinstance(proposed("casing-patch", demand), Layup)
    assert proposed("bladder-replace-le", demand) is None
