"""What comes back, at what age, and what burst against what was reckoned."""

import pytest

from shoprepair.cover.failing import ages, bursts, gear, repeats
from shoprepair.cover.failing.asked import Asked
from shoprepair.jobs.models import Damage, Stage
from shoprepair.mechanics.description import DEFAULT_CASES
from shoprepair.pricing.models import Repair
from tests.cover.failing.past import visit
from tests.factories import DamageFactory, InflatableFactory, KiteFactory, OperationFactory, PatternFactory

pytestmark = pytest.mark.django_db


def repaired(years: float, item=None, **facts) -> Damage:
    damage = DamageFactory(job=visit(years, gear=item), **facts)
    Repair.objects.create(damage=damage, operation=OperationFactory())
    return damage


@pytest.mark.parametrize(
    ("facts", "again"),
    [
        ({}, 1),
        ({"x_m": 0.48}, 1),
        ({"x_m": 0.52}, 0),
        ({"x_m": -0.4, "side": "left"}, 0),
        ({"element": "canopy"}, 0),
        ({"kind": "residue"}, 0),
    ],
)
def test_a_place_counts_as_repaired_twice_when_a_later_visit_found_damage_there(facts, again):
    first = repaired(2)
    DamageFactory(job=visit(1, gear=first.job.inflatable), **facts)

    whole, by_part, _ = repeats.repeats(Asked())

    assert (whole.repaired, whole.again) == (1, again)
    assert [(row.name, row.again) for row in by_part] == [("leading edge", again)]


def test_neither_a_second_damage_of_the_visit_nor_one_on_other_gear_is_a_repeat(django_assert_num_queries):
    first = repaired(2)
    DamageFactory(job=first.job)
    repaired(1)

    with django_assert_num_queries(1):
        whole, _, by_kind = repeats.repeats(Asked())

    assert (whole.repaired, whole.again) == (2, 0)
    assert (by_kind[0].name, by_kind[0].share.low) == ("cut", 0)


def test_what_was_declined_is_no_repair():
    damage = repaired(2)
    damage.job.stage = Stage.DECLINED
    damage.job.save()

    assert repeats.repeats(Asked())[0].repaired == 0


def test_ages_are_counted_from_the_year_of_purchase(django_assert_num_queries):
    now = visit().received_at.year
    for bought in (now, now - 3, now - 3, now - 40, now + 1, None):
        DamageFactory(job=visit(gear=InflatableFactory(bought_year=bought)))

    with django_assert_num_queries(1):
        found = ages.ages(Asked())

    assert found.counts[0] == 2
    assert found.counts[3] == 2
    assert found.counts[ages.OLDEST] == 1
    assert (found.known, found.unknown) == (5, 1)


def test_gear_of_a_model_nobody_knows_says_nothing_of_the_arithmetic():
    stand_in = PatternFactory(everyday="medium-wing")
    DamageFactory(job=visit(gear=InflatableFactory(pattern=stand_in)), station=0.02, kind="cut")

    assert bursts.by_load(Asked(), DEFAULT_CASES) == []


def test_bursts_are_held_against_the_load_of_sound_cloth_at_their_place(django_assert_max_num_queries):
    item = InflatableFactory()
    for station, kind in ((0.02, "burst"), (0.02, "cut"), (0.95, "cut"), (0.95, "cut")):
        DamageFactory(job=visit(gear=item), station=station, kind=kind)
    DamageFactory(job=visit(gear=item), element="canopy", kind="tear")

    with django_assert_max_num_queries(5):
        found = bursts.by_load(Asked(), DEFAULT_CASES)

    assert [(row.damages, row.bursts) for row in found] == [(2, 0), (2, 1)]


def test_a_strut_that_a_pattern_has_lost_is_left_out():
    DamageFactory(job=visit(), element="strut", strut=9)

    assert bursts.by_load(Asked(), DEFAULT_CASES) == []


def test_what_was_left_as_it_was_and_burst_later_is_told_by_band(django_assert_num_queries):
    left = DamageFactory(
        job=visit(2, stage=Stage.DECLINED), band="Repair first", load_ratio=0.6, model_version="1"
    )
    mended = DamageFactory(job=visit(2), band="Repair first", load_ratio=0.6, model_version="1")
    for damage in (left, mended):
        DamageFactory(job=visit(1, gear=damage.job.inflatable), kind="burst", model_version="1")
    DamageFactory(job=visit(2, stage=Stage.DECLINED), band="Watch", model_version="1")

    with django_assert_num_queries(1):
        found = {row.band: row for row in bursts.later(Asked())}

    row = found["Repair first"]
    assert (row.left, row.left_burst, row.repaired, row.repaired_burst) == (1, 1, 1, 1)
    assert (found["Watch"].left, found["Watch"].left_burst) == (1, 0)


def test_the_pattern_that_stands_for_the_rest_is_the_one_with_most_damages_of_the_library():
    often, seldom, own = PatternFactory(), PatternFactory(), PatternFactory(measured_here=True)
    for pattern, n in ((often, 2), (seldom, 1), (own, 3), (KiteFactory(), 1)):
        item = InflatableFactory(pattern=pattern)
        for _ in range(n):
            DamageFactory(job=visit(gear=item))

    found = gear.standing_for(Asked())

    assert [(kind, pattern.measured_here) for kind, pattern in found.items()] == [
        ("wing", False),
        ("kite", False),
    ]
    assert found["wing"] == often


def test_every_filter_narrows_what_is_counted():
    item = InflatableFactory(bought_year=visit().received_at.year - 3)
    DamageFactory(job=visit(gear=item))
    DamageFactory(job=visit(6, gear=InflatableFactory(pattern=KiteFactory())), element="canopy", kind="tear")
    year = visit().received_at.year

    for asked in (
        Asked(gear="wing"),
        Asked(pattern=item.pattern_id),
        Asked(kind="cut"),
        Asked(element="leading edge"),
        Asked(since=year),
        Asked(age="middle"),
    ):
        found = ages.ages(asked)
        assert found.known + found.unknown == 1, asked
    assert ages.ages(Asked(until=year - 3)).unknown == 1
    assert Asked().is_all
