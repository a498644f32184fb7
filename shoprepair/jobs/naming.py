"""Finding in a text what names a person, and writing over it."""

import re
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from shoprepair.shop.erasing import ERASED

_LEAST_WORD = 2
_LEAST_DIGITS = 5


@dataclass
class Naming:
    """The names, phone numbers and addresses that a person goes by. Ask it only once all are added."""

    wholes: set[str] = field(default_factory=set)
    """Found in capitals or not."""
    words: set[str] = field(default_factory=set)
    """The words of a name on their own: those of three letters or more in capitals or not."""

    def add_name(self, name: str) -> None:
        """A person's own name, of which every word tells who they are."""
        self.add(name)
        words = (word.strip(".,;:()“”\"'") for word in name.split())
        self.words.update(word for word in words if len(word) >= _LEAST_WORD and word[:1].isalpha())

    def add(self, text: Any) -> None:
        """A name, number or address that tells who they are as a whole."""
        if isinstance(text, str) and len(text.strip()) >= _LEAST_WORD:
            self.wholes.add(text.strip())

    def add_phone(self, phone: Any) -> None:
        """A phone number, however it is written."""
        digits = [mark for mark in str(phone or "") if mark.isdecimal()]
        if len(digits) >= _LEAST_DIGITS:
            self._phones.append(r"[\s()./-]*".join(digits))
            self.add(phone)

    def over(self, value: Any) -> Any:
        """The value with all that names the person written over, also within lists and objects."""
        if isinstance(value, str):
            return self._pattern.sub(ERASED, value) if self._pattern else value
        if isinstance(value, list):
            return [self.over(each) for each in value]
        if isinstance(value, dict):
            return {name: self.over(each) for name, each in value.items()}
        return value

    @cached_property
    def _phones(self) -> list[str]:
        return []

    @cached_property
    def _pattern(self) -> "re.Pattern[str] | None":
        wholes = sorted(self.wholes, key=len, reverse=True)
        found = [r"\s+".join(map(re.escape, whole.split())) for whole in wholes]
        found += sorted(self._phones, key=len, reverse=True)
        long = sorted(word for word in self.words if len(word) > _LEAST_WORD)
        short = sorted(self.words - set(long))
        found += [*map(re.escape, long), *(f"(?-i:{re.escape(word)})" for word in short)]
        return re.compile(rf"(?<!\w)(?:{'|'.join(found)})(?!\w)", re.IGNORECASE) if found else None
