"""The one page that a phone keeps: every question, every rule, and the tree that leads to it."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any, NamedTuple

from django.urls import reverse
from django.utils.translation import gettext as _

from shoprepair.gear import everyday
from shoprepair.jobs.advice.rules import RULES
from shoprepair.jobs.advice.told import LENGTHS, NAMES
from shoprepair.jobs.advice.verdicts import Verdict
from shoprepair.portal.self_check import halves, steps, tree, words
from shoprepair.portal.self_check.address import MOST_ALSO, QUESTIONS, Address
from shoprepair.portal.self_check.answer import Shown
from shoprepair.portal.self_check.steps import Choice, Step
from shoprepair.portal.self_check.tree import Outcome, Tree
from shoprepair.shop.unbroken import unbroken
from shoprepair.shop.units import Units, say_length


class Asked(NamedTuple):
    """One question with all answers that any gear has; a size is drawn for each kind apart."""

    name: str
    steps: tuple[tuple[str, Step], ...]
    """Of which kind the rows are, empty where that does not matter, and the rows."""

    @property
    def question(self) -> str:
        return str(words.QUESTIONS[self.name].question)

    @property
    def hint(self) -> str:
        return str(words.QUESTIONS[self.name].hint)


class Drawing(NamedTuple):
    """One size of gear to tap on, its places linked by name."""

    gear: str
    halves: tuple[dict[str, Any], ...]


def page(units: Units) -> dict[str, Any]:
    """What the template of the kept page needs: `questions`, `drawings`, `verdicts`, `sheets` and `tree`."""
    with everyday.read_once():
        grown = tree.tree()
        questions, tags = _rows(grown, units)
        return {
            "questions": questions,
            "drawings": [_drawing(each.code) for each in everyday.EVERYDAY],
            "verdicts": list(Verdict),
            "sheets": [Shown(rule=RULES[code]) for code in _rules(grown)],
            "tree": _told_to_the_script(grown, tags, units),
        }


def _rules(grown: Tree) -> list[str]:
    """Always in the same order: the page is known by its digest."""
    return sorted({end.rule for end in grown.outcomes})


def _rows(grown: Tree, units: Units) -> tuple[list[Asked], dict[str, dict[str, str]]]:
    """Every answer of every question once, and its words on a tag."""
    rows: dict[tuple[str, str], dict[str, Choice]] = {}
    tags: dict[str, dict[str, str]] = {}
    for question, told in tree.asked(grown.root):
        of = told.kind if question == "size" else ""
        known = rows.setdefault((question, of), {})
        if set(steps.answers(question, told)) <= set(known):
            continue
        for choice in steps.step(question, Address(told=told), units).choices:
            if known.setdefault(choice.code, choice) is choice:
                said = steps.said(question, replace(told, **{question: choice.code}), units)
                tags.setdefault(_name(question, of), {})[choice.code] = unbroken(said)
    return list(_questions(rows)), tags


def _questions(rows: dict[tuple[str, str], dict[str, Choice]]) -> Iterator[Asked]:
    for name in QUESTIONS:
        of_kinds = {of: choices for (question, of), choices in rows.items() if question == name}
        yield Asked(
            name=name, steps=tuple((of, _step(name, choices.values())) for of, choices in of_kinds.items())
        )


def _step(name: str, choices: Any) -> Step:
    asked = words.QUESTIONS[name]
    return Step(name=name, question=str(asked.question), hint=str(asked.hint), choices=tuple(choices))


def _name(question: str, of: str) -> str:
    return f"{question}-{of}" if of else question


def _drawing(gear: str) -> Drawing:
    drawn = everyday.planform(gear)
    sides = (("left", _("Left half")), ("right", _("Right half")))
    return Drawing(
        gear=gear,
        halves=tuple(
            {"side": side, "name": name, "svg": halves.half(drawn, side, lambda _to: "", name)}
            for side, name in sides
        ),
    )


def _told_to_the_script(grown: Tree, tags: dict[str, dict[str, str]], units: Units) -> dict[str, Any]:
    sentences = list(dict.fromkeys(str(one) for end in grown.outcomes for one in end.unknown))
    return {
        "check": reverse("self-check"),
        "enquiry": reverse("enquiry"),
        "worst": everyday.WORST,
        "most_also": MOST_ALSO,
        "names": NAMES,
        "tags": tags,
        "lengths_mm": {code: round(longest * 1000) for code, longest in LENGTHS.items() if longest},
        "lengths": {
            code: unbroken(say_length(longest, units)) for code, longest in LENGTHS.items() if longest
        },
        "unknown": sentences,
        "verdicts": [verdict.code for verdict in Verdict],
        "rules": {code: RULES[code].verdict.code for code in _rules(grown)},
        "outcomes": [_end(end, sentences, units) for end in grown.outcomes],
        "root": grown.root,
    }


def _end(end: Outcome, sentences: list[str], units: Units) -> list[Any]:
    """Its rule, where it runs as said and in mm, and which sentences say what was not known."""
    at, unknown = end.runs_at_m, [sentences.index(str(one)) for one in end.unknown]
    return [
        end.rule,
        "" if at is None else unbroken(say_length(at, units)),
        round(1000 * (at or 0), 1),
        unknown,
    ]
