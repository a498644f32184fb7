"""Tails of the gamma and beta distributions, from which exact limits of counts and shares follow.

Series and continued fractions as in Press et al., Numerical Recipes, chapter 6; accurate to about 1e-12.
"""

from collections.abc import Callable
from math import exp, lgamma, log, log1p

TINY = 1e-300
CLOSE = 1e-16
MOST_TERMS = 100_000
HALVINGS = 200


def gamma_below(shape: float, x: float) -> float:
    """The regularised incomplete gamma function P(shape, x): the share of a gamma variable below x."""
    if x <= 0:
        return 0.0
    front = exp(shape * log(x) - x - lgamma(shape))
    if x < shape + 1:
        return front * _gamma_series(shape, x)
    return 1.0 - front * _gamma_fraction(shape, x)


def _gamma_series(shape: float, x: float) -> float:
    term = total = 1.0 / shape
    for n in range(1, MOST_TERMS):
        term *= x / (shape + n)
        total += term
        if term < total * CLOSE:
            break
    return total


def _gamma_fraction(shape: float, x: float) -> float:
    b = x + 1.0 - shape
    c, d = 1.0 / TINY, 1.0 / b
    whole = d
    for n in range(1, MOST_TERMS):
        numerator = -n * (n - shape)
        b += 2.0
        d = 1.0 / _away(numerator * d + b)
        c = _away(b + numerator / c)
        whole *= d * c
        if abs(d * c - 1.0) < CLOSE * 4:
            break
    return whole


def beta_below(a: float, b: float, x: float) -> float:
    """The regularised incomplete beta function I(x; a, b): the share of a beta variable below x."""
    if x <= 0 or x >= 1:
        return 0.0 if x <= 0 else 1.0
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log1p(-x))
    if x < (a + 1) / (a + b + 2):
        return front * _beta_fraction(a, b, x) / a
    return 1.0 - front * _beta_fraction(b, a, 1 - x) / b


def _beta_fraction(a: float, b: float, x: float) -> float:
    c, d = 1.0, 1.0 / _away(1.0 - (a + b) * x / (a + 1))
    whole = d
    for m in range(1, MOST_TERMS):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        before = whole
        for numerator in (even, odd):
            d = 1.0 / _away(1.0 + numerator * d)
            c = _away(1.0 + numerator / c)
            whole *= d * c
        if abs(whole - before) < CLOSE * 4 * abs(whole):
            break
    return whole


def _away(value: float) -> float:
    """Kept off nought, which a continued fraction would divide by."""
    return value if abs(value) > TINY else TINY


def where(rising: Callable[[float], float], share: float, low: float, high: float) -> float:
    """The place between two bounds at which a rising function reaches a share, by halving."""
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if middle in (low, high):
            break
        if rising(middle) < share:
            low = middle
        else:
            high = middle
    return (low + high) / 2
