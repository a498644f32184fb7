import pytest

from shoprepair.gear.curve import centreline
from shoprepair.gear.describe import planform
from shoprepair.pricing.tubes import LEADING_EDGE, key_of, place_of, tube
from tests.pricing.mending import KITE, WING, a_job, on_the_canopy, on_the_edge, on_the_strut, stocked

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _stocked(db):
    stocked()


@pytest.mark.parametrize("pattern", [WING, KITE])
def test_a_leading_edge_is_as_long_as_both_its_halves_and_mirrors_itself(pattern):
    drawn = planform(a_job(pattern).inflatable.pattern)
    line = tube(drawn, LEADING_EDGE)
    assert line.length_m == pytest.approx(2 * centreline(drawn).length_m)
    assert line.radius(0.2) == pytest.approx(line.radius(line.length_m - 0.2))
    assert line.radius(line.length_m / 2) == pytest.approx(drawn.leading_edge.radius(0))
    joints = [mark.at_m for mark in line.marks if mark.kind == "joint"]
    assert [line.length_m - at for at in reversed(joints)] == pytest.approx(joints)


def test_left_lies_before_the_centre_and_right_after_it():
    job = a_job()
    drawn = planform(job.inflatable.pattern)
    left, right = (on_the_edge(job, 0.4, "cut", side=side, mm=20) for side in ("left", "right"))
    length = tube(drawn, LEADING_EDGE).length_m
    assert place_of(left, drawn) + place_of(right, drawn) == pytest.approx(length, abs=0.002)
    assert place_of(left, drawn) < length / 2


def test_every_fitting_of_a_pattern_is_on_one_of_its_tubes():
    drawn = planform(a_job(KITE).inflatable.pattern)
    keys = [LEADING_EDGE]
    for index, strut in enumerate(drawn.struts):
        sides = ("centre",) if strut.is_centre else ("left", "right")
        keys += [f"strut-{side}-{index}" for side in sides]
    kinds = [mark.kind for key in keys for mark in tube(drawn, key).marks]
    for kind in ("inflation", "dump", "hose"):
        assert kinds.count(kind) == sum(fitting.kind == kind for fitting in drawn.fittings)


def test_a_strut_runs_from_the_leading_edge_to_its_pointed_end():
    job = a_job()
    line = tube(planform(job.inflatable.pattern), "strut-centre-0")
    assert (line.marks[0].name, line.marks[1].kind) == ("leading edge", "end")
    assert line.marks[1].span_m[1] == pytest.approx(line.length_m)
    damage = on_the_strut(job, 0.5, "cut", mm=20)
    assert place_of(damage, planform(job.inflatable.pattern)) == pytest.approx(line.length_m / 2, abs=0.002)


def test_a_canopy_is_no_tube():
    job = a_job()
    assert key_of(on_the_canopy(job, 0.5, "tear", mm=50)) is None
