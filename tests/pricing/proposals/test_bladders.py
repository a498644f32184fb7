"""A tube whose patches would cost more than its new bladder is advised the new one."""

import pytest

from shoprepair.jobs.models import Damage, Job
from shoprepair.pricing import estimate, proposals, rules
from shoprepair.pricing.models import Operation, Repair
from tests.pricing.mending import a_job, advised, codes, on_the_edge, on_the_strut, one, stocked

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _stocked(db) -> None:
    stocked()


@pytest.fixture
def job() -> Job:
    return a_job()


def cuts(job: Job, count: int) -> list[Damage]:
    """So many small cuts through the leading edge and its bladder, the most urgent first."""
    stations = [0.1 + 0.8 * n / count for n in range(count)]
    return [on_the_edge(job, at, "cut", mm=12, direction="along", through_bladder="yes") for at in stations]


def of(damage: Damage, repairs: list[Repair]) -> list[Repair]:
    return [repair for repair in repairs if repair.damage_id == damage.pk]


def price(repair: Repair):
    return estimate.line_for(repair, rules.current()).amount


def fewest_that_cost_more(job: Job) -> int:
    """How many patches of the first cut's size cost more than the new bladder beside it."""
    (cut,) = cuts(job, 1)
    repairs = proposals.propose(cut)
    cut.delete()
    return int(price(one(repairs, "bladder-replace-le")) / price(one(repairs, "bladder-patch"))) + 1


def test_a_new_bladder_is_advised_once_its_patches_would_cost_more(job):
    count = fewest_that_cost_more(job)
    assert 2 < count < 10
    damages = cuts(job, count)
    worst = max(damages, key=lambda damage: (damage.urgency, -damage.number))

    repairs = proposals.propose_job(job)

    assert "bladder-replace-le" in advised(of(worst, repairs))
    assert advised(repairs).count("bladder-replace-le") == 1
    [why] = [
        note.text for note in proposals.notes(one(repairs, "bladder-replace-le")) if "whole tube" in note.text
    ]
    assert why.startswith("One new bladder for the whole tube costs less than a patch at each hole.")
    assert "bladder-patch" not in advised(repairs)
    assert "bladder-patch" not in codes(repairs)


def test_one_patch_fewer_and_each_hole_is_patched(job):
    count = fewest_that_cost_more(job) - 1
    cuts(job, count)

    repairs = proposals.propose_job(job)

    assert advised(repairs).count("bladder-patch") == count
    assert "bladder-replace-le" not in advised(repairs)


def test_the_patches_of_another_tube_do_not_count(job):
    count = fewest_that_cost_more(job) - 1
    cuts(job, count)
    on_the_strut(job, 0.5, "cut", mm=12, through_bladder="yes")

    assert advised(proposals.propose_job(job)).count("bladder-patch") == count + 1


def test_whoever_chose_a_patch_for_one_of_them_keeps_the_old_bladder(job, counter):
    (first,) = cuts(job, 1)
    proposals.choose(one(proposals.propose(first), "bladder-patch"), who=counter)
    cuts(job, 11)

    again = proposals.propose_job(job)

    assert advised(again).count("bladder-patch") == 12
    assert "bladder-replace-le" not in advised(again)


def test_whoever_leaves_the_new_bladder_out_gets_the_patches(job, counter):
    damages = cuts(job, 12)
    worst = max(damages, key=lambda damage: (damage.urgency, -damage.number))
    proposals.drop(one(of(worst, proposals.propose_job(job)), "bladder-replace-le"), who=counter)

    assert advised(proposals.propose_job(job)).count("bladder-patch") == 12


def test_a_shop_without_new_bladders_in_its_catalogue_patches_them_all(job):
    Operation.objects.filter(code="bladder-replace-le").update(active=False)
    cuts(job, 12)

    assert advised(proposals.propose_job(job)).count("bladder-patch") == 12


def test_advised_once_it_stays_so_however_often_it_is_asked(job):
    cuts(job, 12)
    first = [(r.pk, r.version, r.preferred) for r in proposals.propose_job(job)]

    assert [(r.pk, r.version, r.preferred) for r in proposals.propose_job(job)] == first
