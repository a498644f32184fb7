"""Gear that passes to a new owner: what goes along, who agrees, and what happens when it is too late."""

import re

import pytest

from shoprepair.cover import endings, personal, standing, transfer_links, transfer_words, transfers
from shoprepair.cover.models import Cover, Ending, Transfer
from shoprepair.jobs import ownership
from shoprepair.jobs.models import Customer
from shoprepair.shop import journal
from shoprepair.shop.models import Letter
from tests.factories import CustomerFactory, InflatableFactory, JobFactory, OwnershipFactory, StaffFactory
from tests.papers.covering import cover, visit
from tests.pricing.test_answers_at_once import at_once

BASE = "https://loft.example"
LINK, PERSON = Transfer.How.LINK, Transfer.How.PERSON
FIRST_ONLY = {"words": "For a year, to whoever had it sewn.", "months": 12, "passes_on": False}

pytestmark = pytest.mark.django_db


@pytest.fixture
def ilka(db) -> Customer:
    return CustomerFactory(name="Ilka Sandvoort", email="ilka@sand.example", phone="+1 555 0134")


@pytest.fixture
def brann(db) -> Customer:
    return CustomerFactory(name="Brann Sollvik", email="brann@soll.example", phone="+1 555 0178")


@pytest.fixture
def covers(ilka) -> list[Cover]:
    """Two repairs on Ilka's wing: the first one's cover goes along, the second's does not."""
    wing = InflatableFactory(serial="PT-77010")
    OwnershipFactory(customer=ilka, inflatable=wing)
    back = visit(wing, customer=ilka)
    return [cover(back), cover(back, x_m=-0.6, terms=FIRST_ONLY)]


@pytest.fixture
def wing(covers):
    return covers[0].inflatable


@pytest.fixture
def offered(wing, brann, counter) -> Transfer:
    return transfers.offer(wing, brann, who=counter, note="Sold at the spring meeting.", base_url=BASE)


def test_covers_go_along_when_their_terms_say_so(wing, covers):
    goes = transfers.passing(wing)
    assert goes.along == (covers[0],)
    assert [(stays.cover, stays.reason) for stays in goes.ends] == [
        (covers[1], "It was given for the first owner only.")
    ]


def test_what_has_ended_or_run_out_is_not_spoken_of(wing, covers, owner):
    endings.end(covers[0], Ending.Reason.VOID, "Cut out again.", who=owner)
    assert transfers.passing(wing).along == ()


def test_when_both_have_agreed_gear_and_covers_are_the_taker_s(offered, wing, covers, ilka, brann, counter):
    transfers.agree(offered, "taker", LINK, base_url=BASE)
    assert ownership.owner(wing) == ilka
    transfers.agree(offered, "giver", PERSON, who=counter, base_url=BASE)
    assert ownership.owner(wing) == brann
    assert standing.standing(wing) == [covers[0]]
    ending = Ending.objects.get(cover=covers[1])
    assert (ending.reason, ending.at >= offered.done_at) == (Ending.Reason.PASSED_ON, True)
    assert "Ilka" not in ending.note
    assert "Brann" not in ending.note
    assert (offered.passed, offered.not_passed) == ([1], [2])
    assert (offered.giver_how, offered.taker_how) == ("person", "link")
    assert transfers.current(wing) is None
    assert transfers.history(wing) == [offered]


def test_the_covers_stay_as_they_were_written(offered, covers, counter):
    before = list(Cover.objects.values_list("contents", "digest"))
    for side in transfers.SIDES:
        transfers.agree(offered, side, PERSON, who=counter)
    assert list(Cover.objects.values_list("contents", "digest")) == before


def test_both_are_written_to_when_it_is_offered_and_when_it_is_done(offered, counter):
    for side in transfers.SIDES:
        transfers.agree(offered, side, LINK, base_url=BASE)
    letters = list(Letter.objects.order_by("id").values_list("code", "to"))
    assert letters == [
        ("transfer-offered", "ilka@sand.example"),
        ("transfer-offered", "brann@soll.example"),
        ("transfer-done", "ilka@sand.example"),
        ("transfer-done", "brann@soll.example"),
    ]
    for letter in Letter.objects.all():
        side = "giver" if letter.to.startswith("ilka") else "taker"
        assert transfer_links.url(offered, side, BASE) in letter.body
        assert "555" not in letter.body
        assert "@" not in letter.body
    assert len({re.search(r"https://\S+", letter.body)[0] for letter in Letter.objects.all()}) == 2


def test_an_offer_that_still_waits_is_not_sent_once_both_have_agreed(offered, counter):
    Letter.objects.filter(to="ilka@sand.example").update(state="sent")
    for side in transfers.SIDES:
        transfers.agree(offered, side, PERSON, who=counter)
    states = Letter.objects.order_by("id").values_list("code", "state")
    assert list(states)[:2] == [("transfer-offered", "sent"), ("transfer-offered", "cancelled")]
    assert {state for code, state in states if code == "transfer-done"} == {"waiting"}


def test_an_offer_that_still_waits_is_not_sent_once_it_is_called_off(offered, counter):
    transfers.end(offered, "shop", who=counter)
    assert {letter.state for letter in Letter.objects.all()} == {"cancelled"}


def test_a_side_without_an_address_is_not_written_to(wing, brann, counter, ilka):
    Customer.objects.filter(pk=ilka.pk).update(email="")
    transfers.offer(wing, brann, who=counter, base_url=BASE)
    assert [letter.to for letter in Letter.objects.all()] == ["brann@soll.example"]


def test_each_step_is_journalled_with_the_gear(offered, wing, counter):
    transfers.agree(offered, "giver", LINK)
    transfers.agree(offered, "taker", PERSON, who=counter)
    told = [(entry.verb, entry.who_name) for entry in journal.entries(f"inflatable:{wing.pk}")]
    assert told == [
        ("cover.ended", "Maja Orrevik"),
        ("inflatable.passed", "Maja Orrevik"),
        ("transfer.agreed", "Maja Orrevik"),
        ("transfer.agreed", "Ilka Sandvoort (customer)"),
        ("transfer.offered", "Maja Orrevik"),
    ]


def test_it_is_not_offered_to_its_owner(wing, ilka, counter):
    with pytest.raises(transfers.TransferRefused, match="Ilka Sandvoort is the present owner"):
        transfers.offer(wing, ilka, who=counter)


def test_it_is_not_offered_twice(offered, wing, counter):
    with pytest.raises(transfers.TransferRefused, match="It is passing to Brann Sollvik already"):
        transfers.offer(wing, CustomerFactory(), who=counter)
    transfers.end(offered, "shop", who=counter)
    assert transfers.offer(wing, CustomerFactory(), who=counter).pk


def test_it_is_not_offered_to_somebody_who_was_erased(wing, brann, counter):
    brann.erased_at = wing.created_at
    with pytest.raises(transfers.TransferRefused, match="was erased"):
        transfers.offer(wing, brann, who=counter)


def test_gear_of_nobody_is_not_offered(brann, counter):
    with pytest.raises(transfers.TransferRefused, match="does not know whose this gear is"):
        transfers.offer(InflatableFactory(), brann, who=counter)


def test_retired_gear_is_neither_offered_nor_agreed(offered, wing, brann, counter, owner):
    endings.retire(wing, "Cut up for cloth.", who=owner)
    with pytest.raises(transfers.TransferRefused, match="retired meanwhile"):
        transfers.agree(offered, "giver", LINK)
    transfers.end(offered, "shop", who=counter)
    with pytest.raises(transfers.TransferRefused, match="This gear is retired"):
        transfers.offer(wing, brann, who=counter)


def test_an_open_visit_is_no_obstacle_and_stays_whose_it_is(wing, ilka, brann, counter):
    job = JobFactory(inflatable=wing, customer=ilka, stage="bench")
    made = transfers.offer(wing, brann, who=counter)
    assert transfers.open_jobs(wing) == [job]
    for side in transfers.SIDES:
        transfers.agree(made, side, LINK)
    job.refresh_from_db()
    assert (job.customer, ownership.owner(wing)) == (ilka, brann)


def test_nobody_agrees_twice(offered):
    transfers.agree(offered, "giver", LINK)
    with pytest.raises(transfers.TransferRefused, match="Ilka Sandvoort has agreed to this already"):
        transfers.agree(offered, "giver", LINK)


@pytest.mark.parametrize(
    ("by", "sentence"),
    [
        ("giver", "Ilka Sandvoort has refused this transfer"),
        ("taker", "Brann Sollvik has refused this transfer"),
        ("shop", "The shop has called this transfer off"),
    ],
)
def test_after_a_no_there_is_neither_a_yes_nor_another_no(offered, wing, ilka, counter, by, sentence):
    transfers.agree(offered, "giver", LINK)
    transfers.end(offered, by, who=counter if by == "shop" else None)
    for late in (lambda: transfers.agree(offered, "taker", LINK), lambda: transfers.end(offered, "giver")):
        with pytest.raises(transfers.TransferRefused, match=sentence):
            late()
    assert ownership.owner(wing) == ilka
    assert transfers.state(offered) == ("called off" if by == "shop" else "refused")


def test_what_is_done_is_not_called_off(offered, counter):
    for side in transfers.SIDES:
        transfers.agree(offered, side, LINK)
    with pytest.raises(transfers.TransferRefused, match="It is done: the gear belongs to Brann Sollvik"):
        transfers.end(offered, "shop", who=counter)


def test_nobody_agrees_to_other_covers_than_they_were_shown(offered, wing, covers, owner):
    shown = transfers.passing(wing).shown
    endings.end(covers[0], Ending.Reason.VOID, "Cut out again.", who=owner)
    with pytest.raises(transfers.TransferRefused, match="The covers have changed"):
        transfers.agree(offered, "taker", LINK, shown=shown)
    assert transfers.agree(offered, "taker", LINK, shown=transfers.passing(wing).shown).taker_agreed_at


def test_a_key_opens_its_own_side_and_is_nowhere_kept(offered):
    keys = {side: transfer_links.token(offered, side) for side in transfers.SIDES}
    assert keys["giver"] != keys["taker"]
    for side, key in keys.items():
        assert len(key) == 43
        assert transfers.find(key) == (offered, side)
        assert transfers.find(key[:-1]) is None
    row = str(Transfer.objects.filter(pk=offered.pk).values().get())
    assert not any(key in row for key in keys.values())


def test_both_keys_open_their_sides_after_the_shop_s_own_key_was_changed(offered, settings):
    keys = {side: transfer_links.token(offered, side) for side in transfers.SIDES}
    settings.SECRET_KEY_FALLBACKS = [settings.SECRET_KEY]
    settings.SECRET_KEY = "another key that is quite long enough to be one of these keys"
    for side, key in keys.items():
        assert transfer_links.find(key) == (offered, side)
        assert transfer_links.token(offered, side) == key


def test_what_passed_is_told_the_same_way_for_ever(offered, wing, covers, owner, counter):
    for side in transfers.SIDES:
        transfers.agree(offered, side, LINK)
    told = transfer_words.of(offered)
    endings.retire(wing, "Cut up for cloth.", who=owner)
    assert transfer_words.of(offered) == told
    assert [line.number for line in told.along] == [1]
    assert (told.along[0].passes, told.ends[0].passes) == (
        "passes to a new owner",
        "for the first owner only",
    )


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("turn", range(2))
def test_of_a_last_yes_and_a_calling_off_at_the_same_moment_one_stands(offered, wing, ilka, brann, turn):
    transfers.agree(offered, "giver", LINK)
    who = StaffFactory()
    yes, no = at_once(
        lambda: transfers.agree(Transfer.objects.get(pk=offered.pk), "taker", LINK),
        lambda: transfers.end(Transfer.objects.get(pk=offered.pk), "shop", who=who),
    )
    assert [yes, no].count(None) == 1
    offered.refresh_from_db()
    assert (offered.done_at is None) != (offered.ended_at is None)
    assert ownership.owner(wing) == (brann if yes is None else ilka)


@pytest.mark.django_db(transaction=True)
def test_both_agreeing_at_the_same_moment_pass_it_once(offered, wing, brann):
    met = at_once(
        *(
            lambda side=side: transfers.agree(Transfer.objects.get(pk=offered.pk), side, LINK)
            for side in transfers.SIDES
        )
    )
    assert met == [None, None]
    assert ownership.owner(wing) == brann
    assert Letter.objects.filter(code="transfer-done").count() == 2


def test_each_side_is_told_of_gear_that_passes_between_them(offered, wing, ilka, brann):
    sides = {
        person.name: {part.name: part.rows for part in personal.PART.tell(person)}["transfers"]
        for person in (ilka, brann)
    }
    assert [row["passed"] for row in sides["Ilka Sandvoort"]] == ["from this customer"]
    assert [row["passed"] for row in sides["Brann Sollvik"]] == ["to this customer"]
    assert sides["Brann Sollvik"][0]["note"] == "Sold at the spring meeting."


def test_nothing_passes_by_a_page_whose_transfer_was_answered_meanwhile(offered, wing, ilka):
    seen = Transfer.objects.get(pk=offered.pk)
    Transfer.objects.filter(pk=offered.pk).update(version=seen.version + 1)
    with pytest.raises(transfers.TransferRefused, match="Somebody has just answered"):
        transfers._swap(seen, note="Mine.")
    assert ownership.owner(wing) == ilka


def test_of_two_who_offer_one_piece_of_gear_the_second_is_told(offered, wing, ilka, brann, counter):
    again = Transfer(
        inflatable=wing, giver=ilka, taker=brann, offered_by=counter, offered_at=offered.offered_at
    )
    transfer_links.make(again)
    with pytest.raises(transfers.TransferRefused, match="Somebody has just offered this gear"):
        transfers._save_only_one(again)


def test_gear_that_went_to_somebody_else_meanwhile_does_not_pass(offered, wing, brann, counter):
    transfers.agree(offered, "giver", LINK)
    ownership.pass_on(wing, brann, who=counter)
    with pytest.raises(transfers.TransferRefused):
        transfers.agree(offered, "taker", LINK)
    offered.refresh_from_db()
    assert offered.done_at is None


@pytest.mark.parametrize("act", ["agree", "end"])
def test_what_is_said_in_the_shop_is_written_down_by_somebody(offered, act):
    with pytest.raises(TypeError):
        transfers.agree(offered, "giver", PERSON) if act == "agree" else transfers.end(offered, "shop")


def test_what_a_transfer_came_to_is_said_in_the_words_of_its_page(offered, counter):
    before = transfer_words.of(offered)
    assert (len(before.along), len(before.ends), before.tags) == (1, 1, {1, 2})
    transfers.end(offered, "shop", who=counter)
    assert transfer_words.of(offered) == transfer_words.Lines((), ())
