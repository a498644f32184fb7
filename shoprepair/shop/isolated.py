"""Names read from the right within sentences read from the left, and the other way round.

A figure or a full stop beside such a name would be drawn on its wrong side: U+2068 and U+2069 part the name
from what stands round it [Unicode Standard Annex 9, 2.3], where no element can.
"""

import unicodedata

BEGIN, END = "\N{FIRST STRONG ISOLATE}", "\N{POP DIRECTIONAL ISOLATE}"
_FROM_THE_RIGHT = frozenset({"R", "AL"})


def isolated(text: str) -> str:
    """The text, parted from its sentence where any letter of it is read from the right."""
    if text.isascii() or not any(unicodedata.bidirectional(letter) in _FROM_THE_RIGHT for letter in text):
        return text
    return f"{BEGIN}{text}{END}"
