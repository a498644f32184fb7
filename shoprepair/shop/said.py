"""Sentences that remember what they were made of, so that what is kept of them can be said in any language.

Under these names, `gettext` and `ngettext` answer what Django's answer, and the answer knows its English
words; filled with `%`, it knows the values too. Joined to anything else it is a plain text again.
"""

from collections.abc import Mapping
from typing import Any, Self

from django.utils import translation

from shoprepair.shop.isolated import isolated
from shoprepair.shop.languages import Words, _Filled

Kept = list[Any]
"""[English words, values], or [one, values, many, number] of words that are counted."""


class Said(str):
    """A translated text, its English words, and what was filled in."""

    kept: Kept

    @classmethod
    def of(cls, text: str, kept: Kept) -> Self:
        """The text, with what it was made of."""
        made = cls(text)
        made.kept = kept
        return made

    def __mod__(self, values: Any) -> str:
        filled = super().__mod__(values)
        if not isinstance(values, Mapping):
            return filled
        used = {name: keep(value) for name, value in values.items() if f"%({name})" in self.kept[0]}
        return Said.of(filled, [self.kept[0], used, *self.kept[2:]])


def gettext(text: str) -> str:
    """The text in the language that is spoken, which knows its English."""
    return Said.of(translation.gettext(text), [text[:], {}])


def listed(*parts: str) -> str:
    """The parts with commas between them, which know what they were made of."""
    named = {f"part_{number}": part for number, part in enumerate(parts)}
    text = ", ".join(f"%({name})s" for name in named)
    return Said.of(text, [text, {}]) % named


def ngettext(one: str, many: str, number: int) -> str:
    """The text for so many, which knows its English."""
    return Said.of(translation.ngettext(one, many, number), [one, {}, many, number])


def keep(value: Any) -> Any:
    """What is kept of a value: what it was made of where that is known, else as it was shown."""
    if isinstance(value, Said):
        return value.kept
    if isinstance(value, _Filled):
        return [value.text[:], {name: keep(each) for name, each in value.values.items()}]
    if isinstance(value, Words):
        return [value[:], {}]
    return value if isinstance(value, int) and not isinstance(value, bool) else str(value)


def again(kept: Kept) -> str:
    """The sentence in the language that is spoken now."""
    text, values, *counted = kept
    said = translation.ngettext(text, *counted) if counted else translation.gettext(text)
    filled = {name: _again(each) for name, each in values.items()}
    return said % filled if filled else said


def _again(value: Any) -> Any:
    if isinstance(value, list):
        return again(value)
    return isolated(value) if isinstance(value, str) else value
