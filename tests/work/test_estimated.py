"""What the bench is told of time: what was estimated for a piece of work, never an even share of it."""

from decimal import Decimal

import pytest

from shoprepair.work import estimated, steps
from shoprepair.work.models import Step
from tests.work.benching import on_the_bench

pytestmark = pytest.mark.django_db


@pytest.fixture
def every(bench) -> list[Step]:
    """A cut that went through the bladder: its patch, its bladder, and the way in and out."""
    return list(steps.of(on_the_bench(bench)))


def of_repair(every: list[Step]) -> list[Step]:
    code = next(step.operation_code for step in every if step.operation_code)
    return [step for step in every if step.operation_code == code]


def test_every_step_of_a_repair_tells_the_estimate_of_the_whole_repair(every):
    told = estimated.by_step(every)
    part = of_repair(every)

    whole = sum((step.minutes for step in part), Decimal(0))
    assert len(part) > 1
    assert {(told[step.pk].minutes, told[step.pk].steps) for step in part} == {(whole, len(part))}


def test_unpicking_drawing_refitting_and_closing_one_tube_is_one_piece_of_work(every):
    told = estimated.by_step(every)
    way = [step for step in every if step.opening]

    assert {step.kind for step in way} == {"open", "draw", "refit", "close"}
    assert {told[step.pk].minutes for step in way} == {sum((step.minutes for step in way), Decimal(0))}


def test_only_the_first_open_step_of_a_piece_of_work_leads_it(every):
    part = of_repair(every)
    assert [estimated.by_step(every)[step.pk].leads for step in part] == [True] + [False] * (len(part) - 1)

    part[0].state = Step.State.DONE
    told = estimated.by_step(every)
    assert [told[step.pk].leads for step in part][:2] == [False, True]


def test_all_pieces_together_are_all_that_is_planned(every):
    told = estimated.by_step(every)

    leading = sum((told[step.pk].minutes for step in every if told[step.pk].leads), Decimal(0))
    assert leading == sum((step.minutes for step in every), Decimal(0))
