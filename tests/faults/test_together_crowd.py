"""A crowd at one job, each doing what they please at the same moment: what the shop promises holds."""

import os

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule, run_state_machine_as_test

from shoprepair.shop.models import Staff
from tests.faults.crowd import ACTS, Desk, at_once, wrong

pytestmark = pytest.mark.django_db(transaction=True)
USUAL = ("says yes", "takes to the bench", "leaves a step out", "pays a part", "hands back")
"""How a job goes when nobody is in the way."""
ROUNDS = int(os.environ.get("SHOPREPAIR_SOAK") or 100)


@pytest.mark.parametrize(
    ("examples", "steps"), [(1, 5), pytest.param(ROUNDS, 25, marks=pytest.mark.soak)], ids=["few", "many"]
)
def test_whatever_a_crowd_does_at_once_the_shop_s_promises_hold(
    counter: Staff, bench: Staff, owner: Staff, examples: int, steps: int
) -> None:
    class Crowd(RuleBasedStateMachine):
        @initialize()
        def begin(self) -> None:
            self.desk = Desk({"maja": counter, "tomek": bench, "runa": owner})

        @rule(
            usual=st.sampled_from(USUAL),
            others=st.lists(st.sampled_from(sorted(ACTS)), max_size=2),
            twice=st.booleans(),
        )
        def at_once(self, usual: str, others: list[str], twice: bool) -> None:
            at_once(self.desk, [usual, *others], twice=twice)

        @invariant()
        def nothing_is_wrong(self) -> None:
            said = wrong(self.desk)
            assert not said, "\n".join(said)

    run_state_machine_as_test(
        Crowd,
        settings=settings(
            max_examples=examples,
            stateful_step_count=steps,
            deadline=None,
            derandomize=examples < 10,
            database=None,
            suppress_health_check=list(HealthCheck),
        ),
    )


def test_a_job_goes_its_way_though_each_form_is_sent_twice_at_once(
    counter: Staff, bench: Staff, owner: Staff
) -> None:
    desk = Desk({"maja": counter, "tomek": bench, "runa": owner})
    for name in ("says yes", "takes to the bench", "leaves a step out", "leaves a step out", "pays a part"):
        at_once(desk, [name], twice=True)
    at_once(desk, ["hands back", "pays a part"], twice=True)
    assert wrong(desk) == []
    assert desk.fresh().stage == "handed-back"
