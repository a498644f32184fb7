"""A plugin of pytest that changes one spot after the other and looks which change its tests see.

All tests run once, unchanged, to learn which lines each of them reaches. Then every change gets a process
of its own: forked from this one, with all loaded and the database laid out, it puts the changed code in the
place of the function's and runs the few tests that reach it, until the first that fails. Nothing is written
but what was found: a line of JSON for each change, at once.
"""

import ast
import gc
import json
import mmap
import os
import signal
import sys
import threading
import time
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator
from functools import _lru_cache_wrapper, partial
from pathlib import Path
from types import CodeType, FrameType, FunctionType
from typing import Any

import pytest
from django.db import connection, connections

from tests import empty
from tests.mutation import changes

PROGRAM = Path(__file__).resolve().parents[2] / "shoprepair"
SEEN, UNSEEN, UNREACHED = "seen", "unseen", "unreached"


def pytest_addoption(parser: pytest.Parser) -> None:
    """What is changed, in how many shares, where what is found is written, and what was seen before."""
    parser.addoption("--changed", action="append", default=[])
    parser.addoption("--shares", type=int, default=1)
    parser.addoption("--every", type=int, default=1)
    parser.addoption("--found", default=os.devnull)
    parser.addoption("--seen-before", default=os.devnull)


@pytest.hookimpl(tryfirst=True)
def pytest_runtestloop(session: pytest.Session) -> bool:
    """In the place of pytest's own loop."""
    files = {str(PROGRAM / module): module for module in session.config.getoption("changed")}
    made = [(file, module, each) for file, module in files.items() for each in changes.of(Path(file))]
    outcome = Outcome()
    session.config.pluginmanager.register(outcome)
    reached, took = first_look(session, set(files), outcome)
    if outcome.failed:
        pytest.exit("Unchanged, a test fails: " + ", ".join(outcome.failed), returncode=1)
    program = Program(set(files))
    database = kept_database()
    # A collection in a forked process would touch, and so copy, all memory.
    gc.collect()
    gc.freeze()
    restore(database)
    if (odd := tried(session, lambda: None, list(took), took))[0] == SEEN:
        pytest.exit(f"Unchanged, a test fails in a process of its own: {odd[1]}", returncode=1)
    shares, every = session.config.getoption("shares"), session.config.getoption("every")
    workers = []
    for share in range(shares):
        if not (worker := os.fork()):
            look(session, made[share * every :: shares * every], program, reached, took, own(database, share))
            os._exit(0)
        workers.append(worker)
    for worker in workers:
        os.waitpid(worker, 0)
    return True


def look(
    session: pytest.Session,
    made: list[tuple[str, str, changes.Change]],
    program: "Program",
    reached: dict[tuple[str, int], set[Any]],
    took: dict[Any, float],
    database: tuple[Path, bytes] | None,
) -> None:
    """Try one change after the other, and write down what was found."""
    known = set(Path(session.config.getoption("seen_before")).read_text().splitlines())
    saw: Counter[tuple[str, Any]] = Counter()
    with Path(session.config.getoption("found")).open("a", buffering=1) as found:
        for file, module, change in made:
            facts = {"module": module, "function": change.function, "was": change.was, "now": change.now}
            lines = [change.first] if change.in_head else change.lines
            tests = set().union(*(reached[file, line] for line in lines))
            # Who saw another change of this function looks first, then who is quick.
            name = f"{module} {change.function}"
            chosen = sorted(tests, key=lambda item: (-saw[name, item], took[item]))
            answer = SEEN if json.dumps({**facts, "answer": SEEN}) in known else UNREACHED
            if chosen and answer != SEEN:
                restore(database)
                answer, who = tried(session, partial(program.put, change, file), chosen, took)
                saw[name, who] += 1
            found.write(json.dumps({**facts, "answer": answer}) + "\n")


class Outcome:
    """Listens for tests that fail."""

    def __init__(self) -> None:
        self.failed: list[str] = []

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Called by pytest for each part of a test."""
        if report.failed:
            self.failed.append(report.nodeid)


def first_look(
    session: pytest.Session, files: set[str], outcome: Outcome
) -> tuple[dict[tuple[str, int], set[Any]], dict[Any, float]]:
    """Run all tests unchanged: which of them reach a line, and how long each takes."""
    reached: dict[tuple[str, int], set[Any]] = defaultdict(set)
    took: dict[Any, float] = {}
    hits: set[tuple[str, int]] = set()

    def line(frame: FrameType, _event: str, _arg: object) -> Any:
        hits.add((frame.f_code.co_filename, frame.f_lineno))
        return line

    def call(frame: FrameType, _event: str, _arg: object) -> Any:
        if frame.f_code.co_filename not in files:
            return None
        hits.add((frame.f_code.co_filename, frame.f_code.co_firstlineno))
        return line(frame, "", None)

    for place, item in enumerate(session.items):
        # What is there for all tests stays: the session itself comes after the last one.
        after: Any = session.items[place + 1] if place + 1 < len(session.items) else session
        hits.clear()
        began = time.perf_counter()
        threading.settrace(call)
        sys.settrace(call)
        item.ihook.pytest_runtest_protocol(item=item, nextitem=after)
        sys.settrace(None)
        threading.settrace(None)  # type: ignore[arg-type]
        took[item] = time.perf_counter() - began
        for hit in hits:
            reached[hit].add(item)
        if outcome.failed:
            break
    return reached, took


class Program:
    """The functions of these files that are in use, under whatever decorators, and what remembers answers."""

    def __init__(self, files: set[str]) -> None:
        self.functions: dict[tuple[str, str, int], list[FunctionType]] = defaultdict(list)
        self.answers = []
        for each in gc.get_objects():
            # Not `isinstance`, which wakes lazy objects.
            if type(each) is FunctionType and each.__code__.co_filename in files:
                code = each.__code__
                self.functions[code.co_filename, code.co_qualname, code.co_firstlineno].append(each)
            elif type(each) is _lru_cache_wrapper:
                self.answers.append(each)

    def put(self, change: changes.Change, file: str) -> None:
        """The changed code in the place of the function's and of those within it, and nothing remembered."""
        for code in inner(compile(change.text, file, "exec", dont_inherit=True)):
            if f"{code.co_qualname}.".startswith(f"{change.function}."):
                for function in self.functions[file, code.co_qualname, code.co_firstlineno]:
                    function.__code__ = code
                    if change.in_head and code.co_qualname == change.function:
                        put_defaults(function, change)
        for each in self.answers:
            each.cache_clear()


def kept_database() -> tuple[Path, bytes] | None:
    """Where the database is, and what it is before any test."""
    connections.close_all()
    file = Path(str(connection.settings_dict["NAME"]))
    if not file.is_file():
        return None
    empty.put(file)
    return file, file.read_bytes()


def own(database: tuple[Path, bytes] | None, share: int) -> tuple[Path, bytes] | None:
    """The database of one of those who look at the same time."""
    if database is None:
        return None
    file, content = database
    file = file.with_name(f"{file.name}-of-{share}")
    connection.settings_dict["NAME"] = str(file)
    return file, content


def restore(database: tuple[Path, bytes] | None) -> None:
    """Lay out the database anew."""
    if database is not None:
        file, content = database
        for each in file.parent.glob(f"{file.name}-*"):
            each.unlink()
        file.write_bytes(content)


def tried(
    session: pytest.Session, put: Callable[[], None], tests: list[pytest.Item], took: dict[Any, float]
) -> tuple[str, pytest.Item | None]:
    """Whether one of the tests sees the change, and which; a change that makes them last for ever is seen."""
    place_of = mmap.mmap(-1, 4)
    until = time.monotonic() + 15 + 10 * sum(took[each] for each in tests)
    child = os.fork()
    if child == 0:
        os.setsid()
        gc.disable()
        quiet = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(quiet, stream)
        try:
            put()
            outcome = Outcome()
            session.config.pluginmanager.register(outcome)
            for place, item in enumerate(tests):
                after: Any = tests[place + 1] if place + 1 < len(tests) else session
                item.ihook.pytest_runtest_protocol(item=item, nextitem=after)
                if outcome.failed:
                    place_of[:] = place.to_bytes(4, "big")
                    os._exit(1)
            os._exit(0)
        except BaseException:
            os._exit(1)
    while time.monotonic() < until:
        ended, status = os.waitpid(child, os.WNOHANG)
        if ended:
            return (UNSEEN, None) if status == 0 else (SEEN, tests[int.from_bytes(place_of[:], "big")])
        time.sleep(0.005)
    os.killpg(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return SEEN, None


def inner(code: CodeType) -> Iterator[CodeType]:
    """All code within some code."""
    for each in code.co_consts:
        if isinstance(each, CodeType):
            yield each
            yield from inner(each)


def put_defaults(function: FunctionType, change: changes.Change) -> None:
    """What a function takes where nothing is said, as far as it is written out."""
    *_, name = change.function.split(".")
    changed = next(
        each.args
        for each in ast.walk(ast.parse(change.text))
        if isinstance(each, ast.FunctionDef | ast.AsyncFunctionDef)
        and each.name == name
        and min([each.lineno, *(one.lineno for one in each.decorator_list)]) == change.first
    )
    if function.__defaults__:
        function.__defaults__ = tuple(
            new.value if isinstance(new, ast.Constant) else old
            for new, old in zip(changed.defaults, function.__defaults__, strict=True)
        )
    for argument, default in zip(changed.kwonlyargs, changed.kw_defaults, strict=True):
        if isinstance(default, ast.Constant) and function.__kwdefaults__:
            function.__kwdefaults__[argument.arg] = default.value
