"""Codes of the self-check as the owner reads them; a code that no rule knows any more stands as it is."""

from collections.abc import Iterable

from shoprepair.gear import named_places
from shoprepair.jobs.advice import looks, verdicts
from shoprepair.jobs.advice.looks import Look


def part_words(code: str) -> str:
    """Where it is, in plain words; the part of the gear where only that was kept."""
    try:
        return str(named_places.label(code))
    except KeyError:
        return _plain(code)


def look_words(code: str) -> str:
    """What it looks like."""
    try:
        return str(looks.TITLES[Look(code)])
    except (KeyError, ValueError):
        return _plain(code)


def verdict_words(code: str) -> str:
    """What was advised."""
    try:
        return str(verdicts.by_code(code).title)
    except ValueError:
        return _plain(code)


def worst(codes: Iterable[str]) -> str:
    """The strictest of several verdicts; empty where there is none."""
    known = [code for code in codes if _is_known(code)]
    return max(known, key=verdicts.by_code, default="")


def _is_known(code: str) -> bool:
    try:
        verdicts.by_code(code)
    except ValueError:
        return False
    return True


def _plain(code: str) -> str:
    return code.replace("-", " ").capitalize()
