"""What the programs in the browser say: found in them, and written for them in the reader's language.

They speak English by themselves, which is the key. For another language the bundle that holds the programs
gets one more file, made here, with the texts of just these programs; the page itself grows by nothing.
"""

import json
import re
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from django.conf import settings
from django.utils import translation

SPEAKER = "words"
"""The program that says them: a page that names it gets them in its language."""
_STRING = r'"((?:[^"\\\n]|\\.)*)"'
_SAID = re.compile(rf"\bsay\(\s*{_STRING}|\bsay\.count\(\s*{_STRING},\s*{_STRING}")
_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)


class Spoken(NamedTuple):
    """A text of a program, with how it counts more than one where it counts."""

    text: str
    more: str = ""


def spoken(program: str) -> Iterator[Spoken]:
    """All that a program says."""
    for alone, one, more in _SAID.findall(_COMMENT.sub("", program)):
        yield Spoken(_read(alone or one), _read(more))


def with_words(names: tuple[str, ...], single: tuple[str, ...] = ()) -> tuple[str, ...]:
    """The programs of a page, with their words in the language it is read in.

    single: the files that these names stand for, where one stands for several.
    """
    language = translation.get_language() or settings.LANGUAGE_CODE
    foreign = language != settings.LANGUAGE_CODE and language in dict(settings.LANGUAGES)
    if SPEAKER not in (single or names) or not foreign:
        return names
    return (f"{SPEAKER}-{language}", *names)


def language_of(name: str) -> str:
    """Whose words a file of this name holds; empty for any other file."""
    language = name.removeprefix(f"{SPEAKER}-")
    return language if language != name and language in dict(settings.LANGUAGES) else ""


def written(language: str, programs: Iterable[str]) -> bytes:
    """The file with the words of these programs in this language."""
    with translation.override(language):
        words = {said.text: _translated(said) for program in programs for said in spoken(program)}
    return f"window.shopWords = {json.dumps(words, ensure_ascii=False, sort_keys=True)};".encode()


def _translated(said: Spoken) -> str | list[str]:
    if not said.more:
        return translation.gettext(said.text)
    # Each of the shop's languages has one form for one and one for all else.
    return [translation.ngettext(said.text, said.more, many) for many in (1, 2)]


def _read(literal: str) -> str:
    return str(json.loads(f'"{literal}"'))
