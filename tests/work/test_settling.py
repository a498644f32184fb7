"""What a step's ticks come to, whatever order they came in and from however many devices."""

import datetime
from dataclasses import dataclass
from itertools import permutations

from hypothesis import given
from hypothesis import strategies as st

from shoprepair.work.models import Step
from shoprepair.work.settling import state_of

State = Step.State
NOON = datetime.datetime(2026, 3, 2, 12, tzinfo=datetime.UTC)


@dataclass(frozen=True)
class Tap:
    verb: str
    minute: int
    key: str
    who: str = "Tomek"
    reason: str = ""

    @property
    def at(self) -> datetime.datetime:
        return NOON + datetime.timedelta(minutes=self.minute)


def taps(*verbs: str) -> list[Tap]:
    return [Tap(verb, minute, f"k{minute}", reason=f"why {minute}") for minute, verb in enumerate(verbs)]


def test_a_step_nobody_ticked_waits():
    assert state_of([]).state == State.WAITING


def test_a_start_lets_it_run_and_a_done_ends_it():
    assert state_of(taps("start")).state == State.RUNNING
    assert state_of(taps("start", "done")).state == State.DONE


def test_done_beats_a_start_of_a_device_that_had_not_heard():
    settled = state_of(taps("done", "start"))
    assert (settled.state, settled.at) == (State.DONE, NOON)


def test_two_devices_dones_count_once_and_one_undo_takes_them_back():
    assert state_of(taps("done", "done")).at == NOON
    assert state_of(taps("done", "done", "undo")).state == State.WAITING


def test_done_beats_skip_whichever_came_first():
    assert state_of(taps("skip", "done")).state == State.DONE
    assert state_of(taps("done", "skip")).state == State.DONE


def test_a_skip_that_a_done_covered_stands_again_when_the_done_is_taken_back():
    settled = state_of(taps("skip", "done", "undo"))
    assert (settled.state, settled.reason) == (State.SKIPPED, "why 0")
    assert state_of(taps("skip", "done", "undo", "undo")).state == State.WAITING


def test_an_undo_with_nothing_done_takes_back_the_start():
    assert state_of(taps("start", "undo")).state == State.WAITING


def test_what_was_taken_back_can_be_done_again_and_the_last_one_says_who():
    assert state_of(taps("done", "undo", "done")).at == NOON + datetime.timedelta(minutes=2)


def test_taps_of_one_moment_count_the_same_in_every_order():
    moment = [Tap(verb, 0, verb) for verb in ("start", "skip", "done", "undo")]
    assert len({state_of(order) for order in permutations(moment)}) == 1


tap_lists = st.lists(
    st.tuples(st.sampled_from(["start", "done", "skip", "undo"]), st.integers(0, 6), st.sampled_from("AB")),
    max_size=8,
).map(lambda found: [Tap(verb, at, f"{who}-{n}", who) for n, (verb, at, who) in enumerate(found)])


@given(tap_lists, st.randoms(use_true_random=False))
def test_the_same_ticks_give_the_same_state_in_any_order_of_arrival(found, chance):
    shuffled = chance.sample(found, len(found))
    assert state_of(shuffled) == state_of(found)


@given(tap_lists)
def test_whichever_device_s_ticks_come_first_the_merged_state_is_the_same(found):
    one, other = ([tap for tap in found if tap.who == who] for who in "AB")
    assert state_of([*one, *other]) == state_of([*other, *one]) == state_of(found)


@given(tap_lists)
def test_a_step_is_done_exactly_when_a_done_has_no_undo_after_it(found):
    rank = ("start", "skip", "done", "undo")
    order = sorted(found, key=lambda tap: (tap.at, rank.index(tap.verb), tap.key))
    since = order[max((n for n, tap in enumerate(order) if tap.verb == "undo"), default=-1) + 1 :]
    assert (state_of(found).state == State.DONE) == any(tap.verb == "done" for tap in since)


@given(tap_lists)
def test_a_done_after_all_others_always_leaves_it_done(found):
    assert state_of([*found, Tap("done", 99, "last")]).state == State.DONE
