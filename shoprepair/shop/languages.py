"""In which language the shop speaks, and words that wait for it."""

from typing import Any

from django.utils.html import escape
from django.utils.translation import gettext


class Words(str):
    """English words that are said in the reader's language wherever they are shown.

    To everything else they are the English text: compared, looked up, written to the database or as JSON.
    They are shown by `str`, in an f-string, by `%`, `format` and `+`, and by a template; joined by a text
    or in small letters they stay English, so what is shown is made a `str` first.
    """

    __slots__ = ()

    def __str__(self) -> str:
        return gettext(self[:])

    def __html__(self) -> str:
        return escape(str(self))

    def __format__(self, spec: str) -> str:
        return format(str(self), spec)

    def __mod__(self, values: Any) -> str:
        return str(str(self) % values)

    def __add__(self, other: str) -> str:
        return f"{self}{other}"

    def __radd__(self, other: str) -> str:
        return f"{other}{self}"

    def format(self, *args: object, **values: object) -> str:
        """The translated text with these values."""
        return str(self).format(*args, **values)


class _Filled(Words):
    """Words with values in them."""

    __slots__ = ("text", "values")

    text: Words
    values: dict[str, object]

    def __str__(self) -> str:
        return str(self.text) % {name: str(value) for name, value in self.values.items()}


def gettext_lazy(text: str) -> str:
    """Words that stand in a module: under this name they are gathered for translation."""
    return Words(text)


def filled(text: str, **values: object) -> str:
    """Words that stand in a module, with these values where they say `%(name)s`."""
    made = _Filled(text[:] % {name: getattr(value, "text", value) for name, value in values.items()})
    made.text, made.values = Words(text), values
    return made
