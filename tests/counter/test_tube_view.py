"""The open damage on its tube rolled out: which have one, what it says, and that answers keep it true."""

import json
import re
from html import unescape

import pytest

from shoprepair.counter.tube_view import TubeView, tube_view
from shoprepair.jobs.models import Damage
from shoprepair.mechanics.description import Direction, Face, FindingKind
from shoprepair.shop.units import Units
from tests.counter.checking_in import answer, desk, enquiry, pin
from tests.factories import DamageFactory, KiteFactory

pytestmark = pytest.mark.django_db


def seen(**facts) -> TubeView:
    view = tube_view(DamageFactory(**facts), Units())
    assert view is not None
    return view


@pytest.mark.parametrize("kind", ["cut", "hole", "scuff", "seam opened", "burst", "residue", "stain"])
def test_what_lies_on_a_casing_is_shown_on_its_tube(kind):
    view = seen(kind=kind)
    assert view.before == ("direction" if kind == "cut" else "face")
    assert view.bands == ["front", "top", "back", "underside"]
    assert view.damage


@pytest.mark.parametrize(
    "facts",
    [
        {"kind": ""},
        {"kind": FindingKind.LEAK.value},
        {"kind": FindingKind.TEAR.value, "element": "canopy", "y_m": 0.8, "fraction": 0.5},
    ],
)
def test_what_has_no_face_is_not(facts):
    assert tube_view(DamageFactory(**facts), Units()) is None


def test_it_says_what_where_around_and_where_along():
    view = seen(face=Face.UNDERSIDE.value, direction=Direction.AROUND.value, length_typed="35 mm")
    assert re.fullmatch(r"35 mm cut around, underside, leading edge, \d+ mm right of centre", view.words)
    steep = seen(face=Face.TOP.value, direction=Direction.ANGLE.value, angle_deg=45.0, length_typed="35 mm")
    assert "35 mm cut at an angle, 45°, top, " in steep.words
    assert "face not said" in seen(face=Face.UNKNOWN.value).words


@pytest.mark.parametrize(
    ("direction", "angle", "turned"),
    [("along", None, "0"), ("around", None, "-90"), ("at an angle", 30.0, "-30")],
)
def test_it_is_drawn_as_it_runs(direction, angle, turned):
    view = seen(face="front", direction=direction, angle_deg=angle)
    assert f"rotate({turned})" in view.at


def test_an_angle_that_was_said_before_counts_only_for_what_runs_at_one():
    view = seen(direction="around", angle_deg=30.0)
    assert (view.now["angle"], "30°" in view.words) == (None, False)


def test_a_seam_opened_lies_along_at_the_back_and_around_elsewhere():
    assert "rotate(0)" in seen(kind="seam opened", face="back").at
    assert "rotate(-90)" in seen(kind="seam opened", face="front").at


def test_the_ends_say_where_the_tube_leads_to():
    assert seen(x_m=1.2, y_m=0.32, station=0.69).ends == ("centre", "right tip")
    assert seen(x_m=-1.2, y_m=0.32, station=0.69, side="left").ends == ("left tip", "centre")
    assert seen(x_m=0.0, y_m=0.0, station=0.0, side="centre").ends == ("left tip", "right tip")
    strut = seen(x_m=0.0, y_m=0.7, element="strut", strut=0, side="centre", fraction=0.4)
    assert strut.ends == ("leading edge", "trailing edge")


def test_a_flank_of_a_strut_is_named_as_it_was_said_though_it_is_no_band():
    view = seen(x_m=0.0, y_m=0.7, element="strut", strut=0, side="centre", fraction=0.4, face="back")
    assert ", back, centre strut" in view.words
    assert view.now["faces"] == ["top", "underside"]


def test_a_kite_is_rolled_out_as_well():
    assert seen(job__inflatable__pattern=KiteFactory(), face="back").girth.endswith("mm")


def test_whoever_reads_inches_gets_a_bar_of_inches():
    view = tube_view(DamageFactory(), Units(length="in"))
    assert view is not None
    assert view.scale_words.endswith(" in")


def test_an_answer_brings_the_cloth_anew_and_leaves_the_questions_alone(as_person, counter):
    client = as_person(counter)
    job = enquiry(counter)
    damage = pin(client, job)
    answer(client, damage, kind="cut", length="35 mm")
    page = answer(client, damage, face="back").content.decode()
    assert 'id="roll-sheet"' in page
    assert 'name="face"' not in page
    now = json.loads(unescape(re.search(r'data-now="([^"]+)"', page)[1]))
    assert (now["face"], now["length"]) == ("back", 35.0)


def test_face_and_angle_sent_together_are_kept_together(as_person, counter):
    """How steep it is, is asked for only once it is known to run at an angle: a drag says both at once."""
    client = as_person(counter)
    damage = pin(client, enquiry(counter))
    answer(client, damage, kind="cut", length="35 mm")
    page = answer(client, damage, direction="at an angle", angle_deg="60").content.decode()
    assert 'name="angle_deg"' in page
    found = Damage.objects.get(pk=damage.pk)
    assert (found.direction, found.angle_deg) == ("at an angle", 60.0)
    assert "rotate(-60)" in client.get(desk(damage.job)).content.decode()
