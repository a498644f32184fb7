"""What `mechanics.domain` refuses, where people read it: in the language that is spoken."""

from math import inf

from django.utils.translation import gettext

from shoprepair.mechanics.domain import need


def positive(value: float, what: str) -> None:
    """Refuse nought and less. `what` is said in the reader's language already."""
    need(0 < value < inf, gettext("The %(what)s must be more than zero.") % {"what": what})


def not_negative(value: float, what: str) -> None:
    """Refuse what is below nought. `what` is said in the reader's language already."""
    need(0 <= value < inf, gettext("The %(what)s must be zero or more.") % {"what": what})
