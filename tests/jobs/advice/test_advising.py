from dataclasses import replace

import pytest

from shoprepair.gear import everyday
from shoprepair.jobs.advice import RULES, Told, Verdict, advise_told, from_query
from shoprepair.jobs.advice.looks import for_place
from shoprepair.jobs.advice.seen import Seen, bending_outboard, single, tape_holds, windless
from shoprepair.jobs.advice.table import decide
from shoprepair.mechanics.assessment import assess
from shoprepair.mechanics.description import DEFAULT_CASES, Element
from shoprepair.shop.settings import load_figures
from tests.jobs.advice.telling import on, on_the_front, place, told

SCRAPE = {"kind": "wing", "size": "unsure", "at": "front-centre", "look": "scrape", "fold": "untried"}


def sentences(advice):
    return " ".join(map(str, advice.unknown))


@pytest.mark.django_db
def test_every_answer_that_was_missing_is_said_to_be_taken_as_the_worse():
    said = sentences(advise_told(from_query(SCRAPE)))
    assert "not sure of the size. We take the largest" in said
    assert "not tried the fold test. We take it as folding to a sharp edge" in said


def test_unsure_of_length_of_air_and_of_distance_is_said_too(gear):
    pattern = gear["kite-small"].pattern
    assert "We take it as long" in sentences(on(pattern, Element.CANOPY, "torn", length="unsure"))
    assert "as within minutes" in sentences(on(pattern, Element.HOSE, "soft", softens="unsure"))
    assert "We take one as near" in sentences(on_the_front(pattern, 0.9, far="unsure"))


def test_what_was_known_is_not_called_unknown(gear):
    assert sentences(on(gear["kite-small"].pattern, Element.CANOPY, "torn", length="palm")) == ""


@pytest.mark.django_db
def test_advice_waits_for_every_answer_that_it_needs():
    with pytest.raises(ValueError, match="Say fold first"):
        advise_told(from_query(SCRAPE | {"fold": ""}))
    with pytest.raises(ValueError, match="Say kind first"):
        advise_told(Told())


@pytest.mark.django_db
def test_advice_asks_the_database_little(django_assert_max_num_queries):
    asked = from_query(SCRAPE)
    advise_told(asked)
    with django_assert_max_num_queries(4):
        advise_told(asked)


@pytest.mark.django_db
def test_the_shops_own_load_cases_decide():
    cut = from_query(
        SCRAPE | {"at": "front-tip", "look": "cut", "length": "nail", "far": "far", "size": "medium"}
    )
    assert advise_told(cut).verdict is Verdict.GET_HOME
    figures = load_figures()
    figures.hot_celsius = 120
    figures.save()
    assert advise_told(cut).rule.code == "cut-would-run"


def test_a_look_that_a_part_cannot_have_is_refused_with_a_sentence(gear):
    with pytest.raises(ValueError, match="A canopy cannot have “burst”"):
        on(gear["wing-small"].pattern, Element.CANOPY, "burst")


def test_a_cut_is_judged_by_air_alone_and_the_shops_own_assessment_stands_beside_it(gear):
    pattern = gear["wing-medium"].pattern
    advice = on_the_front(pattern, 0.5, length="coin")
    cut = told("cut", length="coin").finding(Element.LEADING_EDGE)
    by_air = assess(single(pattern), place(Element.LEADING_EDGE, 0.5), cut, windless(DEFAULT_CASES))
    assert advice.asked_ratio == by_air.load_ratio
    assert advice.runs_at_m == by_air.run_length_m
    assert advice.assessment == assess(pattern, place(Element.LEADING_EDGE, 0.5), cut, DEFAULT_CASES)


def test_where_no_tube_is_opened_no_length_is_named_from_which_it_rips_on(gear):
    pattern = gear["wing-medium"].pattern
    assert on_the_front(pattern, 0.5, "scrape").runs_at_m is None
    assert on(pattern, Element.CANOPY, "torn").asked_ratio is None


def test_bending_never_grows_outwards_and_knows_neither_pressure_nor_diameter(gear):
    for drawn in gear.values():
        pattern = drawn.pattern
        moments = [bending_outboard(pattern, n / 97, DEFAULT_CASES) for n in range(98)]
        assert moments == sorted(moments, reverse=True)
        fat = replace(pattern.leading_edge, diameter_root_m=0.4, diameter_tip_m=0.3)
        other = replace(pattern, rated_pressure_pa=90000.0, leading_edge=fat)
        assert bending_outboard(other, 0.3, DEFAULT_CASES) == bending_outboard(pattern, 0.3, DEFAULT_CASES)


def test_gear_that_lift_bends_hard_near_its_tip_gets_no_field_repair(gear):
    pattern = replace(gear["kite-large"].pattern, bridle_stations=(0.2,), span_m=12.0)
    assert on_the_front(pattern, 0.7, length="2").rule.code == "cut-where-it-bends"


def test_a_sound_looking_scrape_comes_in_where_the_cloth_has_little_to_spare(gear):
    pattern = replace(gear["wing-large"].pattern, rated_pressure_pa=120000.0)
    assert on_the_front(pattern, 0.0, "scrape", fold="round").rule.code == "scrape-pulled-hard"
    assert on_the_front(pattern, 1.0, "scrape", fold="round").rule.code == "scrape-round"


def test_tape_creeps_in_the_middle_of_the_largest_kites_alone_but_never_off_a_short_tear(gear):
    creeps = {
        code
        for code, drawn in gear.items()
        if on(drawn.pattern, Element.CANOPY, "torn", length="palm").rule.fix is None
    }
    assert creeps == {"kite-large"}
    large = gear["kite-large"].pattern
    assert on(large, Element.CANOPY, "torn", length="palm").rule.code == "tape-would-creep"
    assert on(large, Element.CANOPY, "torn", length="coin").verdict is Verdict.FIX_YOURSELF
    assert on(large, Element.CANOPY, "torn", 0.6, length="palm").verdict is Verdict.FIX_YOURSELF


def test_tape_on_stiffer_cloth_holds_more_by_the_root_of_its_stiffness(gear):
    """Volkersen 1938: a long lap's strength grows with the root of the stiffness of what it joins."""
    cloth = gear["wing-small"].pattern.canopy
    twice = replace(cloth, stiffness_n_per_m=4 * cloth.stiffness_n_per_m)
    assert tape_holds(twice) == pytest.approx(2 * tape_holds(cloth), rel=0.01)


def test_the_back_edge_is_answered_one_step_more_strictly_than_the_cloth_before_it(gear):
    pattern = gear["wing-medium"].pattern
    for length in ("nail", "coin", "palm", "hand"):
        cloth = on(pattern, Element.CANOPY, "torn", length=length).verdict
        assert on(pattern, Element.TRAILING_EDGE, "torn", length=length).verdict == cloth + 1


@pytest.mark.parametrize("softens", ["hour", "minutes", "unsure"])
def test_what_goes_soft_within_a_session_comes_in(gear, softens):
    for part in (Element.LEADING_EDGE, Element.STRUT, Element.HOSE):
        assert on(gear["kite-medium"].pattern, part, "soft", softens=softens).verdict is Verdict.BRING_IN


def test_every_rule_can_be_reached(gear):
    """The two that everyday gear never meets are held by tests of their own."""
    reached = {"cut-where-it-bends", "scrape-pulled-hard"}
    for drawn in gear.values():
        reached |= set(_reached(drawn.pattern))
    assert reached == set(RULES)


def _reached(pattern):
    for part in Element:
        for look in for_place(part):
            for said in ANSWERS:
                for station in (0.0, 0.7):
                    seen = Seen(pattern, place(part, station), told(look, **said), DEFAULT_CASES)
                    if (part, look) in JUDGED_ELSEWHERE:
                        continue
                    yield decide(seen).rule


ON_THE_TUBE_BESIDE = ("cut", "scrape", "hole", "burst")
JUDGED_ELSEWHERE = {
    (part, look)
    for part in (Element.HANDLE, Element.BRIDLE_POINT, Element.VALVE)
    for look in for_place(part)
    if look in ON_THE_TUBE_BESIDE or (part is Element.VALVE and look == "seam")
}
ANSWERS = [
    *({"length": length} for length in ("nail", "coin", "palm", "hand", "longer", "unsure")),
    *({"fold": fold} for fold in ("edge", "untried")),
    *({"softens": softens} for softens in ("hour", "unsure")),
    {"far": "home"},
]


def test_the_everyday_pattern_of_an_unsure_size_is_the_largest():
    assert Told(kind="kite", size="unsure").gear == everyday.code("kite", "large")
