import re
import unicodedata

from django import template

register = template.Library()

_BLANK_BEFORE_A_UNIT = re.compile(r"(?<=\d) (?=(?:mm|m|m²|in|ft|bar|psi|kPa|kN/m|%|°C|°F)(?![\w²]))")


@register.filter
def direction(text: object) -> str:
    """Which way a text runs by its first letter: what dir=auto means, said outright for the PDF."""
    for letter in str(text):
        way = unicodedata.bidirectional(letter)
        if way in {"R", "AL"}:
            return "rtl"
        if way == "L":
            return "ltr"
    return "ltr"


@register.filter
def unbroken(text: str) -> str:
    """A sentence in which no line ends between a figure and its unit."""
    return _BLANK_BEFORE_A_UNIT.sub("\N{NO-BREAK SPACE}", text)
