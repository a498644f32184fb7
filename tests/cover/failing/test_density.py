"""Damages heaped on the drawing: light however many there are, and where they belong."""

import random
from collections import Counter
from xml.etree import ElementTree

import pytest

from shoprepair.cover.failing import density
from shoprepair.cover.failing.asked import Asked
from shoprepair.cover.failing.density import Heap
from shoprepair.gear import describe, geometry
from shoprepair.gear.diagram.sheet import lent
from shoprepair.mechanics.description import Element
from tests.cover.failing.past import visit
from tests.factories import DamageFactory, InflatableFactory, KiteFactory, PatternFactory

pytestmark = pytest.mark.django_db
KEPT = "/drawings/kite.svg#0-"


def heap(element="leading edge", side="right", station=0.5, count=1, **facts) -> Heap:
    return Heap("wing", element, side, facts.get("strut"), station, facts.get("fraction", 0.0), count)


def test_a_hundred_thousand_damages_stay_light():
    planform, rng, n = describe.planform(KiteFactory()), random.Random(7), 100_000
    counted = Counter(
        zip(
            rng.choices(["leading edge", "canopy"], k=n),
            rng.choices(["left", "right"], k=n),
            rng.choices(range(density.STATIONS), range(density.STATIONS, 0, -1), k=n),
            rng.choices(range(density.SHARES), k=n),
            strict=True,
        )
    )
    of = [
        heap(part, side, (across + 0.5) / density.STATIONS, n, fraction=(aft + 0.5) / density.SHARES)
        for (part, side, across, aft), n in counted.items()
    ]

    marks = density.marks(planform, of)
    svg = density.draw(planform, marks, title="All of them", unique="all", kept=KEPT)

    assert sum(mark.count for mark in marks) == 100_000
    assert len(svg.encode()) + len(lent(planform, {}, "0-").encode()) < 60_000
    assert svg.count("density-mark") <= density.LEVELS + 1


def test_places_are_counted_in_the_database_in_one_statement(django_assert_num_queries):
    gear = InflatableFactory()
    for _ in range(3):
        DamageFactory(job=visit(gear=gear), station=0.231)
    DamageFactory(job=visit(gear=gear), station=0.9, side="left")
    DamageFactory(job=visit(gear=gear), removed_at=gear.created_at)
    DamageFactory(job=visit(gear=gear), kind="")

    with django_assert_num_queries(1):
        found = density.heaps(Asked())

    assert sorted((h.side, h.count) for h in found) == [("left", 1), ("right", 3)]
    assert next(h.station for h in found if h.side == "right") == pytest.approx(0.231, abs=0.01)


@pytest.mark.parametrize("factory", [PatternFactory, KiteFactory])
def test_a_mark_lies_on_the_part_that_its_damages_lie_on(factory):
    planform = describe.planform(factory())
    for part, facts in (("leading edge", {}), ("strut", {"strut": 1, "fraction": 0.4})):
        (mark,) = density.marks(planform, [heap(part, "left", 0.5, 4, **facts)])
        place = geometry.resolve(planform, *mark.at).place
        assert (place.element, place.side) == (Element(part), "left")


def test_a_strut_that_the_drawn_pattern_does_not_have_goes_to_the_nearest():
    planform = describe.planform(PatternFactory())
    (mark,) = density.marks(planform, [heap("strut", "right", 0.6, strut=4, fraction=0.5)])

    place = geometry.resolve(planform, *mark.at).place
    assert (place.element, place.strut) == (Element.STRUT, 1)


def test_the_fullest_mark_is_the_widest_and_one_damage_is_still_seen():
    levels = [density.level(n, 400) for n in (1, 50, 100, 400)]

    assert levels == sorted(levels)
    assert levels[0] == density.SMALLEST
    assert levels[2] == density.LEVELS / 2
    assert levels[3] == density.LEVELS


def test_the_key_shows_one_the_fullest_and_round_counts_between():
    assert density.samples(1) == [1]
    assert density.samples(2655) == [1, 100, 500, 2655]


def test_the_table_says_the_same_as_the_drawing():
    table = density.counted(
        [
            heap(station=0.1, count=3),
            heap(station=0.9, side="left"),
            heap("canopy", station=0.5, fraction=0.5),
        ]
    )

    assert table.head == (
        "part",
        "centre third",
        "middle third",
        "tip third",
        "left",
        "middle",
        "right",
        "all",
        "share, %",
    )
    assert table.exact == (
        ("leading edge", "3", "0", "1", "1", "0", "3", "4", "80"),
        ("canopy", "0", "1", "0", "0", "0", "1", "1", "20"),
    )


def test_a_title_with_signs_of_markup_stays_text():
    planform = describe.planform(PatternFactory())
    svg = density.draw(planform, [], title="<b>&", unique="x", kept=KEPT)

    title = ElementTree.fromstring(svg).find("{http://www.w3.org/2000/svg}title")
    assert title is not None
    assert title.text == "<b>&"
