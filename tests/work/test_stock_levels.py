"""What there is, what is reserved by agreed quotes, and what to order."""

from decimal import Decimal

import pytest

from shoprepair.jobs.models import Stage
from shoprepair.pricing import proposals, quotes
from shoprepair.pricing.models import Material
from shoprepair.shop.models import Staff
from shoprepair.work import stock
from shoprepair.work.models import Need
from tests.factories import JobFactory, QuoteFactory, QuoteLineFactory, accepted
from tests.pricing.mending import a_job, on_the_edge, one, stocked
from tests.work.stocking import a_lot, a_material, a_repair, a_step, agreed_for, out_for

pytestmark = pytest.mark.django_db


def level(material: Material) -> stock.Level:
    return next(each for each in stock.levels() if each.material == material)


def rule(material: Material, low: str, up_to: str, who: Staff, supplier: str = "Vellum & Reef") -> None:
    stock.change_rule(
        material,
        low_at=Decimal(low),
        order_up_to=Decimal(up_to),
        supplier=supplier,
        shelf_months=None,
        who=who,
    )


def test_an_agreed_repair_reserves_what_it_takes_with_its_waste() -> None:
    cloth, ring = a_material(waste=20), a_material("Valve ring", "piece", waste=5)
    repair = a_repair(cloth=(cloth, "0.5"), ring=(ring, "2"))
    agreed_for(repair)
    stock.reserve(repair.damage.job.quotes.get())
    assert (level(cloth).reserved, level(ring).reserved) == (Decimal("0.600"), Decimal(2))


def test_reserving_again_reserves_once() -> None:
    cloth = a_material()
    quote = agreed_for(a_repair(cloth=(cloth, "0.5")))
    for _ in range(3):
        stock.reserve(quote)
    assert Need.objects.count() == 1
    assert level(cloth).reserved == Decimal("0.500")


def test_what_was_taken_is_reserved_no_more_and_what_is_put_back_is_again(bench: Staff) -> None:
    cloth = a_material()
    repair = a_repair(cloth=(cloth, "0.5"))
    stock.reserve(agreed_for(repair))
    taken = stock.use(a_lot(cloth), Decimal("0.2"), job=repair.damage.job, step=a_step(repair), who=bench)
    assert (level(cloth).on_hand, level(cloth).reserved) == (Decimal("1.800"), Decimal("0.300"))
    stock.put_back(taken, who=bench)
    assert (level(cloth).on_hand, level(cloth).reserved) == (Decimal("2.000"), Decimal("0.500"))


def test_taking_more_than_was_reserved_frees_nothing_of_another_repair(bench: Staff) -> None:
    cloth = a_material()
    first, second = a_repair(cloth=(cloth, "0.5")), a_repair(cloth=(cloth, "0.4"))
    stock.reserve(agreed_for(first))
    stock.reserve(agreed_for(second))
    stock.use(a_lot(cloth), Decimal(1), job=first.damage.job, repair=first, who=bench)
    assert level(cloth).reserved == Decimal("0.400")


@pytest.mark.parametrize("stage", [Stage.READY, Stage.HANDED_BACK, Stage.WITHDRAWN, Stage.DECLINED])
def test_a_job_that_is_over_reserves_nothing(stage: Stage) -> None:
    cloth = a_material()
    repair = a_repair(cloth=(cloth, "0.5"))
    stock.reserve(agreed_for(repair))
    type(repair.damage.job).objects.filter(pk=repair.damage.job.pk).update(stage=stage)
    assert level(cloth).reserved == 0
    assert stock.reserved_by(cloth) == []


def test_a_repair_that_is_done_with_less_frees_the_rest_until_a_step_is_taken_back(bench: Staff) -> None:
    cloth = a_material()
    repair = a_repair(cloth=(cloth, "0.5"))
    stock.reserve(agreed_for(repair))
    step = a_step(repair)
    stock.use(a_lot(cloth), Decimal("0.3"), job=step.job, step=step, who=bench)
    step.job.steps.update(state="done")
    assert level(cloth).reserved == 0
    type(step).objects.filter(pk=step.pk).update(state="running")
    assert level(cloth).reserved == Decimal("0.200")


def test_an_addition_reserves_beside_what_was_agreed_before(bench: Staff) -> None:
    cloth = a_material()
    first = a_repair(cloth=(cloth, "0.5"))
    quote = agreed_for(first)
    found = a_repair(first.damage.job, cloth=(cloth, "0.2"))
    addition = QuoteFactory(job=quote.job, addition_to=quote)
    QuoteLineFactory(quote=addition, repair=found)
    accepted(quotes.send(addition, who=bench, version=1, base_url="https://loft.example"))
    assert level(cloth).reserved == Decimal("0.700")


def test_what_the_customer_leaves_out_reserves_nothing() -> None:
    cloth = a_material()
    repair = a_repair(cloth=(cloth, "0.5"))
    stock.reserve(accepted(out_for(repair, optional=True, taken=False)))
    assert level(cloth).reserved == 0


def test_the_jobs_that_reserve_a_material_are_named() -> None:
    cloth = a_material()
    repair = a_repair(cloth=(cloth, "0.5"))
    stock.reserve(agreed_for(repair))
    [reserved] = stock.reserved_by(cloth)
    assert (reserved.job, reserved.repair, reserved.quantity) == (repair.damage.job, repair, Decimal("0.500"))


def test_an_expired_or_closed_lot_is_not_on_hand(bench: Staff) -> None:
    cloth = a_material()
    a_lot(cloth, "good", "1", expires_in=10)
    a_lot(cloth, "keeps", "5")
    a_lot(cloth, "old", "2", expires_in=-1)
    stock.close(a_lot(cloth, "set aside", "4"), stock.Closing.SET_ASIDE, who=bench)
    found = level(cloth)
    assert (found.on_hand, found.expiring, found.expired) == (Decimal(6), Decimal(1), Decimal(2))


def test_low_is_what_is_free_down_to_the_mark(bench: Staff) -> None:
    cloth = a_material()
    rule(cloth, "1", "5", bench)
    a_lot(cloth, quantity="1.5")
    assert not level(cloth).low
    stock.reserve(agreed_for(a_repair(cloth=(cloth, "0.5"))))
    assert level(cloth).low
    assert level(cloth).order == Decimal("4.0")


def test_more_promised_than_there_is_is_short_and_ordered_without_a_rule() -> None:
    cloth, ring = a_material(), a_material("Valve ring", "piece")
    stock.reserve(agreed_for(a_repair(cloth=(cloth, "0.51"), ring=(ring, "0.2"))))
    assert (level(cloth).short, level(cloth).missing, level(cloth).order) == (
        True,
        Decimal("0.510"),
        Decimal("0.6"),
    )
    assert level(ring).order == Decimal(1)


def test_what_presses_comes_first(bench: Staff) -> None:
    names = ["A plenty", "B expired", "C low", "D short"]
    plenty, expired, low, short = (a_material(name) for name in names)
    for material in (plenty, expired, low):
        a_lot(material)
    a_lot(expired, "old", expires_in=-1)
    rule(low, "2", "3", bench)
    stock.reserve(agreed_for(a_repair(cloth=(short, "1"))))
    assert [each.material for each in stock.levels()] == [short, low, expired, plenty]


def test_the_order_is_grouped_by_supplier_and_what_has_none_comes_last(bench: Staff) -> None:
    names = ["Cloth", "Tape", "Film", "Thread"]
    cloth, tape, film, thread = (a_material(name) for name in names)
    rule(cloth, "1", "3", bench, "Vellum & Reef")
    rule(tape, "1", "2", bench, "Ostrand Films")
    rule(film, "1", "2", bench, "")
    rule(thread, "1", "2", bench)
    a_lot(thread, quantity="2")
    assert [(who, [(each.material, each.order) for each in rows]) for who, rows in stock.to_order()] == [
        ("Ostrand Films", [(tape, Decimal("2.0"))]),
        ("Vellum & Reef", [(cloth, Decimal("3.0"))]),
        ("", [(film, Decimal("2.0"))]),
    ]


def test_a_rule_that_would_be_low_again_at_once_is_refused(bench: Staff) -> None:
    with pytest.raises(stock.StockRefused, match="at least what counts as low"):
        rule(a_material(), "3", "2", bench)


def test_levels_cost_no_more_with_many_lots_and_uses(bench: Staff, django_assert_num_queries) -> None:
    cloth = a_material()
    for place in range(6):
        repair = a_repair(cloth=(cloth, "0.5"))
        stock.reserve(agreed_for(repair))
        lot = a_lot(cloth, f"L{place}", expires_in=place)
        stock.use(lot, Decimal("0.1"), job=repair.damage.job, repair=repair, who=bench)
    with django_assert_num_queries(5):
        stock.levels()


def test_a_step_proposes_what_its_repair_still_takes_from_the_lot_that_expires_first(bench: Staff) -> None:
    cloth = a_material(waste=20)
    repair = a_repair(cloth=(cloth, "0.5"))
    a_lot(cloth, "keeps")
    soon = a_lot(cloth, "soon", expires_in=20)
    step = a_step(repair)
    [proposal] = stock.proposals(step)
    assert (proposal.lot, proposal.offered) == (soon, Decimal("0.600"))
    stock.use(soon, Decimal("0.4"), job=step.job, step=step, who=bench)
    assert stock.for_step(a_step(repair)) == [(cloth, Decimal("0.200"))]


def test_a_step_without_a_repair_takes_nothing() -> None:
    assert stock.for_step(a_step(None, JobFactory())) == []


def test_a_casing_patch_takes_cloth_by_its_outline_and_thread_by_its_rows(bench: Staff) -> None:
    stocked()
    job = a_job()
    repair = one(proposals.propose(on_the_edge(job, 0.2, "cut", mm=40)), "casing-patch-small")
    takes = {material.code: quantity for material, quantity in stock.for_step(a_step(repair))}
    size = proposals.layup_of(repair)
    along, around = size.outline_m
    assert float(takes["casing-cloth"]) == pytest.approx(along * around * size.plies * 1.2, abs=0.001)
    assert float(takes["thread-tex-90"]) == pytest.approx(
        2 * (along + around) * size.rows * 2.5 * 1.2, abs=0.005
    )
    assert takes["alcohol-wipe"] == 2
