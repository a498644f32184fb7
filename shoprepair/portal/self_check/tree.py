"""Every answer of the self-check at once, small enough to be kept on a phone.

A question leads by each of its answers to the next, and at the end to an outcome. Ways that end in the same
advice with the same figures share one. A place is told by its name here; its name stands for the worst end of
its zone, so nobody is answered more mildly without a line than with one.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import lru_cache
from threading import Lock
from typing import Any, NamedTuple

from django.utils.functional import Promise

from shoprepair.gear import describe, everyday
from shoprepair.gear.planform import Planform
from shoprepair.jobs.advice import Advice, advise
from shoprepair.jobs.advice.told import Told
from shoprepair.mechanics.description import LoadCases, Pattern
from shoprepair.portal.self_check import steps
from shoprepair.shop import settings

Node = int | list[Any]
"""An outcome's number, or a question with the node that each of its answers leads to."""
Key = tuple[LoadCases, tuple[tuple[Pattern, Planform], ...]]


class Outcome(NamedTuple):
    """What one or more ways lead to: a rule, its figure, and what was not known."""

    rule: str
    runs_at_m: float | None
    unknown: tuple[Promise, ...]


class Tree(NamedTuple):
    """All ways, and what they lead to. The length is not kept: it is what was told."""

    root: Node
    outcomes: tuple[Outcome, ...]


@dataclass(slots=True)
class _Grown:
    cases: LoadCases
    outcomes: dict[Outcome, int] = field(default_factory=dict)

    def node(self, told: Told) -> Node:
        question = told.missing()
        if not question:
            return self.outcomes.setdefault(outcome(self.advice(told)), len(self.outcomes))
        answers = steps.answers(question, told)
        return [question, {code: self.node(replace(told, **{question: code})) for code in answers}]

    def advice(self, told: Told) -> Advice:
        pattern = everyday.pattern(told.gear)
        place, *_pin = told.place(describe.planform(pattern))
        return advise(describe.description(pattern), place, told, self.cases)


def outcome(advice: Advice) -> Outcome:
    """Of an advice, what a phone without a line shows."""
    return Outcome(advice.rule.code, advice.runs_at_m, advice.unknown)


def tree() -> Tree:
    """The tree by the shop's figures and patterns as they are now; grown anew when one has changed."""
    with everyday.read_once(), _growing:
        return _grown(key())


def key() -> Key:
    """All figures that an answer hangs on."""
    with everyday.read_once():
        gear = tuple(
            (everyday.description(each.code), everyday.planform(each.code)) for each in everyday.EVERYDAY
        )
    return settings.cases(), gear


def ways(node: Node, told: Told | None = None) -> Iterator[tuple[Told, int]]:
    """Every way through a tree: what was told on it, and the number of its outcome."""
    told = told or Told()
    if isinstance(node, int):
        yield told, node
        return
    question, answers = node
    for code, after in answers.items():
        yield from ways(after, replace(told, **{question: code}))


def asked(node: Node, told: Told | None = None) -> Iterator[tuple[str, Told]]:
    """Every question on every way, with what was told before it."""
    told = told or Told()
    if isinstance(node, int):
        return
    question, answers = node
    yield question, told
    for code, after in answers.items():
        yield from asked(after, replace(told, **{question: code}))


_growing = Lock()
"""It takes seconds: two who ask at once wait for one tree."""


@lru_cache(maxsize=2)
def _grown(of: Key) -> Tree:
    cases, _gear = of
    grown = _Grown(cases)
    root = grown.node(Told())
    return Tree(root, tuple(grown.outcomes))
