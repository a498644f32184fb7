"""All that was told so far, as the address of a page holds it; nothing else keeps it."""

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any, NamedTuple
from urllib.parse import parse_qsl, urlencode

from django.http import HttpRequest, QueryDict
from django.urls import reverse

from shoprepair.jobs.advice import told as telling
from shoprepair.jobs.advice.told import Told
from shoprepair.portal.self_check import language

QUESTIONS = ("kind", "size", "at", "look", "length", "fold", "softens", "far")
"""In the order in which they are asked."""
ASK = "ask"
MOST_ALSO = 4
"""Damages told before this one."""


class Address(NamedTuple):
    """One page of the self-check by what was told, and the language chosen, if one was."""

    told: Told
    also: tuple[Told, ...] = ()
    language: str = ""
    again: str = ""
    """A question that is asked again though it was answered."""

    @property
    def question(self) -> str:
        """The question that is open; empty where the answer can be given."""
        return self.again or self.told.missing()

    @property
    def all_told(self) -> tuple[Told, ...]:
        """Every damage, in the order in which they were told."""
        return (*self.also, self.told)

    def query(self, **changes: str) -> str:
        """The query of this address with some answers changed; an empty one is left out."""
        answers = {**_answers(self.told), **changes}
        pairs = [(name, answers[name]) for name in QUESTIONS if answers[name]]
        pairs += [("also", before.code()) for before in self.also]
        return urlencode(pairs + self._language())

    def to(self, name: str = "self-check", **changes: str) -> str:
        """The address of a page, by the name of its URL."""
        query = self.query(**changes)
        return f"{reverse(name)}?{query}" if query else reverse(name)

    def back_to(self, question: str) -> str:
        """The address that asks a question again and keeps what else was told."""
        return f"{self.to()}&{urlencode({ASK: question})}"

    def answered(self, question: str, answer: str) -> str:
        """The address that a row leads to. What no longer makes sense there is asked again."""
        gone = {"size": ""} if question == "kind" else {}
        if question == "size" and "," in self.told.at:
            # A point of one drawing is another place on another.
            gone = {"at": ""}
        return self.to(**{**gone, question: answer})

    def another(self) -> str:
        """The address that tells another damage of the same gear."""
        before = [("also", each.code()) for each in self.all_told]
        same = [("kind", self.told.kind), ("size", self.told.size)]
        return f"{reverse('self-check')}?{urlencode(same + before + self._language())}"

    def hidden(self, without: str) -> list[tuple[str, str]]:
        """The same as the hidden fields of a form that asks one question."""
        return parse_qsl(self.query(**{without: ""}))

    @property
    def may_add(self) -> bool:
        """Whether there is room for another damage."""
        return len(self.also) < MOST_ALSO

    def _language(self) -> list[tuple[str, str]]:
        return [(language.PARAMETER, self.language)] if self.language else []


def read(request: HttpRequest) -> Address:
    """The address of a request, without all in it that makes no sense."""
    return from_query(request.GET, language.chosen(request))


def from_query(query: QueryDict, chosen: str = "") -> Address:
    """The same from its parameters alone."""
    told = telling.from_query(query)
    # A size means nothing before it is known of what.
    told = told if told.kind else Told()
    again = query.get(ASK, "")
    return Address(
        told=told,
        also=tuple(_before(query.getlist("also"), told)),
        language=chosen,
        again=again if again in QUESTIONS and getattr(told, again) else "",
    )


def _before(codes: list[str], told: Told) -> Iterator[Told]:
    """The damages told before, whole and of this same gear, each once."""
    kept: list[Told] = []
    for code in codes[:MOST_ALSO]:
        before = telling.read(code)
        same_gear = (before.kind, before.size) == (told.kind, told.size)
        if same_gear and not before.missing() and before not in kept:
            kept.append(before)
            yield before


def _answers(told: Told) -> dict[str, Any]:
    return asdict(told)
