"""Counted things with their word, as each language counts: '1 day', '3 days'."""

from collections.abc import Callable

from django.utils.translation import ngettext

_COUNTED: dict[str, Callable[[int], str]] = {
    "second": lambda n: ngettext("%(n)s second", "%(n)s seconds", n),
    "minute": lambda n: ngettext("%(n)s minute", "%(n)s minutes", n),
    "hour": lambda n: ngettext("%(n)s hour", "%(n)s hours", n),
    "day": lambda n: ngettext("%(n)s day", "%(n)s days", n),
    "month": lambda n: ngettext("%(n)s month", "%(n)s months", n),
    "year": lambda n: ngettext("%(n)s year", "%(n)s years", n),
    "repair": lambda n: ngettext("%(n)s repair", "%(n)s repairs", n),
    "claim": lambda n: ngettext("%(n)s claim", "%(n)s claims", n),
    "job": lambda n: ngettext("%(n)s job", "%(n)s jobs", n),
    "damage": lambda n: ngettext("%(n)s damage", "%(n)s damages", n),
    "burst": lambda n: ngettext("%(n)s burst", "%(n)s bursts", n),
    "wing": lambda n: ngettext("%(n)s wing", "%(n)s wings", n),
    "kite": lambda n: ngettext("%(n)s kite", "%(n)s kites", n),
    "row": lambda n: ngettext("%(n)s row", "%(n)s rows", n),
    "strip": lambda n: ngettext("%(n)s strip", "%(n)s strips", n),
    "ply": lambda n: ngettext("%(n)s ply", "%(n)s plies", n),
    "place": lambda n: ngettext("%(n)s place", "%(n)s places", n),
    "repeat": lambda n: ngettext("%(n)s repeat", "%(n)s repeats", n),
    "such damage": lambda n: ngettext("%(n)s such damage", "%(n)s such damages", n),
    "piece": lambda n: ngettext("%(n)s piece", "%(n)s pieces", n),
}
"""By the one thing, which is a code here and never shown."""


def counted(number: int, of: str, figure: str = "") -> str:
    """'1 day', '12 repairs'; `figure` is how the number is written, where that is not by its digits alone."""
    return _COUNTED[of](number) % {"n": figure or number}
