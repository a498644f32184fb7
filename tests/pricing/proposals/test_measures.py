import pytest

from shoprepair.mechanics.description import Element, Place
from shoprepair.pricing import proposals
from shoprepair.pricing.proposals.measures import measures, panel_sides
from tests.pricing.mending import a_job, on_the_canopy, on_the_edge, one, put, stocked

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(db):
    stocked()
    return a_job()


def test_a_patch_is_sewn_round_its_outline_in_every_row_and_cut_in_every_ply(job):
    damage = on_the_edge(job, 0.1, "cut", mm=35, direction="around", through_bladder="no")
    size = measures(one(proposals.propose(damage), "casing-patch-small"))
    assert size.stitched_m == pytest.approx(2 * 2 * (0.060 + 0.095))
    assert size.area_m2 == pytest.approx(2 * 0.060 * 0.095)
    assert size.kind == "casing cloth"


def test_tape_is_cut_for_both_faces_and_sewn_nowhere(job):
    size = measures(one(proposals.propose(on_the_canopy(job, 0.5, "tear", mm=90)), "canopy-tape"))
    assert (size.stitched_m, size.kind) == (0, "ripstop tape")
    assert size.area_m2 == pytest.approx(2 * 0.17 * 0.17)


def test_a_resewn_seam_is_its_length_in_two_rows(job):
    damage = on_the_edge(job, 0.4, "seam opened", mm=100, face="back", through_bladder="no")
    size = measures(one(proposals.propose(damage), "closing-seam-resew"))
    assert size.stitched_m == pytest.approx(2 * 0.2)


def test_a_new_canopy_panel_is_sewn_in_all_round(job):
    damage = on_the_canopy(job, 0.5, "tear", mm=700)
    wide, deep = panel_sides(damage)
    size = measures(one(proposals.propose(damage), "canopy-panel"))
    assert size.stitched_m == pytest.approx(2 * 2 * (wide + deep))
    assert size.area_m2 == pytest.approx((wide + 0.03) * (deep + 0.03))
    assert 0.2 < wide < job.inflatable.pattern.span_m / 2


def test_a_bladder_patch_covers_the_cut_and_a_new_bladder_covers_nothing(job):
    repairs = proposals.propose(on_the_edge(job, 0.1, "cut", mm=40, direction="along", through_bladder="yes"))
    patch, new = (measures(one(repairs, code)) for code in ("bladder-patch", "bladder-replace-le"))
    assert patch.area_m2 == pytest.approx((0.04 + 0.05) * (0.02 + 0.05))
    assert (new.stitched_m, new.area_m2) == (0, 0)


def test_the_longer_a_cut_the_more_is_sewn(job):
    sizes = [
        measures(proposals.propose(on_the_edge(job, 0.3, "cut", mm=mm, through_bladder="no"))[0])
        for mm in (20, 60, 150)
    ]
    assert sizes == sorted(sizes, key=lambda size: size.stitched_m)


def test_a_new_window_is_as_large_as_its_pane(job):
    torn = put(job, Place(element=Element.WINDOW, station=0.3, side="right", fraction=0.55), "tear", mm=300)
    size = measures(one(proposals.propose(torn), "window-replace"))
    assert (size.kind, size.area_m2 > 0.02) == ("window film", True)
