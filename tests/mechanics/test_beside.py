import pytest

from shoprepair.mechanics.assessment import assess
from shoprepair.mechanics.description import (
    Answer,
    Band,
    Direction,
    Element,
    Finding,
    FindingKind,
    Place,
)
from tests.mechanics.patterns import KITE, WING
from tests.mechanics.wild import cut, on_canopy, on_strut, on_the_leading_edge

BURST = Finding(kind=FindingKind.BURST)
HANDLE = Place(element=Element.HANDLE, station=0.0, fraction=0.3)


def looks(pattern, place, finding):
    return [sentence.text for sentence in assess(pattern, place, finding).inspect]


def test_after_a_burst_the_mirror_place_is_the_next_to_go():
    """common practice, no source"""
    judged = assess(WING, on_the_leading_edge(0.4, side="left"), BURST)
    assert judged.inspect[0].text == (
        "Look at the mirror place, as far right of the centre: after a burst it is the next to go."
    )


def test_a_burst_strut_has_its_mirror_in_the_matching_strut():
    place = on_strut(1, fraction=0.4, station=0.35, side="right")
    assert "the matching strut, left" in looks(KITE, place, BURST)[0]


def test_a_burst_at_the_centre_has_no_mirror_place():
    assert "look at both sides" in looks(WING, on_the_leading_edge(0.0, side="centre"), BURST)[0]


@pytest.mark.parametrize(
    ("through", "words"),
    [(Answer.YES, "a patch of its own"), (Answer.UNKNOWN, "nobody said whether it is whole")],
)
def test_the_bladder_behind_a_cut_is_to_be_looked_at(through, words):
    assert words in looks(WING, on_the_leading_edge(0.2), cut(through_bladder=through))[0]


def test_a_bladder_known_to_be_whole_is_left_alone():
    assert looks(WING, on_the_leading_edge(0.2), cut(through_bladder=Answer.NO)) == []


def test_a_torn_canopy_has_no_bladder_behind_it():
    torn = Finding(kind=FindingKind.TEAR, length_m=0.05, direction=Direction.ALONG)
    assert looks(WING, on_canopy(), torn) == []


@pytest.mark.parametrize(
    ("place", "finding", "words"),
    [
        (on_the_leading_edge(0.2), Finding(kind=FindingKind.SEAM_OPENED, length_m=0.02), "behind the seam"),
        (on_the_leading_edge(0.2), Finding(kind=FindingKind.LEAK), "valves and hose ends"),
        (HANDLE, Finding(kind=FindingKind.STITCHING, stitched_left_m=0.05), "on the other side"),
        (on_canopy(), Finding(kind=FindingKind.RESIDUE), "look at the cloth under it"),
    ],
)
def test_each_damage_says_what_to_look_at_besides(place, finding, words):
    assert any(words in look for look in looks(WING, place, finding))


def test_a_flaw_under_residue_says_what_to_look_at_as_if_bare():
    bare = cut(0.02)
    covered = Finding(kind=FindingKind.RESIDUE, under=bare)
    place = on_the_leading_edge(0.2)
    assert looks(WING, place, covered) == looks(WING, place, bare)


def test_every_answer_says_that_it_certifies_nothing():
    for place, finding in [(on_the_leading_edge(), cut()), (on_canopy(), Finding(kind=FindingKind.STAIN))]:
        assert "not a certificate" in assess(WING, place, finding).cautions[-1].text


def test_air_under_pressure_calls_for_eye_and_ear_protection():
    on_a_tube = [c.text for c in assess(WING, on_the_leading_edge(), cut()).cautions]
    on_cloth = [c.text for c in assess(WING, on_canopy(), Finding(kind=FindingKind.STAIN)).cautions]
    assert any("eye and ear protection at test pressure" in text for text in on_a_tube)
    assert not any("eye and ear" in text for text in on_cloth)


def test_what_may_fail_offshore_can_drown():
    judged = assess(WING, on_the_leading_edge(), cut())
    assert judged.band in (Band.GROUNDED, Band.REPAIR_FIRST)
    assert any("drown" in caution.text for caution in judged.cautions)
    harmless = assess(WING, on_canopy(0.9), Finding(kind=FindingKind.STAIN))
    assert not any("drown" in caution.text for caution in harmless.cautions)
