import math

import pytest

from shoprepair.gear.describe import description
from shoprepair.jobs.limits import longest, validate
from shoprepair.jobs.models import Damage, Job
from shoprepair.shop.units import Units
from tests.factories import JobFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(db: None) -> Job:
    return JobFactory()


def cut(job: Job, **facts: object) -> Damage:
    told = {"element": "leading edge", "station": 0.0, "side": "centre", "kind": "cut", "length_m": 0.035}
    return Damage(job=job, number=1, x_m=0, y_m=0, **(told | facts))


def sentence(damage: Damage, field: str = "length_m", units: Units | None = None) -> str:
    return validate(damage, units or Units()).get(field, "")


def test_a_cut_that_fits_is_believed(job: Job) -> None:
    assert validate(cut(job), Units()) == {}


@pytest.mark.parametrize("length_m", [0.0, -0.1, math.nan, math.inf])
def test_a_cut_of_nothing_is_none(job: Job, length_m: float) -> None:
    assert sentence(cut(job, length_m=length_m)) == (
        "A cut of 0 mm is none. Measure it from end to end, such as 35 mm."
    )


def test_a_cut_of_three_metres_is_a_slip_of_the_unit(job: Job) -> None:
    assert sentence(cut(job, length_m=3.0)) == (
        "A cut of 3.00 m is longer than this tube allows, 1.50 m. Did you mean 30 mm?"
    )


def test_a_cut_around_is_not_longer_than_the_way_around(job: Job) -> None:
    damage = cut(job, direction="around", length_m=0.8)
    assert longest(damage)[0] == pytest.approx(math.pi * 0.24)
    assert sentence(damage) == (
        "A cut of 800 mm is longer than the way around this tube allows, 754 mm. Did you mean 8 mm?"
    )


def test_the_way_around_shrinks_toward_the_tip_and_along_a_strut(job: Job) -> None:
    tip = cut(job, direction="around", station=1.0)
    strut_end = cut(job, direction="around", element="strut", strut=0, fraction=1.0)
    assert longest(tip)[0] == pytest.approx(math.pi * 0.12)
    assert longest(strut_end)[0] == pytest.approx(math.pi * 0.24 * 0.4)


def test_a_seam_may_open_along_the_whole_tube(job: Job) -> None:
    pattern = description(job.inflatable.pattern)
    seam = cut(job, kind="seam opened")
    assert longest(seam)[0] == pytest.approx(2 * pattern.leading_edge.length_m)
    assert longest(cut(job, kind="seam opened", element="strut", strut=0))[0] == pytest.approx(
        pattern.struts[0].tube.length_m
    )


def test_a_canopy_tears_at_most_across_the_span(job: Job) -> None:
    tear = cut(job, element="canopy", kind="tear", length_m=4.0)
    assert sentence(tear) == "A tear of 4.00 m is longer than the canopy allows, 3.50 m. Did you mean 40 mm?"


def test_a_canopy_does_not_burst(job: Job) -> None:
    assert sentence(cut(job, element="canopy", kind="burst"), "kind") == (
        "That cannot happen to a canopy; it can have: tear, hole, scuff, seam opened, residue, stain."
    )


@pytest.mark.parametrize(
    ("answers", "problem"),
    [
        ({"stitched_left_m": 1.2}, "stitched_left_m"),
        ({"stitched_left_m": -0.1}, "stitched_left_m"),
        ({"angle_deg": 91}, "angle_deg"),
        ({"angle_deg": math.nan}, "angle_deg"),
        ({"seconds_to_half": 0}, "seconds_to_half"),
        ({"seconds_to_half": math.inf}, "seconds_to_half"),
        ({"face": "inside"}, "face"),
        ({"fold": "perhaps"}, "fold"),
        ({"wet": ""}, "wet"),
        ({"under_kind": "ghost"}, "under_kind"),
    ],
)
def test_an_answer_that_cannot_be_is_refused_beside_its_field(
    job: Job, answers: dict[str, object], problem: str
) -> None:
    problems = validate(cut(job, **answers), Units())
    assert list(problems) == [problem]
    assert problems[problem].endswith(".")


def test_stitching_may_be_gone_altogether(job: Job) -> None:
    assert sentence(cut(job, stitched_left_m=0.0), "stitched_left_m") == ""
