"""What a served shop does beside its requests."""

import threading

from shoprepair.work.beside import Beside


def test_in_commands_and_tests_it_is_done_at_once() -> None:
    done: list[str] = []
    Beside(lambda: done.append("planned")).ask()
    assert done == ["planned"]


def test_what_is_asked_for_in_quick_succession_is_done_once_and_nobody_waits() -> None:
    done: list[str] = []
    planned = threading.Event()

    def plan() -> None:
        done.append(threading.current_thread().name)
        planned.set()

    beside = Beside(plan, pause_s=0.2)
    beside.begin()
    for _ in range(5):
        beside.ask()
    assert planned.wait(10)
    assert done == ["beside"]


def test_what_is_asked_for_while_it_is_done_is_done_again() -> None:
    began, goes_on, again = threading.Event(), threading.Event(), threading.Event()

    def plan() -> None:
        if began.is_set():
            again.set()
        began.set()
        goes_on.wait(10)

    beside = Beside(plan, pause_s=0)
    beside.begin()
    beside.ask()
    assert began.wait(10)
    beside.ask()
    goes_on.set()
    assert again.wait(10)
