from datetime import timedelta

import pytest
import time_machine
from django.utils import timezone

from shoprepair.cover import endings, standing
from shoprepair.cover.endings import EndingRefused
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from tests.cover.covering import covered, lightly_covered, owned_wing, worked
from tests.factories import InflatableFactory, JobFactory, handed_back
from tests.pricing.mending import on_the_edge, stocked

pytestmark = pytest.mark.django_db


def test_gear_that_is_no_longer_used_ends_all_its_covers_for_good(owner: Staff) -> None:
    gear = InflatableFactory()
    covers = [lightly_covered(gear), lightly_covered(gear)]
    ended = endings.retire(gear, "Torn apart on the reef.", who=owner)
    assert [ending.cover for ending in ended] == covers
    assert (standing.standing(gear), endings.is_retired(gear)) == ([], True)
    assert journal.entries(gear).first().text == (
        "Cover 00002 ended: the gear is no longer used (Torn apart on the reef)."
    )
    with pytest.raises(EndingRefused, match="nothing to end"):
        endings.retire(gear, "Again.", who=owner)


def test_a_cover_that_ran_out_does_not_end_once_more_with_its_gear(owner: Staff) -> None:
    gear = InflatableFactory()
    ran_out = lightly_covered(gear, cover_months=1)
    stands = lightly_covered(gear)
    with time_machine.travel(timezone.now() + timedelta(days=40)):
        ended = endings.retire(gear, "Torn apart on the reef.", who=owner)
    assert ([ending.cover for ending in ended], standing.ending_of(ran_out)) == ([stands], None)


def test_gear_is_not_retired_without_a_word(owner: Staff) -> None:
    cover = lightly_covered()
    with pytest.raises(EndingRefused, match="Say what became of the gear"):
        endings.retire(cover.inflatable, " \0 ", who=owner)
    with pytest.raises(EndingRefused, match="300 letters or fewer; these are 301"):
        endings.retire(cover.inflatable, "x" * 301, who=owner)
    assert standing.standing(cover.inflatable) == [cover]


def test_an_ended_cover_keeps_its_first_ending(owner: Staff) -> None:
    cover = lightly_covered()
    first = endings.end(cover, "void", "Bleached by the sun on purpose.", who=owner)
    assert endings.end(cover, "retired", "Gone.", who=owner) == first


@pytest.mark.parametrize(("reason", "note"), [("void", ""), ("tired", "Old.")])
def test_a_cover_does_not_end_without_a_reason(owner: Staff, reason: str, note: str) -> None:
    with pytest.raises(EndingRefused, match="Say why"):
        endings.end(lightly_covered(), reason, note, who=owner)


def test_a_new_owner_who_is_not_of_the_shop_ends_it_by_name() -> None:
    ending = endings.end(lightly_covered(), "void", "It does not pass on.", who=None, who_name="Ilka")
    assert (ending.who, ending.who_name) == (None, "Ilka")


def test_a_new_bladder_ends_what_was_promised_of_the_old_one_and_nothing_else() -> None:
    stocked()
    wing = owned_wing()
    casing, patch = covered(wing)
    job = JobFactory(inflatable=wing, customer=casing.job.customer)
    on_the_edge(job, 0.6, "burst", through_bladder="yes")
    given = handed_back(worked(job)).covers.all()
    assert "bladder-replace-le" in [cover.operation for cover in given]
    ended = {standing.ending_of(cover) and standing.ending_of(cover).reason for cover in standing.of(wing)}
    assert ended == {None, "replaced"}
    (gone,) = [cover for cover in standing.of(wing) if standing.ending_of(cover)]
    assert (gone, standing.ending_of(gone).note) == (patch, f"A new bladder, cover {given[1]}.")
    assert casing in standing.standing(wing)


def test_nobody_but_the_owner_ends_all_covers_of_a_piece_of_gear(counter: Staff) -> None:
    cover = lightly_covered()
    with pytest.raises(endings.EndingRefused, match="Only the owner ends all covers"):
        endings.retire(cover.inflatable, "Torn apart on the reef.", who=counter)
