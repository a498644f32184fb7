import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shoprepair.jobs import damages
from shoprepair.mechanics.description import Element, Place
from shoprepair.pricing import proposals
from shoprepair.pricing.models import Operation
from shoprepair.pricing.proposals import layup_of
from shoprepair.shop.units import Typed
from tests.pricing.mending import (
    KITE,
    a_job,
    advised,
    codes,
    on_the_canopy,
    on_the_edge,
    on_the_strut,
    one,
    put,
    stocked,
)

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _stocked(db):
    stocked()


@pytest.fixture
def job():
    return a_job()


def test_a_cut_in_a_wing_is_proposed_a_patch_that_carries_the_load_there(job):
    damage = on_the_edge(job, 0.1, "cut", mm=35, direction="around", through_bladder="no")
    (repair,) = proposals.propose(damage)
    layup = layup_of(repair)
    assert repair.operation.code == "casing-patch-small"
    assert layup.shortfall == 0 == repair.shortfall
    assert layup.outline_m == (0.06, 0.095)


def test_a_damage_that_nobody_described_is_proposed_nothing(job, counter):
    damages.pin(job, 0.4, 0.02, who=counter)
    assert proposals.propose_job(job) == []


def test_proposing_again_changes_nothing(job):
    on_the_edge(job, 0.1, "cut", mm=35)
    on_the_edge(job, 0.5, "burst", side="left")
    on_the_canopy(job, 0.4, "tear", mm=90)
    first = [(r.pk, r.version, r.layup) for r in proposals.propose_job(job)]
    assert [(r.pk, r.version, r.layup) for r in proposals.propose_job(job)] == first


def test_an_answer_that_changes_renews_what_nobody_touched(job, counter):
    damage = on_the_edge(job, 0.1, "cut", mm=35, through_bladder="no")
    (small,) = proposals.propose(damage)
    damage = damages.answer(damage, who=counter, length=Typed(0.12, "120 mm"))
    (large,) = proposals.propose(damage)
    assert (large.operation.code, large.pk != small.pk) == ("casing-patch", True)
    small.refresh_from_db()
    assert small.left_out
    damage = damages.answer(damage, who=counter, length=Typed(0.04, "40 mm"))
    assert [repair.pk for repair in proposals.propose(damage)] == [small.pk]


def test_a_changed_lay_up_stays_and_is_measured_against_what_the_place_asks_now(job, counter):
    damage = on_the_edge(job, 0.5, "cut", mm=60, direction="along", through_bladder="no")
    (repair,) = proposals.propose(damage)
    changed = proposals.change_layup(repair, who=counter, version=repair.version, rows=4)
    damage = damages.answer(damage, who=counter, length=Typed(0.2, "200 mm"))
    (kept,) = proposals.propose(damage)
    assert kept.layup["rows"] == 4
    assert kept.layup["outline_m"] == changed.layup["outline_m"]
    assert kept.layup["asked"]["extent_m"][0] == pytest.approx(0.2)
    assert kept.shortfall == 1  # it no longer covers the damage
    assert proposals.notes(kept)[0].text.startswith("The patch no longer covers")


def test_what_somebody_left_out_is_not_proposed_again(job, counter):
    damage = on_the_edge(job, 0.5, "burst")
    repairs = proposals.propose(damage)
    proposals.drop(one(repairs, "mirror-place-check"), who=counter)
    assert "mirror-place-check" not in codes(proposals.propose(damage))


def test_where_the_advised_one_was_left_out_another_is_advised_for_good(job, counter):
    damage = on_the_edge(job, 0.5, "burst")
    proposals.drop(one(proposals.propose(damage), "bladder-replace-le"), who=counter)
    again = proposals.propose(damage)
    assert one(again, "bladder-patch").preferred
    assert [r.version for r in proposals.propose(damage)] == [r.version for r in again]


def test_whom_a_person_chose_stays_chosen(job, counter):
    damage = on_the_edge(job, 0.5, "burst")
    proposals.choose(one(proposals.propose(damage), "bladder-patch"), who=counter)
    again = proposals.propose(damage)
    assert (one(again, "bladder-patch").preferred, one(again, "bladder-replace-le").preferred) == (
        True,
        False,
    )


def test_an_operation_that_the_owner_switched_off_is_not_proposed(job):
    Operation.objects.filter(code="canopy-tape").update(active=False)
    repairs = proposals.propose(on_the_canopy(job, 0.4, "tear", mm=90))
    assert advised(repairs) == ["canopy-patch-sewn"]


def test_one_new_bladder_serves_the_whole_tube(job):
    burst = on_the_edge(job, 0.5, "burst")
    cut = on_the_edge(job, 0.1, "cut", mm=35, through_bladder="yes")
    strut = on_the_strut(job, 0.5, "cut", mm=35, through_bladder="yes")
    repairs = proposals.propose_job(job)
    of = {damage.number: [r for r in repairs if r.damage_id == damage.pk] for damage in (burst, cut, strut)}
    assert "bladder-replace-le" in advised(of[1])
    patch = one(of[2], "bladder-patch")
    assert (patch.preferred, patch.optional, patch.choice) == (False, True, "")
    assert "bladder-replace-le" not in codes(of[2])
    assert "bladder-patch" in advised(of[3])


def test_a_wet_inflatable_is_washed_once(job):
    on_the_edge(job, 0.1, "cut", mm=35, wet="yes")
    on_the_edge(job, 0.6, "cut", mm=35, wet="yes")
    assert codes(proposals.propose_job(job)).count("wash-and-dry") == 1


def test_tape_is_no_answer_where_a_gale_would_pull_it_off():
    kite = a_job(KITE)
    inner = proposals.propose(on_the_canopy(kite, 0.1, "tear", mm=90))
    assert codes(inner) == ["canopy-patch-sewn"]
    said = " ".join(note.text for note in proposals.notes(inner[0]))
    assert "Tape will not hold here" in said


def test_stitching_gone_at_a_handle_is_sewn_long_enough_for_its_share_of_the_lift(job):
    place = Place(element=Element.HANDLE, station=0, side="centre", strut=0, fraction=0.3)
    damage = put(job, place, "stitching gone")
    seam = layup_of(proposals.propose(damage)[0])
    share = 1000 / 2  # the held lift of 1000 N over two handles
    per_metre = min(0.85 * damage_cloth(job), 2 / 0.003 * 92.5 * 1.24)
    assert seam.length_m * per_metre >= 3 * share
    assert seam.shortfall == 0


def damage_cloth(job):
    casing = job.inflatable.pattern.casing
    return min(casing.strength_warp_n_per_m, casing.strength_weft_n_per_m)


def statements(job):
    with CaptureQueriesContext(
        connection,
    ) as asked:
        proposals.propose_job(job)
    return len(asked)


def test_proposing_asks_the_database_as_often_for_six_damages_as_for_two(job):
    for station in (0.1, 0.4):
        on_the_edge(job, station, "cut", mm=35)
    proposals.propose_job(job)
    for_two = statements(job)
    for station in (0.2, 0.3, 0.5, 0.6, 0.7):
        on_the_edge(job, station, "cut", mm=35)
    proposals.propose_job(job)
    assert statements(job) <= for_two
