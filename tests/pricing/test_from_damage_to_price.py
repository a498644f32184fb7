"""Whatever can be pinned can be proposed, explained, reached and priced."""

from decimal import Decimal

import pytest

from shoprepair.gear.describe import planform
from shoprepair.gear.diagram import regions
from shoprepair.jobs import damages
from shoprepair.jobs.questions import required
from shoprepair.pricing import access, estimate, proposals, rules
from shoprepair.shop.units import Typed, Units, say
from tests.pricing.mending import KITE, WING, a_job, stocked

pytestmark = pytest.mark.django_db


def everything_wrong(job, who, *, measured):
    """One damage of every kind on one region of every part."""
    seen = set()
    for region in regions(planform(job.inflatable.pattern)):
        if region.element in seen:
            continue
        seen.add(region.element)
        first = damages.pin(job, region.x_m, region.y_m, who=who)
        for kind in damages.kinds_of(first):
            damage = damages.pin(job, region.x_m, region.y_m, who=who)
            damage.kind = kind
            lengths = {"length": Typed(0.04, "40 mm")} if measured and "length_m" in required(damage) else {}
            damages.answer(damage, who=who, kind=kind, **lengths)
        damages.remove(first, who)


@pytest.mark.parametrize("pattern", [WING, KITE])
@pytest.mark.parametrize("measured", [True, False], ids=["measured", "hardly described"])
def test_every_kind_of_damage_of_every_part_comes_to_a_price(owner, pattern, measured):
    stocked()
    job, price = a_job(pattern), rules.current()
    everything_wrong(job, owner, measured=measured)
    repairs = proposals.propose_job(job)
    described = {d.number for d in damages.live(job) if d.kind}
    assert {repair.damage.number for repair in repairs} == described
    for repair in repairs:
        assert repair.shortfall == 0 or "tape" in repair.operation.code
        for note in proposals.notes(repair):
            assert say(note, Units(length="in")).endswith((".", ":"))
        proposals.figures(repair)
    lines = estimate.lines_for(job, price)
    for line in lines:
        assert line.minutes >= 0
        assert line.amount == line.amount.quantize(Decimal("0.01")) > 0
        assert len(line.text) <= 200
        assert len(line.detail) <= 300
    plan = access.plan(job, price)
    assert plan.minutes == sum(line.minutes for line in lines if line.kind == "access")
    assert "nan" not in access.drawing(job, plan)
    again = [(repair.pk, repair.version) for repair in proposals.propose_job(job)]
    assert again == [(repair.pk, repair.version) for repair in repairs]


def test_each_choice_of_a_quote_has_exactly_one_that_is_taken(owner):
    stocked()
    job = a_job()
    everything_wrong(job, owner, measured=True)
    proposals.propose_job(job)
    lines = estimate.lines_for(job, rules.current())
    for choice in {line.choice for line in lines if line.choice}:
        assert [line.taken for line in lines if line.choice == choice].count(True) == 1
