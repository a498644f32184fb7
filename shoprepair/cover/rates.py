"""Rates and shares of rare events, with exact limits: honest also where nothing has happened yet."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, log, sqrt

from django.utils.translation import gettext

from shoprepair.cover import tails

CONFIDENCE = 0.95


@dataclass(frozen=True, slots=True)
class Limits:
    """An estimate and the limits it lies between, at 95 % unless asked otherwise."""

    value: float
    low: float
    high: float


def exact_limits(events: int, exposure: float, confidence: float = CONFIDENCE) -> Limits:
    """A rate per unit of exposure with exact two-sided Poisson limits.

    Garwood 1936, Biometrika 28, 437 [from memory]. Without exposure nothing is known: 0 to infinity.
    """
    _need(events, 0 < confidence < 1 and exposure >= 0)
    if exposure == 0:
        return Limits(0.0, 0.0, inf)
    tail = (1 - confidence) / 2
    low = _mean(events, tail) if events else 0.0
    return Limits(events / exposure, low / exposure, _mean(events + 1, 1 - tail) / exposure)


def _mean(shape: float, share: float) -> float:
    """The quantile of a gamma variable; of a whole shape, the Poisson mean whose tail is that share."""
    top = shape + 40 * sqrt(shape) + 800
    return tails.where(lambda x: tails.gamma_below(shape, x), share, 0.0, top)


def weighted_limits(
    events: Sequence[int], weights: Sequence[float], confidence: float = CONFIDENCE
) -> Limits:
    """A weighted sum of counts with gamma limits, which are the exact ones where all weights are alike.

    Fay & Feuer 1997, Statistics in Medicine 16, 791 [from memory].
    """
    pairs = list(zip(events, weights, strict=True))
    _need(min(events, default=0), 0 < confidence < 1 and min(weights, default=0.0) >= 0)
    value = float(sum(w * n for n, w in pairs))
    spread = sum(w * w * n for n, w in pairs)
    widest = max(weights, default=0.0)
    if widest == 0:
        return Limits(0.0, 0.0, 0.0)
    tail = (1 - confidence) / 2
    above, spread_above = value + widest, spread + widest**2
    low = spread / value * _mean(value**2 / spread, tail) if spread else 0.0
    return Limits(value, low, spread_above / above * _mean(above**2 / spread_above, 1 - tail))


def share_limits(events: int, n: int, confidence: float = CONFIDENCE) -> Limits:
    """A share of n with exact two-sided limits.

    Clopper & Pearson 1934, Biometrika 26, 404 [from memory]. Of none nothing is known: 0 to 1.
    """
    _need(events, 0 < confidence < 1 and events <= n)
    if n == 0:
        return Limits(0.0, 0.0, 1.0)
    tail = (1 - confidence) / 2
    low = _share(events, n - events + 1, tail) if events else 0.0
    high = _share(events + 1, n - events, 1 - tail) if events < n else 1.0
    return Limits(events / n, low, high)


def _share(a: float, b: float, share: float) -> float:
    return tails.where(lambda x: tails.beta_below(a, b, x), share, 0.0, 1.0)


def zero_rate_bound(exposure: float, confidence: float = CONFIDENCE) -> float:
    """With no event so far, the rate that is exceeded only with 1 - confidence: -ln(1 - confidence)/exposure.

    Near 3/exposure: the rule of three, Eypasch et al. 1995, BMJ 311, 619.
    """
    _need(0, 0 < confidence < 1 and exposure >= 0)
    return -log(1 - confidence) / exposure if exposure else inf


def _need(events: int, sound: bool) -> None:
    if events < 0 or not sound:
        raise ValueError(gettext("Counts and exposure are zero or more, a count no more than its whole."))
