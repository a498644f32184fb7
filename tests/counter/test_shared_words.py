"""A long list of damages says once what is so of many."""

from shoprepair.counter.shared_words import Shared, own, shared

SHOP_WORK = "Any cut in a casing is shop work."


def test_what_three_of_seven_damages_say_alike_is_said_once_with_their_numbers() -> None:
    said = {number: [SHOP_WORK, f"It runs from {number} mm."] for number in (4, 1, 2)}
    said |= {key: ["It rests."] for key in (5, 6, 7, 9)} | {8: []}
    together = shared(said)
    assert together == [Shared(SHOP_WORK, "1, 2, 4"), Shared("It rests.", "5–7, 9")]
    assert own(said[4], together) == ("It runs from 4 mm.",)


def test_six_damages_each_say_all_that_is_so_of_them() -> None:
    assert shared({key: [SHOP_WORK] for key in range(1, 7)}) == []


def test_what_two_of_many_say_alike_stays_with_each() -> None:
    said = {number: [f"It runs from {number} mm."] for number in range(1, 9)}
    said[1] = said[2] = [SHOP_WORK]
    assert shared(said) == []
    assert own(said[1], []) == (SHOP_WORK,)


def test_a_damage_that_says_the_same_twice_counts_once() -> None:
    said = {number: [] for number in range(1, 8)} | {1: [SHOP_WORK, SHOP_WORK], 2: [SHOP_WORK]}
    assert shared(said) == []
