"""What the trade holds true, as the self-check answers it: common practice, no source."""

import pytest

from shoprepair.gear.everyday import SIZES
from shoprepair.jobs.advice import RULES, Verdict, from_query
from shoprepair.mechanics.description import Band, Element
from tests.jobs.advice.telling import FRONT_LOOKS, LENGTHS, on, on_the_front

CODES = [f"{kind}-{size}" for kind in ("wing", "kite") for size in SIZES]
HUNDREDTHS = [n / 100 for n in range(101)]


def words(*texts):
    return " ".join(str(text) for part in texts for text in part)


# 1. The same damage is worse on a held wing than on a bridled kite, worst at the centre, least at the tips.


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("look", FRONT_LOOKS)
def test_no_damage_of_a_front_tube_is_milder_on_a_wing_than_on_a_kite(gear, size, look):
    wing, kite = gear[f"wing-{size}"].pattern, gear[f"kite-{size}"].pattern
    for station in HUNDREDTHS[::5]:
        for length in LENGTHS:
            held = on_the_front(wing, station, look, length=length)
            hung = on_the_front(kite, station, look, length=length)
            assert held.verdict >= hung.verdict, (station, length)


def test_a_short_cut_is_worst_at_the_centre_and_least_at_the_tips(gear):
    for code in CODES:
        at_centre = on_the_front(gear[code].pattern, 0.0)
        at_tip = on_the_front(gear[code].pattern, 1.0)
        assert (at_centre.verdict, at_tip.verdict) == (Verdict.BRING_IN, Verdict.GET_HOME)
        assert at_centre.runs_at_m < at_tip.runs_at_m


# 2. At equal pressure the load grows with the diameter.


def test_a_cut_rips_on_sooner_in_a_fatter_tube_at_the_same_pressure(gear):
    for kind in ("wing", "kite"):
        runs = [on_the_front(gear[f"{kind}-{size}"].pattern, 0.7).runs_at_m for size in SIZES]
        assert runs == sorted(runs, reverse=True)


# 3. A cut in a casing is shop work; far from a shop only toward the tips, to about 25 mm, both faces, dry.


@pytest.mark.parametrize("code", CODES)
def test_a_cut_in_the_centre_section_is_never_talked_into_a_field_repair(gear, code):
    for station in HUNDREDTHS[:66]:
        for length in (*LENGTHS, "1"):
            for look in ("cut", "hole"):
                advice = on_the_front(gear[code].pattern, station, look, length=length)
                assert advice.verdict is Verdict.BRING_IN
                assert advice.rule.fix is None


def test_far_from_a_shop_a_cut_of_25_mm_toward_the_tip_may_be_closed_to_get_home(gear):
    near_the_tip = on_the_front(gear["wing-medium"].pattern, 0.95, length="25")
    assert near_the_tip.verdict is Verdict.GET_HOME
    assert on_the_front(gear["wing-medium"].pattern, 0.95, length="26").verdict is Verdict.BRING_IN
    assert on_the_front(gear["kite-medium"].pattern, 0.7, length="coin").verdict is Verdict.GET_HOME


@pytest.mark.parametrize("far", ["home", "unsure"])
def test_where_a_shop_may_be_near_every_cut_in_a_tube_comes_in(gear, far):
    for code in CODES:
        assert on_the_front(gear[code].pattern, 1.0, length="nail", far=far).verdict is Verdict.BRING_IN


def test_a_cut_in_a_strut_comes_in_however_short_and_far_away(gear):
    advice = on(gear["kite-small"].pattern, Element.STRUT, "cut", length="2", far="far")
    assert advice.verdict is Verdict.BRING_IN


def test_the_field_repair_is_adhesive_cloth_on_both_faces_and_bone_dry():
    fix = RULES["cut-far-from-a-shop"].fix
    steps = words(fix.steps)
    assert "bone dry" in steps
    assert "as large as will fit" in steps
    assert "inside of the cloth" in steps
    assert "on the outside" in steps
    assert "Polyester adhesive cloth" in words(fix.use)


def test_tape_for_the_cloth_is_never_an_answer_on_a_tube(gear):
    assert "far too weak for a tube" in words(RULES["cut-far-from-a-shop"].fix.never)
    for look in ("cut", "hole", "seam"):
        for station in HUNDREDTHS[::10]:
            advice = on_the_front(gear["wing-large"].pattern, station, look, far="home")
            assert "never holds on a tube" in words(advice.rule.meanwhile)


# 4. Fold test: round, the fibres are sound; a knife edge, about half the cloth is gone.


@pytest.mark.parametrize(
    ("fold", "verdict"),
    [("round", Verdict.RIDE_ON), ("edge", Verdict.BRING_IN), ("untried", Verdict.BRING_IN)],
)
def test_the_fold_test_decides_a_scrape_on_a_tube(gear, fold, verdict):
    for code in CODES:
        for station in HUNDREDTHS[::10]:
            assert on_the_front(gear[code].pattern, station, "scrape", fold=fold).verdict is verdict
    assert "half of the cloth is gone" in str(RULES["scrape-edge"].reason)


# 5. Canopy tears matter far less: tape on both sides, alcohol, dry, checked; film last, it costs later.


def test_a_tear_in_the_cloth_is_answered_more_mildly_than_the_same_cut_in_a_tube(gear):
    for code in CODES:
        tear = on(gear[code].pattern, Element.CANOPY, "torn", length="coin", far="home")
        cut = on_the_front(gear[code].pattern, 0.0, length="coin", far="home")
        assert tear.verdict is Verdict.FIX_YOURSELF
        assert cut.verdict is Verdict.BRING_IN


def test_ripstop_tape_goes_on_both_sides_of_clean_dry_cloth_and_is_tried():
    fix = RULES["tear-tape"].fix
    steps = words(fix.steps)
    for said in ("alcohol", "dry all the way", "each side of the cloth", "lift a corner", "slick"):
        assert said in steps
    assert "Ripstop tape" in str(fix.use[0])
    assert "stretch film" in str(fix.use[-1])
    assert "one side only" in words(fix.never)


def test_a_film_patch_is_said_to_cost_more_later():
    for code in ("tear-tape", "tear-get-home", "cloth-seam-get-home", "back-edge-get-home"):
        assert "must cut it out" in words(RULES[code].later)


# 6. A casing patch goes inside and outside, stitched twice; where doubled, in more plies.


def test_a_cut_in_a_tube_is_said_to_be_patched_inside_and_outside_with_two_rows():
    for code, rule in RULES.items():
        if code.startswith("cut-"):
            assert "one patch inside and one outside, each with two rows" in words(rule.later)


def test_from_afar_a_tube_is_never_taken_as_doubled(shelf):
    doubled = shelf["Alke 3.2 wing"].pattern
    assert doubled.leading_edge.doublings
    advice = on_the_front(doubled, 0.05, length="coin")
    assert advice.asked_ratio == pytest.approx(2 * advice.assessment.load_ratio, rel=0.5)
    assert any("whether the cloth is doubled" in str(said) for said in advice.unknown)


# 7. Most of the price is access; a burst costs several times a cut's repair, and usually the bladder.


def test_a_cut_brought_in_is_told_where_its_price_comes_from_and_what_a_burst_would_cost():
    for code in ("cut-not-near-the-tip", "cut-too-long", "cut-would-run", "cut-near-a-shop"):
        later = words(RULES[code].later)
        assert "the way in" in later
        assert "costs several times as much" in later
        assert "bladder is lost too" in later


# 8. After a burst the mirror place on the other side is the next to go.


def test_a_burst_comes_in_and_its_mirror_place_is_named(gear):
    for code in CODES:
        advice = on_the_front(gear[code].pattern, 0.5, "burst")
        assert advice.verdict is Verdict.BRING_IN
        assert advice.assessment.band is Band.GROUNDED
        assert any("mirror place" in look.text for look in advice.assessment.inspect)
    assert "same spot on the other side" in words(RULES["burst"].later)


# 9. A customer's description counts when it uses the shop's words.


def test_what_a_customer_told_reaches_the_shop_in_its_words(gear):
    said = {
        "kind": "wing",
        "size": "medium",
        "at": "front-tip",
        "look": "cut",
        "length": "coin",
        "far": "home",
    }
    assert from_query(said).told_words() == "Cut, up to 25 mm, front tube, near the tip; at home."


# Wherever the self-check lets a damaged tube get home, the shop's own judgement does not forbid it.


@pytest.mark.parametrize("code", CODES)
def test_no_damaged_tube_is_sent_home_that_the_shop_would_ground(gear, code):
    for look in ("cut", "hole"):
        for station in HUNDREDTHS[66::2]:
            for length in [str(mm) for mm in (2, 5, 10, 15, 20, 25)]:
                advice = on_the_front(gear[code].pattern, station, look, length=length)
                if advice.verdict is Verdict.GET_HOME:
                    assert advice.assessment.band is not Band.GROUNDED
