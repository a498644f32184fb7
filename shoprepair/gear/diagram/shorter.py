"""The same paths in fewer letters: each point is told from the one before.

A wing is drawn by some thousand points, most of them a hand's breadth from the next. Told from the drawing's
corner each takes more letters, on every page and paper that shows it. No point moves: the steps lie between
points that are rounded already, so no rounding adds up.
"""

import re
from collections.abc import Iterable, Iterator
from functools import lru_cache

from shoprepair.shop.charts.svg import number

TAKES = {"M": 2, "L": 2, "H": 1, "V": 1, "Q": 4, "C": 6, "Z": 0}
"""How many numbers each command takes [SVG 1.1, section 8.3]."""
_COMMAND = re.compile(r"([A-Za-z])([^A-Za-z]*)")
_NUMBER = re.compile(r"-?(?:\d+\.?\d*|\.\d+)")
_PATH = re.compile(r'<path\b[^>]* d="([^"]*)"[^>]*>')
MIRRORED = ' transform="scale(-1 1)"'


def shortened(svg: str) -> str:
    """A piece of SVG with every path in it told the short way.

    What mirrors a path before it about x = 0 is told in the same letters and turned over: pages go
    compressed, where letters that stood there before weigh next to nothing.
    """
    told: set[str] = set()
    return _PATH.sub(lambda found: _element(found, told), svg)


def _element(found: re.Match[str], told: set[str]) -> str:
    path, turned = shorter(found[1]), _mirrored(found[1])
    if path != turned in told and "transform=" not in found[0]:
        return found[0].replace(f' d="{found[1]}"', f' d="{turned}"{MIRRORED}')
    told.add(path)
    return found[0].replace(f' d="{found[1]}"', f' d="{path}"')


@lru_cache(maxsize=2048)
def shorter(path: str) -> str:
    """Path data with steps instead of places; as it is where it has steps already, or gains nothing.

    No point lies elsewhere than before, to the last digit that is written.
    """
    commands = _COMMAND.findall(path)
    if not {letter for letter, _ in commands} <= TAKES.keys():
        return path
    digits = max((len(value.partition(".")[2]) for value in _NUMBER.findall(path)), default=0)
    short = _written(_steps(commands, 10**digits), digits)
    return short if len(short) < len(path) else path


@lru_cache(maxsize=2048)
def _mirrored(path: str) -> str:
    """The short way to tell the mirror image; nothing for a path that has steps already."""
    commands = _COMMAND.findall(path)
    if not {letter for letter, _ in commands} <= TAKES.keys():
        return ""
    return shorter("".join(letter + _turned(letter, told) for letter, told in commands))


def _turned(letter: str, told: str) -> str:
    values = _NUMBER.findall(told)
    across = [letter != "V" and index % 2 == 0 for index in range(len(values))]
    return " ".join(_opposite(each) if turn else each for each, turn in zip(values, across, strict=True))


def _opposite(value: str) -> str:
    return value if value == "0" else value.removeprefix("-") if value.startswith("-") else f"-{value}"


def _steps(commands: Iterable[tuple[str, str]], grid: int) -> Iterator[tuple[str, list[int]]]:
    """Each command with its steps, counted in the last digit."""
    here = begun = (0, 0)
    for letter, told in commands:
        values = [round(float(value) * grid) for value in _NUMBER.findall(told)]
        if letter == "Z":
            here = begun
            yield "z", []
        for at in range(0, len(values), TAKES[letter] or 1):
            part = values[at : at + TAKES[letter]]
            yield letter.lower(), _from(here, letter, part)
            here = _end(here, letter, part)
            begun = here if letter == "M" else begun


def _from(here: tuple[int, int], letter: str, part: list[int]) -> list[int]:
    first = 1 if letter == "V" else 0
    return [value - here[(first + index) % 2] for index, value in enumerate(part)]


def _end(here: tuple[int, int], letter: str, part: list[int]) -> tuple[int, int]:
    if letter == "H":
        return part[0], here[1]
    if letter == "V":
        return here[0], part[0]
    return part[-2], part[-1]


def _written(steps: Iterable[tuple[str, list[int]]], digits: int) -> str:
    """Without the letters and gaps that SVG lets out: the same letter again, a line after a start."""
    written, last, before = [], "", ""
    for letter, values in steps:
        if letter not in {last, "l" if last == "m" else last} or letter in "mz":
            written.append(letter)
            before = ""
        last = letter
        for value in values:
            told = number(value / 10**digits, digits)
            apart = before and not told.startswith("-") and not (told.startswith(".") and "." in before)
            written.append(f" {told}" if apart else told)
            before = told
    return "".join(written)
