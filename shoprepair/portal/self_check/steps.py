"""The questions as rows to tap on, and what was told as tags that lead back."""

from typing import NamedTuple

from django.utils.formats import number_format

from shoprepair.gear import everyday, named_places
from shoprepair.gear.planform import Planform
from shoprepair.jobs.advice import looks
from shoprepair.jobs.advice.told import LENGTHS, Told
from shoprepair.mechanics.description import Element, Kind
from shoprepair.portal.self_check import words
from shoprepair.portal.self_check.address import QUESTIONS, Address
from shoprepair.portal.self_check.words import Said
from shoprepair.shop.units import Units, say_length

SIZES = ("small", "medium", "large")
USUALLY = 6
"""Questions that most damages need, before it is known which."""
FIXED = frozenset({"kind", "size"})
"""What a second damage of the same gear shares with the first."""


class Choice(NamedTuple):
    """One row: the answer's code, its words and picture, and the address that it leads to."""

    code: str
    name: str
    hint: str = ""
    picture: str = ""
    href: str = ""

    @property
    def is_unsure(self) -> bool:
        """Whether it says that nobody knows."""
        return self.code in {"unsure", "untried"}

    @property
    def drawing(self) -> str:
        """Template of its picture."""
        return f"portal/self_check/pictures/{self.picture}.svg"


class Tag(NamedTuple):
    """What was told, and the address that asks for it again; empty where it cannot be changed here."""

    question: str
    said: str
    href: str = ""


class Step(NamedTuple):
    """A question with its rows."""

    name: str
    question: str
    hint: str
    choices: tuple[Choice, ...]


def step(name: str, address: Address, units: Units) -> Step:
    """A question, each answer to it leading on from an address."""
    asked, told = words.QUESTIONS[name], address.told
    choices = tuple(
        Choice(
            code=code,
            name=str(said.name),
            hint=_hint(name, code, said, units),
            picture=said.picture,
            href=address.answered(name, code),
        )
        for code, said in answers(name, told).items()
    )
    return Step(name=name, question=str(asked.question), hint=str(asked.hint), choices=choices)


def answers(name: str, told: Told) -> dict[str, Said]:
    """The answers that a question has, by their codes, for what was told before it."""
    match name:
        case "size":
            return sizes(told.kind)
        case "at":
            return {place.code: Said(name=place.label) for place in named_places.named(planform(told))}
        case "look":
            return {look.value: words.LOOKS[look.value] for look in looks.for_place(element(told))}
    return {
        "kind": words.KINDS,
        "length": words.LENGTHS,
        "fold": words.FOLDS,
        "softens": words.SOFTENS,
        "far": words.FARS,
    }[name]


def sizes(kind: str) -> dict[str, Said]:
    """The sizes of a kind, by area, as they are printed on it."""
    said = {size: Said(name=_area(kind, size), picture=f"{kind}-{size}") for size in SIZES}
    return said | {"unsure": words.UNSURE_SIZE}


def planform(told: Told) -> Planform:
    """What the gear told of looks like, as far as anybody knows."""
    return everyday.planform(everyday.code(Kind(told.kind), told.size))


def element(told: Told) -> Element:
    """What the place told of lies on."""
    place, *_point = told.place(planform(told))
    return place.element


def tags(address: Address, units: Units) -> list[Tag]:
    """All that was told of this damage, each leading back to its question."""
    return [
        Tag(
            question=str(words.QUESTIONS[name].question),
            said=said(name, address.told, units),
            href="" if address.also and name in FIXED else address.back_to(name),
        )
        for name in QUESTIONS
        if getattr(address.told, name) and name != address.again
    ]


def said(name: str, told: Told, units: Units) -> str:
    """One answer in a few words."""
    code = getattr(told, name)
    if name == "at":
        return place_said(told)
    if name == "length":
        return length_said(code, units)
    answer = answers(name, told)[code]
    return str(answer.tag or answer.name)


def place_said(told: Told) -> str:
    """The place by its name."""
    place, *_point = told.place(planform(told))
    return str(named_places.label(named_places.code_of(place)))


def length_said(code: str, units: Units) -> str:
    """'up to 25 mm' for one held against a coin; '37 mm' for one off the ruler."""
    if code.isdigit():
        return say_length(int(code) / 1000, units)
    if longest := LENGTHS.get(code):
        return str(words.UP_TO).format(length=say_length(longest, units))
    return str(words.LENGTHS[code].tag)


def sewn(address: Address) -> list[bool]:
    """A stitch for every question on this way, True where it was answered."""
    told = address.told
    asked = told.asked()
    open_ones = 0 if told.look else USUALLY - len(asked)
    return [bool(getattr(told, name)) for name in asked] + [False] * open_ones


def _hint(name: str, code: str, answer: Said, units: Units) -> str:
    if name == "length" and LENGTHS.get(code):
        return length_said(code, units)
    return str(answer.hint)


def _area_said(area_m2: float) -> str:
    return number_format(int(area_m2) if area_m2 == int(area_m2) else area_m2)


def _area(kind: str, size: str) -> str:
    of = next(each for each in everyday.EVERYDAY if each.kind == kind and each.size == size)
    least, most = (_area_said(area) for area in (of.area_low_m2, of.area_high_m2))
    text = {"small": words.SIZE_UP_TO, "medium": words.SIZE_BETWEEN, "large": words.SIZE_OVER}[size]
    return str(text).format(least=least, most=most)
