"""From a load ratio to urgency and band."""

from math import isnan

from shoprepair.mechanics.description import Band
from shoprepair.mechanics.domain import need
from shoprepair.mechanics.words import gettext_noop

LEAST_RATIO = {Band.GROUNDED: 1.0, Band.REPAIR_FIRST: 0.5, Band.NEXT_SERVICE: 0.25, Band.WATCH: 0.0}
"""The load ratio from which each band begins, most dangerous first."""


def urgency(load_ratio: float) -> int:
    """0 to 100: half at half of what the place can hold, 75 at all of it, 94 at twice."""
    _check(load_ratio)
    return int(100 * (1 - 4**-load_ratio) + 0.5)


def band(load_ratio: float) -> Band:
    """The band of a load ratio; Grounded from 1, where the place is asked all it can hold."""
    _check(load_ratio)
    return next(band for band, least in LEAST_RATIO.items() if load_ratio >= least)


def _check(load_ratio: float) -> None:
    need(not isnan(load_ratio) and load_ratio >= 0, gettext_noop("A load ratio must be zero or more."))
