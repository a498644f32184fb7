"""What `mechanics.domain` refuses, where people read it: in the language that is spoken."""

from math import inf

from shoprepair.mechanics.domain import Refused, need
from shoprepair.shop.said import gettext


def said(refused: ValueError) -> str:
    """What the numbers refused, in the language that is spoken; of any other refusal its own words."""
    if not isinstance(refused, Refused):
        return str(refused)
    words = gettext(refused.text)
    return (
        words % {name: gettext(value) for name, value in refused.values.items()} if refused.values else words
    )


def positive(value: float, what: str) -> None:
    """Refuse nought and less. `what` is said in the reader's language already."""
    need(0 < value < inf, gettext("The %(what)s must be more than zero.") % {"what": what})


def not_negative(value: float, what: str) -> None:
    """Refuse what is below nought. `what` is said in the reader's language already."""
    need(0 <= value < inf, gettext("The %(what)s must be zero or more.") % {"what": what})
