"""A password may hold the name of the shop or of its person, but must be more than that."""

import re
import unicodedata
from collections.abc import Iterable
from typing import Any

from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.settings import current

CODE = "password_own_names"
LEAST_BESIDE = 8
"""So many letters and figures there must be that are in none of the names."""
_SHORTEST_WORD = 3
REFUSED = gettext_lazy(
    "That is little more than the name of the shop or of the person. Whoever stands outside tries it first."
)


class OwnNamesValidator:
    """For Django's list of what a password must be; a shop without a name yet is told of by `shop_name`."""

    def validate(self, password: str, user: Any = None) -> None:
        """Raises ValidationError."""
        names = [getattr(user, name, "") for name in ("username", "first_name", "last_name", "shop_name")]
        if is_little_else(password, [current().name, *names]):
            raise ValidationError(REFUSED, code=CODE)

    def get_help_text(self) -> str:
        return gettext("Not the name of the shop or your own.")


def is_little_else(password: str, names: Iterable[str]) -> bool:
    """Whether a password without the words of these names leaves hardly anything to guess."""
    left = _plain(password)
    whole = len(left)
    words = {
        word for name in names for word in re.split(r"[\W_]+", _folded(name)) if len(word) >= _SHORTEST_WORD
    }
    for word in sorted(words, key=len, reverse=True):
        left = left.replace(word, " ")
    beside = len(left.replace(" ", ""))
    return beside < min(whole, LEAST_BESIDE)


def _plain(text: str) -> str:
    return re.sub(r"[\W_]+", "", _folded(text))


def _folded(text: str) -> str:
    """Without capitals and accents: neither makes a name another one."""
    spread = unicodedata.normalize("NFKD", text.casefold())
    return "".join(mark for mark in spread if not unicodedata.combining(mark))
