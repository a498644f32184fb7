import pytest
from django.http import QueryDict
from django.utils import translation
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.gear import everyday, named_places
from shoprepair.gear.geometry import OffTheDrawing
from shoprepair.jobs.advice import Told, advise_told, from_query, read
from shoprepair.jobs.advice.looks import Look, for_place
from shoprepair.jobs.advice.told import FARS, FOLDS, LENGTHS, NAMES, SIZES, SOFTENS
from shoprepair.jobs.advice.told_words import said_again
from shoprepair.mechanics.description import Element, FindingKind, Fold, Softens

pytestmark = pytest.mark.django_db

CUT = {"kind": "wing", "size": "medium", "at": "front-tip", "look": "cut", "length": "coin", "far": "far"}


def test_it_goes_through_an_address_and_back():
    told = from_query(CUT)
    assert told.code() == "wing_medium_front-tip_cut_coin___far"
    assert read(told.code()) == told


@pytest.mark.parametrize("length", ["nail", "unsure", "37", "1", "5000"])
def test_a_length_by_comparison_or_in_millimetres_comes_back_as_it_was_told(length):
    told = from_query(CUT | {"length": length})
    assert told.length == length
    assert read(told.code()) == told


@pytest.mark.parametrize(
    ("length", "metres"),
    [("nail", 0.010), ("coin", 0.025), ("palm", 0.090), ("hand", 0.190), ("longer", None), ("37", 0.037)],
)
def test_the_length_reckoned_with_is_the_upper_end(length, metres):
    assert Told(length=length).length_m == metres


def test_one_question_after_the_other_is_asked_and_never_more_than_eight():
    said, asked = {}, []
    while name := from_query(said).missing():
        asked.append(name)
        said[name] = CUT[name]
    assert asked == ["kind", "size", "at", "look", "length", "far"]
    assert len(asked) < 8


@pytest.mark.parametrize(
    ("at", "look", "follow"),
    [
        ("front-centre", "cut", ("length",)),
        ("front-centre", "scrape", ("fold",)),
        ("strut-centre", "soft", ("softens",)),
        ("handle", "seam", ()),
        ("canopy-centre", "torn", ("length",)),
        ("window", "cloudy", ()),
        ("hose", "valve", ("softens",)),
    ],
)
def test_only_what_the_answer_can_turn_on_is_asked(at, look, follow):
    told = from_query(CUT | {"at": at, "look": look, "length": "", "far": ""})
    assert told.asked()[4:] == follow


def test_how_far_a_shop_is_is_asked_for_a_short_cut_near_the_tip_alone():
    assert from_query(CUT | {"far": ""}).missing() == "far"
    assert from_query(CUT | {"far": "", "length": "palm"}).missing() == ""
    assert from_query(CUT | {"far": "", "at": "front-middle"}).missing() == ""


@pytest.mark.parametrize(
    ("wrong", "asked_again"),
    [
        ({"kind": "boat"}, "kind"),
        ({"size": "4.5"}, "size"),
        ({"at": "engine"}, "at"),
        ({"at": "bridle"}, "at"),
        ({"at": "99,99"}, "at"),
        ({"at": "nan,inf"}, "at"),
        ({"look": "torn"}, "look"),
        ({"length": "-3"}, "length"),
        ({"length": "0"}, "length"),
        ({"length": "²"}, "length"),
        ({"length": "9" * 400}, "length"),
        ({"far": "moon"}, "far"),
    ],
)
def test_what_makes_no_sense_is_dropped_and_asked_again(wrong, asked_again):
    assert from_query(CUT | wrong).missing() == asked_again


def test_what_no_longer_fits_goes_with_what_it_hung_on():
    told = from_query(CUT | {"at": "canopy-centre"})
    assert (told.look, told.length) == ("", "")
    assert from_query(CUT | {"fold": "edge"}).fold == ""


def test_of_a_parameter_given_twice_the_last_counts():
    query = QueryDict("kind=kite&kind=wing&size=medium&at=front-tip&look=cut&length=coin&far=far")
    assert from_query(query) == from_query(CUT)


def test_a_tap_is_kept_to_the_centimetre_and_resolved_on_the_drawing():
    told = from_query(CUT | {"at": "-1.4123,0.551"})
    assert told.at == "-1.41,0.55"
    place, x, y = told.place(everyday.planform("wing-medium"))
    assert (place.element, place.side) == (Element.LEADING_EDGE, "left")
    assert (x, y) == (-1.41, 0.55)


def test_a_cut_told_of_a_fitting_is_one_of_the_tube_beside_it():
    beside = from_query(CUT | {"at": "handle"})
    assert beside.place(everyday.planform(beside.gear))[0].element is Element.STRUT
    loose = from_query(CUT | {"at": "handle", "look": "seam"})
    assert loose.place(everyday.planform(loose.gear))[0].element is Element.HANDLE
    assert loose.finding().kind is FindingKind.STITCHING


def test_gear_that_has_no_such_place_says_so():
    with pytest.raises(OffTheDrawing, match="no such place"):
        Told(at="bridle").place(everyday.planform("wing-small"))


def test_the_finding_is_the_one_that_the_shop_would_make_of_it():
    scrape = from_query(CUT | {"look": "scrape", "fold": "untried"}).finding()
    assert (scrape.kind, scrape.fold) == (FindingKind.SCUFF, Fold.UNTRIED)
    soft = from_query(CUT | {"look": "soft", "softens": "hour"}).finding()
    assert (soft.kind, soft.softens) == (FindingKind.LEAK, Softens.HOUR)


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({}, "Cut, up to 25 mm, front tube, near the tip; far from any shop."),
        ({"length": "37"}, "Cut, 37 mm, front tube, near the tip."),
        ({"look": "scrape", "fold": "untried"}, "Scrape, front tube, near the tip; fold not tried."),
        ({"at": "window", "look": "cloudy"}, "Cloudy window, clear window."),
        (
            {"at": "0.9,0.31", "look": "soft", "softens": "day"},
            "Goes soft, front tube, half way out; soft within a day.",
        ),
    ],
)
def test_the_shop_reads_one_english_sentence(said, words):
    assert from_query(CUT | said).told_words() == words


@st.composite
def addresses(draw):
    """Anything an address may hold: sense, nonsense and the one in the place of the other."""
    codes = [*SIZES, *LENGTHS, *FOLDS, *SOFTENS, *FARS, *named_places.CODES, *Look, "wing", "kite", "1.2,0.4"]
    junk = st.sampled_from(codes) | st.text(max_size=12) | st.integers().map(str)
    return {name: draw(st.just(CUT.get(name, "")) | junk) for name in NAMES}


@given(addresses())
def test_no_address_however_senseless_ends_in_an_error(said):
    told = from_query(said)
    assert read(told.code()) == told
    assert told.told_words().endswith(".")
    if not told.missing():
        advice = advise_told(told)
        assert {"length": advice.length_m, "runs_at": advice.runs_at_m}.keys() >= advice.rule.slots


@pytest.mark.parametrize("kind", ["wing", "kite"])
def test_every_place_look_and_answer_has_its_advice_with_its_figures(kind):
    planform = everyday.planform(f"{kind}-medium")
    for named in named_places.named(planform):
        for look in for_place(named.place.element):
            for length in ("coin", "unsure"):
                said = {"kind": kind, "size": "medium", "at": named.code, "look": look.value, "far": "far"}
                told = from_query(said | {"length": length, "fold": "untried", "softens": "unsure"})
                assert told.missing() == "", told
                advice = advise_told(told)
                figures = {"length": advice.length_m, "runs_at": advice.runs_at_m}
                assert all(figures[slot] is not None for slot in advice.rule.slots), told


@pytest.mark.parametrize(
    ("language", "begins"),
    [("en", "Cut, up to 25 mm"), ("de", "Schnitt, bis 25 mm"), ("es", "Corte, hasta 25 mm")],
)
def test_what_was_told_is_read_in_the_language_of_whoever_reads_it(language, begins):
    told = from_query(CUT | {"length": "coin"})
    kept = {"code": told.code(), "words": told.told_words()}
    with translation.override(language):
        assert said_again(kept).startswith(begins)


def test_what_was_told_in_codes_that_nobody_knows_any_more_is_read_as_it_was_kept():
    for kept in ({"words": "A cut."}, {"words": "A cut.", "code": "moon"}):
        assert said_again(kept) == "A cut."
