from decimal import Decimal

import pytest

from shoprepair.gear.describe import planform
from shoprepair.pricing import access, proposals, rules
from shoprepair.pricing.models import Repair
from shoprepair.pricing.tubes import LEADING_EDGE, tube
from shoprepair.shop.units import Units, say
from tests.pricing.mending import a_job, on_the_canopy, on_the_edge, on_the_strut, one, stocked

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(db):
    stocked()
    return a_job()


def planned(job):
    proposals.propose_job(job)
    return access.plan(job)


def test_a_canopy_needs_no_opening(job):
    on_the_canopy(job, 0.5, "tear", mm=90)
    plan = planned(job)
    assert (plan.openings, plan.minutes, plan.minutes_saved) == ((), 0, 0)
    assert access.drawing(job) == ""


def test_one_cut_takes_one_least_opening_beside_it(job):
    on_the_edge(job, 0.3, "cut", mm=35, through_bladder="no")
    (opening,) = planned(job).openings
    assert (opening.tube_key, opening.damages) == (LEADING_EDGE, (1,))
    assert opening.length_m == pytest.approx(0.15)
    assert opening.minutes == Decimal("24.0")  # 18 + 40 x 0.15
    assert opening.bladder_out


def test_neighbours_share_an_opening_and_its_time_is_counted_once(job):
    on_the_edge(job, 0.25, "cut", mm=35, through_bladder="yes")
    on_the_edge(job, 0.35, "hole", mm=20, through_bladder="no")
    plan = planned(job)
    (opening,) = plan.openings
    assert opening.damages == (1, 2)
    assert len(opening.repairs) == 3  # two patches and a bladder
    assert plan.minutes_saved == Decimal("24.0")


def test_the_leading_edge_is_one_line_through_the_centre(job):
    on_the_edge(job, 0.06, "cut", mm=20, side="left", through_bladder="no")
    line = tube(planform(job.inflatable.pattern), LEADING_EDGE)
    (reached,) = planned(job).tubes[0].reached
    assert 0 < line.length_m / 2 - reached.middle_m < 0.2


def test_each_tube_is_opened_for_itself(job):
    on_the_edge(job, 0.3, "cut", mm=35, through_bladder="no")
    on_the_strut(job, 0.5, "cut", mm=35, through_bladder="no")
    assert {opening.tube_key for opening in planned(job).openings} == {LEADING_EDGE, "strut-centre-0"}


def test_no_opening_lies_over_a_valve_or_a_strut_joint(job):
    for station in (0.02, 0.2, 0.45, 0.7):
        for side in ("left", "right"):
            on_the_edge(job, station, "cut", mm=40, side=side, through_bladder="no")
    plan = planned(job)
    assert plan.openings
    for one_tube in plan.tubes:
        for opening in one_tube.openings:
            for low, high in one_tube.tube.forbidden:
                assert opening.end_m <= low + 1e-9 or opening.start_m >= high - 1e-9


def test_every_repair_is_reached_through_some_opening_or_said_to_be_out_of_reach(job):
    for station in (0.02, 0.1, 0.3, 0.5, 0.9):
        on_the_edge(job, station, "burst")
    plan = planned(job)
    served = {pk for opening in plan.openings for pk in opening.repairs}
    inside = {r.pk for r in proposals.repairs_of_job(job) if r.preferred and r.operation.needs_opening}
    assert served | set(plan.unreachable_repairs) == inside


def test_a_repair_out_of_reach_is_said_in_a_sentence_and_the_others_are_planned(job):
    rules.current()
    on_the_edge(job, 0.3, "cut", mm=35, through_bladder="no")
    on_the_edge(job, 0.0, "cut", mm=35, side="centre", through_bladder="no")
    short = rules.current()
    short.opening_reach_m = 0.02
    proposals.propose_job(job)
    plan = access.plan(job, short)
    assert len(plan.unreachable) == 1
    assert "damage 2" in say(plan.unreachable[0], Units())
    assert [opening.damages for opening in plan.openings] == [(1,)]


def test_only_what_is_advised_is_opened_for(job, counter):
    damage = on_the_edge(job, 0.3, "leak")
    repairs = proposals.propose(damage)
    proposals.drop(one(repairs, "bladder-patch"), who=counter)
    proposals.drop(one(repairs, "bladder-replace-le"), who=counter)
    assert access.plan(job).openings == ()


def test_an_opening_says_where_it_lies_as_a_tape_would_measure_it(job):
    on_the_edge(job, 0.3, "cut", mm=35, side="left", through_bladder="no")
    (opening,) = planned(job).openings
    said = say(opening.words, Units())
    assert said.startswith("Unpick 150 mm of the closing seam on the leading edge, from ")
    assert "left of the centre and draw its bladder, for damage 1." in said


def test_opening_asks_as_often_for_many_damages_as_for_one(job, django_assert_max_num_queries):
    for station in (0.1, 0.3, 0.5, 0.7):
        on_the_edge(job, station, "cut", mm=35)
    proposals.propose_job(job)
    price = rules.current()
    planform(job.inflatable.pattern)
    with django_assert_max_num_queries(5):
        access.plan(job, price)


def test_repairs_of_a_removed_damage_are_not_opened_for(job, counter):
    from shoprepair.jobs import damages

    damage = on_the_edge(job, 0.3, "cut", mm=35)
    proposals.propose_job(job)
    damages.remove(damage, counter)
    assert access.plan(job).openings == ()
    assert Repair.objects.filter(damage=damage).exists()
