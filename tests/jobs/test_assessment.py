import math

import pytest

from shoprepair.gear.describe import description
from shoprepair.jobs.assessment import assess_damage, assess_job, finding_of, place_of, read, refusal
from shoprepair.jobs.models import Damage, Job
from shoprepair.mechanics import assessment as mechanics
from shoprepair.mechanics.description import (
    Band,
    Condition,
    Direction,
    Element,
    Finding,
    FindingKind,
    LoadCases,
    Place,
)
from shoprepair.shop.settings import load_figures
from tests.factories import DamageFactory, JobFactory

pytestmark = pytest.mark.django_db


def test_the_record_says_to_mechanics_where_and_what() -> None:
    damage = DamageFactory(direction="at an angle", angle_deg=45, x_m=0.4, station=0.23)
    assert place_of(damage) == Place(element=Element.LEADING_EDGE, station=0.23, side="right")
    assert finding_of(damage) == Finding(
        kind=FindingKind.CUT, length_m=0.035, direction=Direction.ANGLE, angle_rad=pytest.approx(math.pi / 4)
    )


def test_a_damage_that_nobody_described_is_no_finding() -> None:
    assert finding_of(DamageFactory(kind="")) is None


@pytest.mark.parametrize(
    ("spot", "whole", "worse"),
    [
        ("sound", "faded", Condition.FADED),
        ("brittle", "faded", Condition.BRITTLE),
        ("sound", "sound", Condition.SOUND),
    ],
)
def test_the_cloth_counts_as_the_worse_of_spot_and_whole(spot: str, whole: str, worse: Condition) -> None:
    job = JobFactory(inflatable__condition=whole)
    assert finding_of(DamageFactory(job=job, condition=spot)).condition == worse


def test_what_lies_under_an_old_patch_is_found_with_it() -> None:
    finding = finding_of(DamageFactory(kind="residue", under_kind="cut"))
    assert (finding.kind, finding.under.kind, finding.under.length_m) == ("residue", "cut", 0.035)


def test_a_damage_keeps_what_its_figures_were_computed_from() -> None:
    damage = DamageFactory()
    result = assess_damage(damage)
    damage.save()
    damage.refresh_from_db()
    assert damage.assessment["model"] == damage.model_version == mechanics.MODEL_VERSION
    assert damage.assessment["inputs"]["finding"]["length_m"] == 0.035
    assert damage.assessment["inputs"]["place"]["station"] == 0.23
    assert damage.assessment["inputs"]["cases"]["safety_factor"] == 3.0
    assert damage.assessment["inputs"]["pattern"]["rated_pressure_pa"] == 50_000
    assert damage.reason == damage.assessment["result"]["reason"]
    assert (damage.urgency, damage.band) == (result.urgency, result.band)


def test_the_stored_assessment_reads_back_as_it_was() -> None:
    for kind in ("cut", "burst", "leak", "scuff", "seam opened"):
        damage = DamageFactory(kind=kind)
        result = assess_damage(damage)
        damage.save()
        damage.refresh_from_db()
        assert read(damage) == result


def test_nothing_left_at_all_is_stored_as_no_ratio_and_reads_back_as_infinite() -> None:
    damage = DamageFactory(kind="burst", length_m=None)
    result = assess_damage(damage)
    damage.save()
    damage.refresh_from_db()
    assert math.isinf(result.load_ratio)
    assert damage.load_ratio is None
    assert math.isinf(read(damage).load_ratio)
    assert (damage.urgency, damage.band) == (100, "Grounded")


def test_a_damage_not_judged_reads_as_nothing() -> None:
    assert read(Damage()) is None


def test_what_mechanics_refuses_is_kept_as_its_sentence() -> None:
    damage = DamageFactory(element="canopy", kind="burst")
    assert assess_damage(damage) is None
    assert (damage.load_ratio, damage.urgency, damage.band, damage.model_version) == (None, 0, "Watch", "")
    assert refusal(damage).endswith(".")


def test_a_shop_judges_by_its_own_load_figures() -> None:
    calm = assess_damage(DamageFactory()).load_ratio
    figures = load_figures()
    figures.held_lift_cap_n, figures.held_wind_m_per_s = 5000, 30
    figures.save()
    assert assess_damage(DamageFactory()).load_ratio > calm


def test_an_assessment_can_be_asked_for_other_cases() -> None:
    damage = DamageFactory()
    hot = assess_damage(damage, LoadCases(hot_celsius=90))
    expected = mechanics.assess(
        description(damage.job.inflatable.pattern),
        place_of(damage),
        finding_of(damage),
        LoadCases(hot_celsius=90),
    )
    assert hot == expected


def test_a_job_is_as_urgent_as_its_worst_live_damage() -> None:
    job = JobFactory()
    DamageFactory(job=job, number=1, urgency=30, band="Next service")
    DamageFactory(job=job, number=2, urgency=68, band="Repair first")
    DamageFactory(job=job, number=3, urgency=100, band="Grounded", removed_at="2026-05-04T09:00:00Z")
    assess_job(job)
    assert Job.objects.values_list("urgency", "rank", "band", "damage_count").get() == (
        68,
        32,
        "Repair first",
        2,
    )


def test_a_job_with_nothing_pinned_is_watched() -> None:
    job = assess_job(JobFactory(urgency=80, rank=20, band="Grounded", damage_count=1))
    assert (job.urgency, job.rank, job.band, job.damage_count) == (0, 100, Band.WATCH, 0)
