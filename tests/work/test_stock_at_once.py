"""Two people at one shelf at the same moment."""

from decimal import Decimal

import pytest

from shoprepair.work import stock
from shoprepair.work.models import Lot, Use
from tests.factories import JobFactory, StaffFactory
from tests.pricing.test_answers_at_once import at_once
from tests.work.stocking import a_lot, a_material, a_repair, agreed_for


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("turn", range(3))
def test_of_two_who_take_the_last_metre_one_gets_it_and_one_a_sentence(turn: int) -> None:
    lot, job = a_lot(a_material("Hose", "m"), quantity="1"), JobFactory()
    people = StaffFactory(), StaffFactory()
    met = at_once(
        *[lambda who=who: stock.use(Lot.objects.get(), Decimal(1), job=job, who=who) for who in people]
    )
    [refused] = [each for each in met if each]
    assert "Lot A1 has nothing left, not 1 m." in str(refused)
    lot.refresh_from_db()
    assert lot.left == 0
    assert Use.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_many_small_cuts_at_once_lose_nothing() -> None:
    lot, job, who = a_lot(a_material(), quantity="1"), JobFactory(), StaffFactory()
    met = at_once(*[lambda: stock.use(Lot.objects.get(), Decimal("0.1"), job=job, who=who)] * 6)
    assert met == [None] * 6
    lot.refresh_from_db()
    assert lot.left == Decimal("0.400")


@pytest.mark.django_db(transaction=True)
def test_put_back_twice_at_once_is_put_back_once() -> None:
    lot, who = a_lot(a_material()), StaffFactory()
    taken = stock.use(lot, Decimal(1), job=JobFactory(), who=who)
    assert at_once(*[lambda: stock.put_back(Use.objects.get(pk=taken.pk), who=who)] * 3) == [None] * 3
    lot.refresh_from_db()
    assert lot.left == 2


@pytest.mark.django_db(transaction=True)
def test_one_mark_received_twice_at_once_is_one_lot() -> None:
    cloth = a_material()
    met = at_once(*[lambda: a_lot(cloth, "A1")] * 2)
    assert sum(each is not None for each in met) == 1
    assert Lot.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_reserving_twice_at_once_reserves_once() -> None:
    cloth = a_material()
    quote = agreed_for(a_repair(cloth=(cloth, "0.5")))
    assert at_once(*[lambda: stock.reserve(quote)] * 3) == [None] * 3
    assert stock.levels([cloth])[0].reserved == Decimal("0.500")
