"""How the numbers refuse what lies outside their domain: a ValueError with one plain sentence.

The sentence is English. Where somebody reads it, the packages above say it anew from its words and values
(`shop.domain.said`); nothing here knows a language.
"""

from math import inf

from shoprepair.mechanics.words import gettext_noop


class Refused(ValueError):
    """A figure lies outside its domain: in English words, and what stands in them."""

    def __init__(self, text: str, **values: str) -> None:
        super().__init__(text % values if values else text)
        self.text, self.values = text, values


def need(holds: bool, otherwise: str) -> None:
    if not holds:
        raise Refused(otherwise)


def positive(value: float, what: str) -> None:
    if not 0 < value < inf:
        raise Refused(gettext_noop("The %(what)s must be more than zero."), what=what)


def not_negative(value: float, what: str) -> None:
    if not 0 <= value < inf:
        raise Refused(gettext_noop("The %(what)s must be zero or more."), what=what)


def within(value: float, what: str) -> None:
    if not 0 <= value <= 1:
        raise Refused(gettext_noop("The %(what)s must lie between 0 and 1."), what=what)
