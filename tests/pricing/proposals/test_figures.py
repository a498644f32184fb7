import math

import pytest

from shoprepair.mechanics.description import Element, Place
from shoprepair.pricing import proposals
from tests.pricing.mending import a_job, on_the_canopy, on_the_edge, one, put, stocked

pytestmark = pytest.mark.django_db


@pytest.fixture
def repairs(db):
    """A patch, tape, a canopy patch, a seam, a handle: one of each kind of lay-up."""
    stocked()
    job = a_job()
    on_the_edge(job, 0.3, "cut", mm=35, through_bladder="no")
    on_the_canopy(job, 0.5, "tear", mm=90)
    on_the_edge(job, 0.4, "seam opened", mm=80, through_bladder="no")
    put(job, Place(element=Element.HANDLE, station=0, side="centre", strut=0, fraction=0.3), "stitching gone")
    return proposals.propose_job(job)


def by_name(repair):
    return {figure.name: figure for figure in proposals.figures(repair)}


def test_every_lay_up_opens_to_its_arithmetic(repairs):
    for repair in repairs:
        assert bool(proposals.figures(repair)) == bool(repair.layup)


def test_inputs_stand_before_what_is_made_of_them(repairs):
    for repair in repairs:
        seen: list[str] = []
        for figure in proposals.figures(repair):
            if figure.formula:
                named = [name for name in seen if name in figure.formula]
                assert named, f"{figure.name}: {figure.formula}"
            seen.append(figure.name)
            assert figure.source
            assert math.isfinite(figure.quantity.value)


def test_the_figures_multiply_out(repairs):
    figure = by_name(one(repairs, "casing-patch-small"))

    def value(name):
        return figure[name].quantity.value

    assert value("tension with the safety factor") == value("highest tension there") * value("safety factor")
    assert value("strength of the stitching") == value("strength of one row") * value("rows")
    needed = max(value("tension with the safety factor"), value("strength of its own seams"))
    assert value("required strength") == needed
    holds = min(value("strength of the plies"), value("strength of the stitching"))
    assert value("strength of the patch") == pytest.approx(holds)
    assert value("strength over what is asked") == pytest.approx(holds / needed)


def test_what_was_assumed_is_marked(repairs):
    figure = by_name(one(repairs, "casing-patch-small"))
    assert figure["safety factor"].assumed
    assert figure["seam efficiency"].assumed
    assert not figure["damage along the tube"].assumed


def test_a_canopys_directions_are_span_and_chord(repairs):
    assert "patch from front to back" in by_name(one(repairs, "canopy-patch-sewn"))


def test_tape_says_that_adhesive_fades(repairs):
    tape = by_name(one(repairs, "canopy-tape"))
    assert tape["share that lasts for hours"].quantity.value == 0.2
    assert "Volkersen 1938" in tape["strength of the tape"].source
