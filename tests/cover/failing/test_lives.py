"""Repairs as lives: what begins one, what ends it, and what only ends the watching."""

import datetime

import pytest
from django.utils import timezone

from shoprepair.cover.failing import lives, smallness
from shoprepair.cover.failing.lives import Group, Life, groups
from shoprepair.cover.models import Claim, Ending
from tests.cover.failing.past import ago, claimed, covered, ended, visit
from tests.cover.test_survival import NAG, RELAPSED, REMISSION

pytestmark = pytest.mark.django_db
WEEK = 7 / 365.25


def only() -> Life:
    (life,) = lives.lives()
    return life


def test_the_published_remissions_written_as_covers_give_the_published_curve(django_assert_num_queries):
    for weeks, relapsed in zip(REMISSION, RELAPSED, strict=True):
        # Each watched a little past its week, so that one that failed then was still at risk.
        covered(weeks * WEEK + 1e-7, failed_after=weeks * WEEK if relapsed else None)

    with django_assert_num_queries(1):
        whole = Group("all", tuple(lives.lives()))
    # Damages are pinned seconds apart while the test runs: whole weeks again.
    found = {}
    for row in whole.curve:
        found[round(row.time / WEEK)] = (round(row.survival, 3), round(row.standard_error, 3))

    assert found == NAG
    assert whole.claims == 9


def test_a_repair_that_holds_is_watched_until_today():
    covered(3)

    life = only()
    assert life.years == pytest.approx(3, abs=1e-4)
    assert (life.failed, life.standing, life.left) == (False, True, 1)


def test_a_claim_that_was_ours_ends_it_when_the_damage_was_found():
    covered(3, failed_after=1.25)

    life = only()
    assert life.years == pytest.approx(1.25, abs=1e-4)
    assert (life.failed, life.standing, life.left) == (True, False, 0)


@pytest.mark.parametrize("decision", [Claim.Decision.NEW, Claim.Decision.OPEN])
def test_a_claim_that_was_not_ours_or_is_not_decided_leaves_it_alive(decision):
    claimed(covered(3), 1, decision)

    assert only().years == pytest.approx(3, abs=1e-4)
    assert not only().failed


def test_of_two_claims_the_first_counts():
    cover = covered(5, failed_after=4)
    claimed(cover, 3)

    assert only().years == pytest.approx(2, abs=1e-4)


def test_gear_no_longer_used_is_watched_no_longer():
    ended(covered(3), 1)

    life = only()
    assert life.years == pytest.approx(2, abs=1e-4)
    assert (life.failed, life.standing) == (False, False)


def test_terms_that_have_run_out_end_the_watching_and_a_later_claim_is_no_failure():
    until = (timezone.localtime(ago(1))).date()
    claimed(covered(3, until=until), 0.5)

    life = only()
    assert life.years == pytest.approx(2, abs=0.01)
    assert not life.failed


def test_terms_that_run_out_within_the_year_leave_less_of_it():
    covered(1, until=timezone.localdate() + datetime.timedelta(days=90))

    assert only().left == pytest.approx(91 / 365.25, abs=2 / 365)


def test_a_hand_back_that_was_taken_back_began_no_life():
    ended(covered(0.01), 0.01, Ending.Reason.NOT_HANDED_BACK)

    assert lives.lives() == []


def test_an_operation_that_was_renamed_stays_one():
    covered(3, operation_name="Casing patch, old name")
    covered(1, operation_name="Casing patch")

    (group,) = groups(lives.lives(), "operation")
    assert (group.name, group.repairs) == ("Casing patch", 2)


def test_a_repair_by_two_people_from_two_lots_counts_with_each_once():
    covered(1, techs=["Tomek", "Signe"], lots=["casing · R1", "thread · T9", "casing · R1"])

    found = lives.lives()
    assert {g.name: g.repairs for g in groups(found, "tech")} == {"Tomek": 1, "Signe": 1}
    assert {g.name: g.repairs for g in groups(found, "lot")} == {"casing · R1": 1, "thread · T9": 1}
    assert [g.name for g in groups(found, "cloth")] == ["no cloth sewn on"]


def test_several_repairs_on_one_item_are_told_from_as_many_items():
    job = visit(2)
    covered(2, job=job)
    covered(2, job=job)

    group = Group("all", tuple(lives.lives()))
    assert (group.repairs, group.inflatables) == (2, 1)


@pytest.mark.parametrize(
    ("repairs", "claims", "said"),
    [
        (9, 2, "Only 9 repairs"),
        (1, 0, "Only 1 repair:"),
        (200, 0, "not the same as none to come"),
        (200, 1, "Only 1 claim:"),
        (200, 4, "Only 4 claims:"),
    ],
)
def test_small_numbers_say_that_they_are_small(repairs, claims, said):
    assert said in smallness.words(repairs, claims)
    assert smallness.is_small(repairs, claims)


def test_thirty_repairs_with_five_claims_stand_without_a_warning():
    assert smallness.words(30, 5) == ""
    assert not smallness.is_small(30, 5)
