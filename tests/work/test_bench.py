"""The row of one person's steps, and how it makes way for one that is put in."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from shoprepair.work.bench import Bench, Turn
from shoprepair.work.making_way import put
from shoprepair.work.people import DAY, Hours
from tests.work.shop import ANNA, TODAY, crews, unhurried

OVERNIGHT = 12 * 60


def turn(rank, minutes, *after, wait=0):
    """A step of so many minutes; what is more pressing has the lower rank."""
    apart = Bench(Hours(ANNA, TODAY, frozenset())).most_within(wait)
    made = Turn(minutes, wait, weight=1, after=after, rank=rank, apart=apart)
    for before in after:
        before.followers.append(made)
    return made


def bench_with(*turns_at):
    bench = Bench(Hours(ANNA, TODAY, frozenset()))
    for one, start in turns_at:
        put_at(one, start, bench)
    return bench


def put_at(one, start, bench):
    one.begin(start)
    put(one, bench)


def begins(*turns):
    return [one.start for one in turns]


def test_what_is_less_pressing_moves_back_as_it_stands():
    first, second = turn(7, 60), turn(5, 30)
    bench = bench_with((first, 0), (second, 60))
    put_at(turn(1, 20), 0, bench)
    assert begins(first, second) == [20, 80]


def test_free_minutes_take_up_what_is_put_in_and_behind_them_nothing_moves():
    first, second, third = turn(7, 60), turn(8, 30), turn(9, 30)
    bench = bench_with((first, 0), (second, 70), (third, 120))
    put_at(turn(1, 20), 0, bench)
    assert begins(first, second, third) == [20, 80, 120]


def test_what_is_more_pressing_stays_and_the_rest_goes_on_behind_it():
    pressing, first, second = turn(2, 100), turn(7, 60), turn(8, 30)
    bench = bench_with((pressing, 60), (first, 0), (second, 160))
    put_at(turn(5, 20), 0, bench)
    assert begins(pressing, first, second) == [60, 160, 220]


def test_what_is_not_cured_lets_others_by():
    """Pushed over the end of Monday the glue cures until Tuesday night: sewing waits for Wednesday."""
    glue = turn(5, 60, wait=OVERNIGHT)
    sew, other = turn(6, 60, glue), turn(9, 200)
    bench = bench_with((glue, 200), (sew, 300), (other, 360))
    put_at(turn(1, 100), 200, bench)
    assert begins(glue, other, sew) == [300, 360, 600]


def test_sewing_waits_too_where_only_the_glue_before_it_moves():
    """Free minutes take the push up before it reaches the sewing, but the glue has come too near to it."""
    glue = turn(5, 60, wait=OVERNIGHT)
    sew, other = turn(6, 60, glue), turn(9, 200)
    bench = bench_with((glue, 200), (sew, 400), (other, 460))
    put_at(turn(1, 100), 200, bench)
    assert begins(glue, other, sew) == [300, 460, 660]


def test_a_look_in_passing_interrupts_nothing_and_is_pushed_with_the_rest():
    look, long = turn(7, 0), turn(8, 100)
    bench = bench_with((look, 0), (long, 0))
    put_at(turn(1, 50), 0, bench)
    assert begins(look, long) == [50, 50]


def test_room_is_where_nothing_more_pressing_stands():
    bench = bench_with((turn(2, 100), 0), (turn(7, 100), 100), (turn(3, 50), 230))
    assert bench.room(0, 130, rank=5) == 100
    assert bench.room(0, 131, rank=5) == 280
    assert bench.room(0, 30, rank=9) == 200
    assert bench.room(150, 30, rank=5) == 150


@unhurried
@given(crews(), st.integers(0, 4 * DAY), st.integers(0, 20 * 400))
def test_turns_that_are_far_enough_apart_are_so_for_every_night_and_weekend(people, wait, minute):
    for person in people:
        if person.works:
            hours = Hours(person, TODAY, frozenset())
            apart = Bench(hours).most_within(wait)
            assert hours.begins(minute + apart) >= hours.over_at(minute, minute) + wait
            assert hours.begins(minute + 1 + apart) >= hours.over_at(minute, minute + 1) + wait


@st.composite
def chains(draw):
    """Steps with their ranks, each perhaps after the one before it in its job."""
    jobs = draw(st.lists(st.lists(st.tuples(st.integers(0, 300), st.sampled_from((0, 60, 720, 1440))))))
    ranks = draw(st.permutations(range(len(jobs))))
    return [(100 * rank, steps) for rank, steps in zip(ranks, jobs, strict=True)]


@unhurried
@given(chains(), st.integers(0, 600))
def test_whatever_is_put_in_no_two_overlap_nothing_is_too_early_and_what_presses_more_stays(jobs, earliest):
    bench = Bench(Hours(ANNA, TODAY, frozenset()))
    for rank, steps in jobs:
        before = None
        for number, (minutes, wait) in enumerate(steps):
            made = turn(rank + number, minutes, *([before] if before else []), wait=wait)
            start = max(earliest, bench.cured_from(made))
            was = {one: one.start for one in bench.row}
            put_at(made, bench.room(start, minutes, made.rank if minutes else 10**9), bench)
            before = made
            assert all(one.end <= other.start for one, other in pairwise(bench.row))
            assert all(bench.is_cured(one, one.start) for one in bench.row)
            assert all(one.start >= start for one, start in was.items())
            assert all(one.start == start for one, start in was.items() if one.rank < made.rank)
            assert len(bench.row) == len(was) + 1
