import re
import unicodedata
from collections.abc import Iterable

from django import template
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from shoprepair.papers.context import in_runs
from shoprepair.shop.unbroken import NO_BREAK
from shoprepair.shop.unbroken import unbroken as unbroken_figures

register = template.Library()

_LINE = "_" * 11
_PAGE = "\x00"

_BEFORE_A_NUMBER = re.compile(r"(?<=[a-zß-ÿ]{3}) (?=\d{1,3}$)")
"""Nor is the number of a damage left alone at the end of what is said of it."""


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


@register.filter(is_safe=True)
def unbroken(text: str) -> str:
    """A sentence in which no line ends between a figure and its unit."""
    return _BEFORE_A_NUMBER.sub(NO_BREAK, unbroken_figures(str(text)))


@register.filter
def on_one_line(text: str) -> str:
    """Words such as those of a date, which stay together on one line."""
    return str(text).replace(" ", NO_BREAK)


@register.filter
def each_run(numbers: Iterable[int]) -> list[str]:
    """The same numbers, as many as follow each other in one: '1–32', '40'."""
    return in_runs(numbers)


@register.filter
def runs(numbers: Iterable[int]) -> SafeString:
    """Numbers of damages as a list is read: 1–32, 35, no line ending within a run."""
    return format_html_join(", ", '<span class="run">{}</span>', ((each,) for each in in_runs(numbers)))


@register.filter(is_safe=True)
def trimmed(text: str) -> str:
    """Without the blanks at its ends, as of a piece that a full stop follows."""
    return text.strip()


@register.filter
def to_fill_in(name: str) -> str:
    """What is written in by hand, with a line for the pencil that stays beside its name."""
    return gettext(name).replace(" ", NO_BREAK) + NO_BREAK + _LINE


@register.simple_tag
def page_words() -> SafeString:
    """For the element round a paper: what stands before, between and behind the numbers in its foot."""
    said = gettext("page %(page)s of %(pages)s") % {"page": _PAGE, "pages": _PAGE}
    before, between, behind = said.split(_PAGE)
    return format_html('data-page="{}" data-of="{}" data-end="{}"', before, between, behind)
