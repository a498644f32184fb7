"""In which language the shop speaks, and words that wait for it."""

from collections.abc import Callable
from contextlib import ContextDecorator
from decimal import Decimal
from functools import lru_cache, wraps
from typing import Any, ParamSpec, Protocol, TypeVar, cast

from django.conf import settings
from django.utils import translation
from django.utils.formats import get_format, number_format
from django.utils.html import escape
from django.utils.translation import get_language, gettext

Asked = ParamSpec("Asked")
Said = TypeVar("Said", covariant=True)


class Kept(Protocol[Asked, Said]):
    """A function whose answers are kept, as those of `lru_cache` are."""

    def __call__(self, *args: Asked.args, **kwargs: Asked.kwargs) -> Said: ...

    def cache_clear(self) -> None: ...

    def cache_info(self) -> Any: ...


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

    def format_map(self, values: Any) -> str:
        """The translated text with the values of this mapping."""
        return str(self).format_map(values)


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


def language_for(person: Any, shop: Any) -> str:
    """Code of the language that `person` reads: their own choice, else the shop's."""
    return str(getattr(person, "language", "") or shop.language)


def active() -> str:
    """Code of the language that is spoken now."""
    return translation.get_language() or settings.LANGUAGE_CODE


def written(figure: str) -> str:
    """A figure with a decimal point, as the language that is spoken writes it."""
    return figure.replace(".", str(get_format("DECIMAL_SEPARATOR")))


class SpeakAs(ContextDecorator):
    """Around what speaks another language from some line on, by `translation.activate`: it ends with it."""

    def __enter__(self) -> None:
        self._before = translation.get_language()

    def __exit__(self, *_raised: object) -> None:
        if self._before:
            translation.activate(self._before)
        else:
            translation.deactivate_all()

    def _recreate_cm(self) -> "SpeakAs":
        return type(self)()


def kept_by_language(maxsize: int) -> Callable[[Callable[Asked, Said]], Kept[Asked, Said]]:
    """Keep what a function answered as `lru_cache` does, apart for each language that was spoken."""

    def keeping(function: Callable[Asked, Said]) -> Kept[Asked, Said]:
        @lru_cache(maxsize=maxsize)
        def kept(_language: str, /, *args: Any, **kwargs: Any) -> Any:
            return function(*args, **kwargs)

        @wraps(function)
        def answer(*args: Any, **kwargs: Any) -> Any:
            return kept(active(), *args, **kwargs)

        answer.cache_clear = kept.cache_clear  # type: ignore[attr-defined]
        answer.cache_info = kept.cache_info  # type: ignore[attr-defined]
        return cast(Kept[Asked, Said], answer)

    return keeping


def in_a_sentence(words: str) -> str:
    """These words within a sentence: in small letters, but German nouns keep their capitals."""
    said = str(words)
    return said if _keeps_capitals() else said.lower()


def begun_small(text: str) -> str:
    """A text that goes on from a name or a colon, where the language begins it with a small letter."""
    said = str(text)
    return said if _keeps_capitals() else said[:1].lower() + said[1:]


def begun_large(text: str) -> str:
    """A text that begins a sentence or stands alone; no other letter changes."""
    said = str(text)
    return said[:1].upper() + said[1:]


def _keeps_capitals() -> bool:
    return (get_language() or "").startswith("de")


def thousands(number: int | Decimal) -> str:
    """A large number with its thousands parted as the reader's language does it: "2,000", "2.000"."""
    return number_format(number, force_grouping=True)
