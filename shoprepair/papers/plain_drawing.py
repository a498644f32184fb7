"""The drawing of gear without a word in it, for papers in any language: words stand beside it."""

import re

_WORDS = re.compile(r'<g class="side-words".*?</g>', flags=re.DOTALL)


def without_words(drawing: str) -> str:
    """The drawing less the words for its sides."""
    return _WORDS.sub("", drawing)
