from decimal import Decimal

import pytest

from shoprepair.pricing.learning import learned, measured
from shoprepair.pricing.models import Operation
from tests.factories import JobFactory, OperationFactory

pytestmark = pytest.mark.django_db


def operation_measured(*minutes: int) -> Operation:
    """An operation estimated at twenty minutes each time, and what it took."""
    operation, job = OperationFactory(set_up_minutes=20, minutes_per_m=10), JobFactory()
    for took in minutes:
        measured(job, operation, Decimal(20), Decimal(took))
    return operation


def test_the_middle_measurement_suggests_new_minutes() -> None:
    found = learned(operation_measured(20, 22, 24, 26, 28))
    assert (found.count, found.median_ratio) == (5, 1.2)
    assert (found.low, found.high) == (1.1, 1.3)
    assert (found.suggested_minutes, found.suggested_per_m, found.suggested_per_m2) == (24, 12, 0)


def test_an_outlier_moves_the_middle_little_and_is_not_hidden() -> None:
    found = learned(operation_measured(20, 22, 24, 26, 400))
    assert found.suggested_minutes == 24
    assert found.most == 20
    assert found.sentence == (
        "Measured 5 times, from 1.00 to 20.00 times the estimate: "
        "half of them between 1.10 and 1.30, the middle 1.20."
    )


@pytest.mark.parametrize("minutes", [(24,), (24, 26), (20, 22, 24, 26)])
def test_a_few_measurements_suggest_nothing_and_say_so(minutes: tuple[int, ...]) -> None:
    found = learned(operation_measured(*minutes))
    assert found.count == len(minutes)
    assert found.median_ratio is not None
    assert found.suggested_minutes is None
    assert "too few to suggest other minutes; 5 are needed" in found.sentence


def test_one_measurement_has_no_spread() -> None:
    found = learned(operation_measured(24))
    assert found.sentence.startswith("Measured once, at 1.20 times the estimate: too few")


def test_what_was_never_measured_says_so() -> None:
    found = learned(OperationFactory())
    assert (found.count, found.median_ratio, found.suggested_minutes) == (0, None, None)
    assert found.sentence == "Not measured yet."


def test_each_operation_learns_from_itself_alone() -> None:
    operation_measured(400, 400, 400, 400, 400)
    assert learned(operation_measured(20)).most == 1


@pytest.mark.parametrize(("estimated", "took"), [(0, 20), (20, 0), (-5, 20), (20, -5)])
def test_no_time_is_no_measurement(estimated: int, took: int) -> None:
    with pytest.raises(ValueError, match="more than nought"):
        measured(JobFactory(), OperationFactory(), Decimal(estimated), Decimal(took))


@pytest.mark.parametrize(
    ("minutes", "differs"),
    [
        ((20, 20, 20, 20, 20), False),
        ((18, 19, 20, 21, 30), False),
        ((20, 22, 24, 26, 28), True),
        ((30,), False),
    ],
)
def test_minutes_are_only_offered_where_they_are_other_than_the_catalogues(
    minutes: tuple[int, ...], differs: bool
) -> None:
    assert learned(operation_measured(*minutes)).differs is differs
