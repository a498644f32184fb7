import pytest

from shoprepair.gear.curve import centreline
from shoprepair.gear.describe import planform
from shoprepair.pricing import proposals
from tests.pricing.mending import a_job, on_the_canopy, on_the_edge, on_the_strut, one, stocked

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(db):
    stocked()
    return a_job()


def said(repair):
    return " ".join(note.text for note in proposals.notes(repair))


def patched(job, station, **answers):
    answers = {"mm": 35, "through_bladder": "no"} | answers
    return proposals.propose(on_the_edge(job, station, "cut", **answers))[0]


def station_of_a_seam(job):
    """Station of the second seam between cut segments, outwards."""
    drawn = planform(job.inflatable.pattern)
    line = centreline(drawn)
    return line.station(line.t_at_arc(2 * line.length_m / drawn.segments))


def test_a_patch_over_a_segment_seam_says_so(job):
    at = station_of_a_seam(job)
    assert "crosses a seam between two segments" in said(patched(job, at, face="front"))
    assert "crosses a seam" not in said(patched(job, at + 0.06, face="front"))


def test_a_patch_at_the_back_meets_the_closing_seam(job):
    assert "crosses the closing seam" in said(patched(job, 0.3, face="back"))
    assert "closing seam" not in said(patched(job, 0.3, face="front"))


def test_a_face_that_nobody_said_is_asked_for(job):
    assert "Which face" in said(patched(job, 0.3))


def test_a_long_cut_around_the_tip_becomes_a_sleeve(job):
    around = patched(job, 0.98, mm=340, direction="around", face="top")
    assert around.layup["outline_m"][1] == pytest.approx(around.layup["asked"]["around_m"])
    assert "once around the tube" in said(around)


def test_a_patch_at_a_strut_names_the_joint(job):
    at_the_centre = proposals.propose(
        on_the_edge(job, 0.0, "cut", side="centre", mm=35, through_bladder="no")
    )
    assert "joint with the centre strut" in said(at_the_centre[0])


def test_a_patch_at_a_struts_mouth_names_the_leading_edge(job):
    at_the_mouth = proposals.propose(on_the_strut(job, 0.02, "cut", mm=35, through_bladder="no"))
    assert "joint with the leading edge" in said(at_the_mouth[0])


def test_needles_solvents_and_hot_tools_come_with_their_cautions(job):
    burst = proposals.propose(on_the_edge(job, 0.5, "burst"))
    assert "before a needle" in said(one(burst, "le-burst-rebuild"))
    assert "hot" in said(one(burst, "le-burst-rebuild"))
    assert "Solvents burn" in said(one(burst, "bladder-patch"))
    tape = proposals.propose(on_the_canopy(job, 0.5, "tear", mm=90))
    assert "bone-dry" in said(one(tape, "canopy-tape"))


def test_what_lies_under_an_old_patch_goes_out_with_its_panel(job):
    residue = proposals.propose(on_the_canopy(job, 0.5, "residue"))
    assert "goes out with its panel" in said(one(residue, "stretch-patch-cut-out"))
    assert "not known" in said(one(residue, "stretch-patch-peel"))


def test_brittle_cloth_is_no_ground_to_sew_to(job):
    assert "what it is sewn to" in said(patched(job, 0.3, condition="brittle"))
    assert "what it is sewn to" not in said(patched(job, 0.3))


def test_a_changed_lay_up_is_said_to_be_changed(job, bench):
    patch = patched(job, 0.3)
    changed = proposals.change_layup(patch, who=bench, version=patch.version, rows=3)
    assert "Changed by a person" in said(changed)


def test_a_patch_at_a_struts_pointed_end_is_sewn_into_it(job):
    at_the_end = proposals.propose(on_the_strut(job, 0.97, "cut", mm=35, through_bladder="no"))
    assert "pointed end" in said(at_the_end[0])
