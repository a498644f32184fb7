"""Lots that come in, are taken from, put back, counted and closed."""

import datetime
import random
from decimal import Decimal

import pytest
from django.db.models import Sum
from django.utils import timezone

from shoprepair.pricing.models import Repair
from shoprepair.pricing.stale import Stale
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.work import stock
from shoprepair.work.models import Lot, Use
from tests.factories import JobFactory, OperationFactory
from tests.work.stocking import a_lot, a_material, a_repair, a_step

pytestmark = pytest.mark.django_db
TODAY = timezone.localdate


def adds_up(lot: Lot) -> bool:
    """Whether what is left is what came in, less its uses, plus what countings found."""
    lot.refresh_from_db()
    used = lot.uses.aggregate(all=Sum("quantity"))["all"] or Decimal(0)
    counted = sum((count.found - count.before for count in lot.counts.all()), Decimal(0))
    return lot.left == lot.quantity - Decimal(used).quantize(Decimal("0.001")) + counted


def test_a_delivery_is_on_the_shelf_and_in_the_journal(bench: Staff) -> None:
    cloth = a_material()
    lot = stock.receive(cloth, "  KT 77 ", Decimal("2.5"), TODAY(), None, who=bench)
    assert (lot.code, lot.left) == ("KT 77", Decimal("2.500"))
    assert "Received 2.5 m² of Casing cloth, lot KT 77." in journal.entries(lot).get().text
    assert journal.entries(stock.shelf_of(cloth)).count() == 1
    assert not journal.entries(cloth).exists(), "the office would take it for a change of the material"


def test_the_shelf_life_of_the_rule_dates_a_delivery(bench: Staff) -> None:
    tape = a_material("Adhesive cloth")
    stock.change_rule(
        tape, low_at=Decimal(1), order_up_to=Decimal(3), supplier="Vellum & Reef", shelf_months=3, who=bench
    )
    came = datetime.date(TODAY().year - 1, 11, 30)
    lot = stock.receive(tape, "B1", Decimal(1), came, None, who=bench)
    assert lot.expires_on == datetime.date(TODAY().year, 2, 29 if TODAY().year % 4 == 0 else 28)


def test_a_mark_is_received_once_for_each_material(bench: Staff) -> None:
    cloth, film = a_material(), a_material("TPU film")
    a_lot(cloth, "A1")
    a_lot(film, "A1")
    with pytest.raises(stock.StockRefused, match="a lot A1 of this material already, with 2 m² left"):
        a_lot(cloth, "a1")


@pytest.mark.parametrize(
    ("quantity", "days_ago", "keeps", "said"),
    [
        ("0", 0, None, "more than nought"),
        ("-1", 0, None, "more than nought"),
        ("100000", 0, None, "at most"),
        ("1", -1, None, "still to come"),
        ("1", 36500, None, "look at the year"),
        ("1", 0, -1, "expired before it came in"),
        ("1", 0, 36500, "look at the year"),
    ],
)
def test_a_delivery_that_cannot_be_is_refused(
    bench: Staff, quantity: str, days_ago: int, keeps: int | None, said: str
) -> None:
    came = TODAY() - datetime.timedelta(days=days_ago)
    until = None if keeps is None else TODAY() + datetime.timedelta(days=keeps)
    with pytest.raises(stock.StockRefused, match=said):
        stock.receive(a_material(), "A1", Decimal(quantity), came, until, who=bench)


def test_a_blank_mark_is_refused(bench: Staff) -> None:
    with pytest.raises(stock.StockRefused, match="Write the lot's mark"):
        stock.receive(a_material(), "  ", Decimal(1), TODAY(), None, who=bench)


def test_taking_leaves_the_rest_and_says_so_on_lot_and_job(bench: Staff) -> None:
    lot, job = a_lot(a_material()), JobFactory()
    stock.use(lot, Decimal("0.35"), job=job, who=bench)
    assert lot.left == Decimal("1.650")
    assert adds_up(lot)
    assert "Took 0.35 m² of Casing cloth, lot A1." in journal.entries(job).first().text
    assert f"for job {job}" in journal.entries(lot).first().text


def test_more_than_there_is_is_refused_and_nothing_is_taken(bench: Staff) -> None:
    lot = a_lot(a_material(), quantity="0.3")
    with pytest.raises(stock.StockRefused, match=r"Lot A1 has 0\.3 m² left, not 0\.35 m²\."):
        stock.use(lot, Decimal("0.35"), job=JobFactory(), who=bench)
    assert lot.left == Decimal("0.300")
    assert not Use.objects.exists()


def test_the_very_last_of_a_lot_can_be_taken_after_many_cuts(bench: Staff) -> None:
    lot, job = a_lot(a_material(), quantity="0.3"), JobFactory()
    for _ in range(3):
        stock.use(lot, Decimal("0.1"), job=job, who=bench)
    assert lot.left == 0
    assert adds_up(lot)
    with pytest.raises(stock.StockRefused, match="has nothing left"):
        stock.use(lot, Decimal("0.001"), job=job, who=bench)


@pytest.mark.parametrize("quantity", ["0", "-0.5", "0.0001"])
def test_taking_nothing_or_less_is_refused(bench: Staff, quantity: str) -> None:
    with pytest.raises(stock.StockRefused, match="more than nought"):
        stock.use(a_lot(a_material()), Decimal(quantity), job=JobFactory(), who=bench)


def test_an_expired_lot_needs_the_owner_and_a_reason(bench: Staff, owner: Staff) -> None:
    lot, job = a_lot(a_material(), expires_in=-1), JobFactory()
    with pytest.raises(stock.StockRefused, match=r"expired on .* or ask the owner"):
        stock.use(lot, Decimal(1), job=job, who=bench, reason="It sticks.")
    with pytest.raises(stock.StockRefused, match="Say why it may still be used"):
        stock.use(lot, Decimal(1), job=job, who=owner, reason=" – ")
    taken = stock.use(lot, Decimal(1), job=job, who=owner, reason="Peel test held.")
    assert taken.reason == "Peel test held."
    assert "though it has expired: Peel test held." in journal.entries(job).first().text


def test_a_lot_may_be_used_on_its_last_day(bench: Staff) -> None:
    assert stock.use(a_lot(a_material(), expires_in=0), Decimal(1), job=JobFactory(), who=bench)


def test_what_was_taken_is_put_back_once(bench: Staff) -> None:
    lot, job = a_lot(a_material()), JobFactory()
    taken = stock.use(lot, Decimal("0.35"), job=job, who=bench)
    back = stock.put_back(taken, who=bench)
    assert back.quantity == Decimal("-0.350")
    assert stock.put_back(taken, who=bench) == back
    lot.refresh_from_db()
    assert lot.left == Decimal("2.000")
    assert adds_up(lot)
    with pytest.raises(stock.StockRefused, match="put back itself"):
        stock.put_back(back, who=bench)


def test_the_first_lot_to_expire_is_proposed_if_it_has_enough() -> None:
    cloth = a_material()
    a_lot(cloth, "keeps", "9")
    a_lot(cloth, "later", "9", expires_in=40)
    a_lot(cloth, "gone", "9", expires_in=-1)
    soon = a_lot(cloth, "soon", "0.2", expires_in=5)
    assert stock.choose_lot(cloth, TODAY()) == soon
    assert stock.choose_lot(cloth, TODAY(), Decimal("0.5")).code == "later"
    assert stock.choose_lot(cloth, TODAY(), Decimal(100)) == soon
    assert stock.choose_lot(cloth, TODAY() + datetime.timedelta(days=6)).code == "later"
    assert stock.choose_lot(a_material("TPU film"), TODAY()) is None


def test_a_count_corrects_what_is_left_and_says_why(bench: Staff) -> None:
    lot = a_lot(a_material())
    stock.count(lot, Decimal("1.2"), "End of the roll was stained.", who=bench, version=lot.version)
    assert lot.left == Decimal("1.200")
    assert adds_up(lot)
    assert "Counted 1.2 m² instead of 2 m²: End of the roll" in journal.entries(lot).first().text


def test_a_count_needs_a_reason_and_a_lot_that_nobody_took_from_meanwhile(bench: Staff) -> None:
    lot = a_lot(a_material())
    seen = lot.version
    with pytest.raises(stock.StockRefused, match="Say why the count differs"):
        stock.count(lot, Decimal(1), "  ", who=bench)
    stock.use(lot, Decimal(1), job=JobFactory(), who=bench)
    with pytest.raises(Stale, match="Somebody has changed lot A1"):
        stock.count(lot, Decimal(2), "Counted.", who=bench, version=seen)
    assert adds_up(lot)


def test_nothing_is_taken_from_a_closed_lot_until_it_is_opened_again(bench: Staff) -> None:
    lot, job = a_lot(a_material()), JobFactory()
    stock.close(lot, stock.Closing.SET_ASIDE, who=bench)
    with pytest.raises(stock.StockRefused, match="Lot A1 is closed"):
        stock.use(lot, Decimal(1), job=job, who=bench)
    assert stock.choose_lot(lot.material, TODAY()) is None
    stock.reopen(lot, who=bench)
    assert stock.use(lot, Decimal(1), job=job, who=bench)


def test_put_back_goes_into_a_lot_that_was_closed_meanwhile(bench: Staff) -> None:
    lot = a_lot(a_material())
    taken = stock.use(lot, Decimal(2), job=JobFactory(), who=bench)
    stock.close(lot, stock.Closing.USED_UP, who=bench)
    stock.put_back(taken, who=bench)
    assert adds_up(lot)
    assert (lot.left, lot.closed) == (Decimal(2), True)


def test_which_repairs_have_a_lot_in_them_is_answered_both_ways(bench: Staff) -> None:
    cloth = a_material()
    lot, other = a_lot(cloth), a_lot(cloth, "A2")
    first, second = a_repair(c=(cloth, "0.1")), a_repair(c=(cloth, "0.1"))
    stock.use(lot, Decimal("0.1"), job=first.damage.job, step=a_step(first), who=bench)
    stock.use(lot, Decimal("0.2"), job=first.damage.job, step=a_step(first), who=bench)
    stock.use(lot, Decimal("0.3"), job=second.damage.job, repair=second, who=bench)
    wrong = stock.use(other, Decimal("0.3"), job=second.damage.job, repair=second, who=bench)
    stock.put_back(wrong, who=bench)
    assert [(each.job, each.repair, each.quantity) for each in stock.used_by(lot)] == [
        (second.damage.job, second, Decimal("0.300")),
        (first.damage.job, first, Decimal("0.300")),
    ]
    assert stock.used_by(other) == []
    assert [(each.lot, each.quantity) for each in stock.lots_of(second.damage.job)] == [
        (lot, Decimal("0.300"))
    ]


def test_what_two_repairs_of_one_damage_took_of_a_lot_is_one_line_of_its_job(bench: Staff) -> None:
    wipe = a_material()
    lot, first = a_lot(wipe), a_repair(c=(wipe, "0.1"))
    second = Repair.objects.create(damage=first.damage, operation=OperationFactory())
    for repair in (first, second):
        stock.use(lot, Decimal("0.1"), job=first.damage.job, repair=repair, who=bench)
    assert [each.quantity for each in stock.lots_of(first.damage.job)] == [Decimal("0.200")]
    assert len(stock.used_by(lot)) == 2, "a lot called back is looked for in each repair"


def test_tracing_costs_no_more_for_a_lot_in_many_repairs(bench: Staff, django_assert_num_queries) -> None:
    cloth = a_material()
    lot = a_lot(cloth, quantity="50")
    repairs = [a_repair(c=(cloth, "0.1")) for _ in range(8)]
    for repair in repairs:
        stock.use(lot, Decimal("0.1"), job=repair.damage.job, repair=repair, who=bench)
    with django_assert_num_queries(1):
        said = [
            (
                each.job.customer.name,
                str(each.job.inflatable.pattern),
                each.repair.operation.name,
                each.uses[0].who,
            )
            for each in stock.used_by(lot)
        ]
    assert len(said) == 8
    with django_assert_num_queries(1):
        [into] = stock.lots_of(repairs[0].damage.job)
        assert (into.lot.material.name, into.repair.damage) == ("Casing cloth", repairs[0].damage)


@pytest.mark.parametrize("seed", range(3))
def test_whatever_is_done_to_a_lot_it_adds_up_and_never_falls_below_nought(bench: Staff, seed: int) -> None:
    chance, lot, job = random.Random(seed), a_lot(a_material()), JobFactory()
    for _ in range(25):
        quantity = Decimal(chance.randint(1, 900)) / 1000
        taken = list(Use.objects.filter(quantity__gt=0))
        doing = chance.choice(["take", "take", "put back", "count", "close", "open"])
        try:
            if doing == "take":
                stock.use(lot, quantity, job=job, who=bench)
            elif doing == "put back" and taken:
                stock.put_back(chance.choice(taken), who=bench)
            elif doing == "count":
                stock.count(lot, quantity, "Counted.", who=bench)
            elif doing == "close":
                stock.close(lot, stock.Closing.SET_ASIDE, who=bench)
            else:
                stock.reopen(lot, who=bench)
        except stock.StockRefused:
            pass
        assert adds_up(lot)
        assert lot.left >= 0
