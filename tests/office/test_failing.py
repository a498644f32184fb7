"""The reports on what fails: empty, with a little, by choice, as CSV, and never dearer with size."""

import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shoprepair.gear import describe
from shoprepair.pricing.models import Repair
from tests.cover.failing.past import claimed, covered, visit
from tests.factories import DamageFactory, InflatableFactory, KiteFactory, OperationFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def office(as_person, owner):
    """The owner at the desk."""
    return as_person(owner)


def read(client, name, **asked):
    answer = client.get(reverse(name), asked)
    words = re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.content.decode())).replace(
        "\N{NO-BREAK SPACE}", " "
    )
    return answer, words


def statements(client, name) -> int:
    """What a page asks of the database when no drawing is kept yet."""
    describe.forget()
    with CaptureQueriesContext(
        connection,
    ) as caught:
        assert client.get(reverse(name)).status_code == 200
    return len(caught)


def a_year_of_work(item=None) -> None:
    """Damages on a wing and a kite, one of them repaired, covered and claimed."""
    wing = item or InflatableFactory(bought_year=2020)
    kite = InflatableFactory(pattern=KiteFactory())
    first = DamageFactory(job=visit(2, gear=wing))
    Repair.objects.create(damage=first, operation=OperationFactory())
    DamageFactory(job=visit(1, gear=wing), kind="burst")
    DamageFactory(job=visit(1, gear=kite), element="canopy", kind="tear", station=0.4, fraction=0.5)
    claimed(covered(2, job=first.job, cloth="casing 170", techs=["Tomek"], lots=["casing · R1"]), 1)


def test_an_empty_shop_is_told_what_to_do_next(office):
    _, where = read(office, "failing")
    _, lives = read(office, "lives")

    assert "No damage has been pinned yet" in where
    assert "No repair has been handed back under cover yet" in lives


@pytest.mark.parametrize("report", ["failing", "lives"])
def test_what_the_report_is_about_is_asked_once_there_is_anything_to_tell(office, report):
    asks = b'class="report-ask'
    assert asks not in read(office, report)[0].content

    a_year_of_work()
    assert asks in read(office, report)[0].content


def test_ages_that_nobody_wrote_down_are_said_and_not_drawn(office):
    a_year_of_work(InflatableFactory(bought_year=None))
    answer, words = read(office, "failing")
    assert "Nothing to draw yet: of no damaged gear is the year known in which it was bought." in words
    assert b'id="age' not in answer.content

    a_year_of_work()
    answer, words = read(office, "failing")
    assert "Nothing to draw yet" not in words
    assert b'id="age' in answer.content


def test_the_report_shows_each_kind_of_gear_and_says_that_its_numbers_are_small(office):
    a_year_of_work()
    answer, words = read(office, "failing")

    assert "Figure 1 Damages on wings" in words
    assert "Figure 2 Damages on kites" in words
    assert "Small numbers. Only 1 damage: single marks, not yet a pattern." in words
    assert "1 place of 1 repair came back: 100 %, between 2.5 % and 100 %." in words
    assert b'class="diagram is-paper density"' in answer.content


def test_the_life_of_repairs_tells_claims_limits_and_what_to_set_aside(office):
    a_year_of_work()
    for _ in range(40):
        covered(2)
    _, words = read(office, "lives")

    assert "1 repair of 41 came back as ours" in words
    assert (
        "After a year 97.6 % hold" in words or "After a year 100 % hold" in words or "claims in 100" in words
    )
    assert "Only 1 claim: one more or one less would change the picture." in words
    assert "Covers that stand 40" in words


def test_with_no_claim_the_page_says_what_that_does_not_rule_out(office):
    for _ in range(60):
        covered(3)
    _, words = read(office, "lives")

    # As worked by hand: 60 repairs of 3 years, wearing out with shape 2.
    assert "No claim that was ours in 180 repair-years." in words
    assert "up to 1.66 claims in 100 repair-years" in words
    assert "up to 42.6 % could still fail within ten years" in words
    assert "say very little about a lifetime" in words


@pytest.mark.parametrize(
    ("by", "name"),
    [("operation", "Casing patch"), ("cloth", "casing 170"), ("tech", "Tomek"), ("lot", "casing · R1")],
)
def test_repairs_are_told_apart_and_one_of_them_can_be_looked_at(office, by, name):
    a_year_of_work()
    covered(1, operation="other", operation_name="Window")
    _, words = read(office, "lives", by=by, of=name)

    assert f"1 {name}" in words
    assert f"{name}: share that holds" in words
    assert "1 repair on one item of gear" in words


def test_a_choice_narrows_the_report_and_an_impossible_one_gets_a_sentence(office):
    a_year_of_work()
    _, words = read(office, "failing", gear="kite")
    assert "Damages on wings" not in words

    answer, words = read(office, "failing", gear="balloon", since="2025", until="2024")
    assert answer.status_code == 422
    assert "Nothing goes by that name here. Choose from the list." in words

    answer, words = read(office, "failing", kind="stain")
    assert "Nothing came in that is like this" in words
    assert answer.content.decode().count("Ask for all") == 1


def test_of_a_single_damage_no_share_is_told_and_no_part_of_one_is_drawn(office):
    wing = InflatableFactory(bought_year=2020)
    damage = DamageFactory(job=visit(2, gear=wing))
    Repair.objects.create(damage=damage, operation=OperationFactory())
    covered(2, job=damage.job)
    answer, words = read(office, "failing")

    assert "1 damage, on the leading edge." in words
    assert "None of 1 repair came back; up to 97.5 % is not ruled out." in words
    ages = answer.content.decode().partition('id="age"')[2].partition("</svg>")[0]
    assert re.findall(r">([\d.]+)</text>", ages)[:2] == ["0", "1"]


@pytest.mark.parametrize(
    "asked", [{"by": "moon"}, {"of": "Nothing like it"}, {"by": "lot", "of": "no\x00ne"}]
)
def test_lives_told_apart_by_nonsense_keep_their_page(office, asked):
    covered(1)
    answer, words = read(office, "lives", **asked)

    assert answer.status_code == 422
    assert "Choose from the list." in words
    assert "All repairs: share that holds" in words


def test_every_figure_leaves_as_csv_that_no_spreadsheet_takes_for_formulas(office):
    a_year_of_work()
    covered(1, operation="evil", operation_name="=HYPERLINK(1)")

    for name in ("failing", "lives"):
        answer, _ = read(office, name)
        links = re.findall(r"table=([a-z-]+)", answer.content.decode())
        assert links
        for link in links:
            kept = office.get(reverse(name), {"table": link})
            assert (kept.status_code, kept["Content-Type"]) == (200, "text/csv; charset=utf-8")
            assert f'filename="{link}-' in kept["Content-Disposition"]
    side = office.get(reverse("lives"), {"table": "claims-side-by-side"}).content.decode()
    assert "'=HYPERLINK(1),1,1,1," in side
    assert office.get(reverse("lives"), {"table": "nothing"}).status_code == 404


@pytest.mark.parametrize("name", ["failing", "lives"])
def test_a_larger_shop_asks_no_more_of_the_database(office, name):
    # Two patterns of a kind from the start, for only one of each stands for the rest on a drawing.
    for _ in range(2):
        a_year_of_work()
    office.get(reverse(name))
    small = statements(office, name)
    for _ in range(4):
        a_year_of_work()

    assert statements(office, name) == small
    assert small <= 24
