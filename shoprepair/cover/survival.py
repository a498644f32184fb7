"""How long repairs hold: survival from lives of which many are still running.

A life that ends for another reason than a claim, or has not ended, is counted at risk up to its end and no
further. Assumed: claims are found and reported, and gear that is sold or thrown away would have failed as
often as the rest. Several repairs on one inflatable are correlated, so that the true band is wider.
"""

from bisect import bisect_left
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log, sqrt
from statistics import NormalDist

from django.utils.translation import gettext

from shoprepair.cover import rates

CONFIDENCE = rates.CONFIDENCE


@dataclass(frozen=True, slots=True)
class Row:
    """One time at which something failed."""

    time: float
    at_risk: int
    """Lives that reached this time, those that end just then among them."""
    events: int
    survival: float
    """Share that holds beyond it."""
    standard_error: float
    """After Greenwood."""
    low: float
    high: float


def kaplan_meier(
    durations: Sequence[float], observed: Sequence[bool], confidence: float = CONFIDENCE
) -> list[Row]:
    """The product-limit estimate at each time of an event, with log(-log) limits.

    Kaplan & Meier 1958, JASA 53, 457; Greenwood's variance; limits as in Kalbfleisch & Prentice
    [from memory]. Where nothing is left the formulas give no limits: the low one is 0 then, and the high one
    stays as it was before.
    """
    lives = sorted(durations)
    failed = Counter(t for t, died in zip(durations, observed, strict=True) if died)
    if lives and lives[0] < 0:
        raise ValueError(gettext("A life lasts nought or longer."))
    z = NormalDist().inv_cdf((1 + confidence) / 2)
    rows: list[Row] = []
    survival, spread, high = 1.0, 0.0, 1.0
    for time, events in sorted(failed.items()):
        at_risk = len(lives) - bisect_left(lives, time)
        survival *= 1 - events / at_risk
        if at_risk > events:
            spread += events / (at_risk * (at_risk - events))
            low, high = _limits(survival, spread, z)
            rows.append(Row(time, at_risk, events, survival, survival * sqrt(spread), low, high))
        else:
            rows.append(Row(time, at_risk, events, 0.0, 0.0, 0.0, high))
    return rows


def _limits(survival: float, spread: float, z: float) -> tuple[float, float]:
    """S^exp(±z s) with s = se/(S |ln S|)."""
    width = z * sqrt(spread) / -log(survival)
    return survival ** exp(width), survival ** exp(-width)


def at(rows: Sequence[Row], time: float) -> Row | None:
    """The row that holds at a time; None before the first event, while everything still holds."""
    return next((row for row in reversed(rows) if row.time <= time), None)


def at_risk(durations: Sequence[float], times: Sequence[float]) -> list[int]:
    """How many lives reach each of some times."""
    lives = sorted(durations)
    return [len(lives) - bisect_left(lives, time) for time in times]


def zero_claim_bound(exposure: float, confidence: float = CONFIDENCE) -> float:
    """With no claim so far, the highest rate per unit of exposure that this does not rule out."""
    return rates.zero_rate_bound(exposure, confidence)


def wearing_out_bound(
    durations: Sequence[float], horizon: float, shape: float = 2.0, confidence: float = CONFIDENCE
) -> float:
    """With no failure so far, the share that may still fail by a horizon if repairs wear out with age.

    A Weibull life of assumed shape (2: the rate grows in proportion to age) whose scale is bounded by
    η^shape ≥ Σ t^shape / -ln(1 - confidence). Abernethy, The New Weibull Handbook, on Weibayes [from memory].
    """
    run: float = sum(t**shape for t in durations)
    if run <= 0:
        return 1.0
    return float(1 - exp(-(horizon**shape) * -log(1 - confidence) / run))
