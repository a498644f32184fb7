"""Which damages a line's own words name: their numbers end it, in the language that it was quoted in."""

import re
from collections.abc import Collection

_NUMBERS = re.compile(
    r",? (?:(?:for|für|para) )?(?:damages?|Schaden|Schäden|(?:el |los )?daños?) (\d+(?:(?:, | \w+ |–)\d+)*)$"
)
"""In every language at once: what a quote says stays in its own, whichever the shop speaks today."""


def unnumbered(text: str) -> str:
    """A line's words without the numbers of damages that end them, for where tags beside it show them."""
    return _NUMBERS.sub("", text)


def names(text: str, damages: Collection[int]) -> bool:
    """Whether a line's words name all of these damages."""
    found = _NUMBERS.search(text)
    return found is not None and set(damages) <= {int(each) for each in re.findall(r"\d+", found[1])}
