"""Bending of a leading edge by the lift: held at the centre, or carried by bridle points.

Moments in N m, positive where the tube hangs through between its supports (lift taken as the load).
Elliptical lift over the projected span as in lifting-line theory; continuous beam by the three-moment
equation (Clapeyron 1857) with constant stiffness and rigid supports. A tube tapering to half its
diameter moves the support moments by up to 8 %.
"""

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from math import acos, pi, sqrt

from shoprepair.mechanics.domain import need, not_negative, positive, within
from shoprepair.mechanics.words import gettext_noop


def elliptical_moment(station: float, lift_n: float, half_span_m: float) -> float:
    """Bending by elliptical lift outboard of a station, held at the centre. `lift_n` is of both halves."""
    _check_held(station, lift_n, half_span_m)
    return lift_n * half_span_m * _outboard_moment(station)


def uniform_moment(station: float, lift_n: float, half_span_m: float) -> float:
    """Bending by even lift outboard of a station, held at the centre. `lift_n` is of both halves."""
    _check_held(station, lift_n, half_span_m)
    return lift_n * half_span_m * (1 - station) ** 2 / 4


def continuous_beam(
    spans_m: Sequence[float],
    loads_n_per_m: Sequence[float],
    end_moments_nm: tuple[float, float] = (0.0, 0.0),
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Moments over the supports and reactions of a beam with one even load per span.

    The ends turn freely; the moment of an overhang enters by `end_moments_nm`, and its own load is not
    among the reactions.
    """
    need(len(spans_m) > 0, gettext_noop("A beam needs at least one span."))
    need(len(spans_m) == len(loads_n_per_m), gettext_noop("A beam needs one load for each span."))
    for span in spans_m:
        positive(span, gettext_noop("span"))
    turns = [load * span**3 / 24 for span, load in zip(spans_m, loads_n_per_m, strict=True)]
    moments = _three_moments(spans_m, turns, turns, end_moments_nm)
    shears = [
        (load * span / 2 - (left - right) / span, load * span / 2 + (left - right) / span)
        for span, load, left, right in zip(spans_m, loads_n_per_m, moments, moments[1:], strict=False)
    ]
    rights = [0.0, *(right for _, right in shears)]
    lefts = [*(left for left, _ in shears), 0.0]
    return tuple(moments), tuple(right + left for right, left in zip(rights, lefts, strict=True))


def bridled_moment(y_m: float, supports_m: Sequence[float], lift_n: float, half_span_m: float) -> float:
    """Bending at `y_m` right of the centre by elliptical lift over bridle points, tips overhanging.

    `supports_m` are the places of all bridle points, those on the left negative.
    """
    need(abs(y_m) <= half_span_m, gettext_noop("The place must lie within the span."))
    outer = -_outboard_moment(y_m / half_span_m) * half_span_m
    pulls = zip(supports_m, _unit_pulls(tuple(supports_m), half_span_m), strict=True)
    not_negative(lift_n, gettext_noop("lift"))
    return lift_n * (outer + sum(pull * (at - y_m) for at, pull in pulls if at > y_m))


def bridle_pulls(supports_m: Sequence[float], lift_n: float, half_span_m: float) -> tuple[float, ...]:
    """Pull in N of each bridle point under elliptical lift, in the order given."""
    not_negative(lift_n, gettext_noop("lift"))
    return tuple(lift_n * pull for pull in _unit_pulls(tuple(supports_m), half_span_m))


def _check_held(station: float, lift_n: float, half_span_m: float) -> None:
    within(station, gettext_noop("station"))
    not_negative(lift_n, gettext_noop("lift"))
    positive(half_span_m, gettext_noop("half span"))


@lru_cache(maxsize=512)
def _unit_pulls(supports_m: tuple[float, ...], half_span_m: float) -> tuple[float, ...]:
    """Reaction of each support to a lift of 1 N, by the three-moment equation."""
    _check_supports(supports_m, half_span_m)
    order = sorted(range(len(supports_m)), key=lambda i: supports_m[i])
    etas = [supports_m[i] / half_span_m for i in order]
    spans = [right - left for left, right in pairwise(etas)]
    turns = [_end_turns(left, right) for left, right in pairwise(etas)]
    ends = (-_outboard_moment(-etas[0]), -_outboard_moment(etas[-1]))
    moments = _three_moments(spans, [left for left, _ in turns], [right for _, right in turns], ends)
    pulls = _pulls_from_moments(etas, moments)
    return tuple(pulls[order.index(i)] for i in range(len(order)))


def _check_supports(supports_m: tuple[float, ...], half_span_m: float) -> None:
    positive(half_span_m, gettext_noop("half span"))
    need(len(supports_m) >= 2, gettext_noop("A bridle needs at least two points."))
    need(len(set(supports_m)) == len(supports_m), gettext_noop("Two bridle points lie at the same place."))
    need(
        all(abs(at) <= half_span_m for at in supports_m), gettext_noop("A bridle point lies beyond the tip.")
    )
    need(min(supports_m) < 0 < max(supports_m), gettext_noop("The bridle needs points on both halves."))


def _pulls_from_moments(etas: list[float], moments: list[float]) -> list[float]:
    """Peel the supports off from the right: each moment says what the support outboard of it pulls."""
    pulls = [0.0] * len(etas)
    for i in range(len(etas) - 2, -1, -1):
        carried = sum(pulls[k] * (etas[k] - etas[i]) for k in range(i + 2, len(etas)))
        pulls[i + 1] = (moments[i] + _outboard_moment(etas[i]) - carried) / (etas[i + 1] - etas[i])
    pulls[0] = 1.0 - sum(pulls)
    return pulls


def _three_moments(
    spans: Sequence[float],
    left_turns: Sequence[float],
    right_turns: Sequence[float],
    ends: tuple[float, float],
) -> list[float]:
    """Support moments from the end turns (slope times stiffness) that each span's load makes on its own."""
    inner = len(spans) - 1
    diagonal = [2 * (spans[i] + spans[i + 1]) for i in range(inner)]
    right_side = [-6 * (right_turns[i] + left_turns[i + 1]) for i in range(inner)]
    if inner:
        right_side[0] -= spans[0] * ends[0]
        right_side[-1] -= spans[-1] * ends[1]
    for i in range(1, inner):
        share = spans[i] / diagonal[i - 1]
        diagonal[i] -= share * spans[i]
        right_side[i] -= share * right_side[i - 1]
    moments = [ends[1]]
    for i in range(inner - 1, -1, -1):
        beyond = spans[i + 1] * moments[-1] if i < inner - 1 else 0.0
        moments.append((right_side[i] - beyond) / diagonal[i])
    return [ends[0], *reversed(moments)]


def _outboard_moment(eta: float) -> float:
    """Moment of all elliptical lift right of a place about it, per unit lift and half span, -1 to 1."""
    root = sqrt(max(0.0, 1 - eta * eta))
    return (root * (2 + eta * eta) / 3 - eta * acos(eta)) / pi


def _moment_once(eta: float) -> float:
    """First integral of `_outboard_moment`."""
    root = sqrt(max(0.0, 1 - eta * eta))
    return 2 / pi * (root * eta * (13 + 2 * eta**2) / 48 - (4 * eta**2 + 1) / 16 * acos(eta))


def _moment_twice(eta: float) -> float:
    """Second integral of `_outboard_moment`."""
    root = sqrt(max(0.0, 1 - eta * eta))
    even = 1 / 45 + 83 * eta**2 / 720 + eta**4 / 120
    return 2 / pi * (root * even - eta * (4 * eta**2 + 3) / 48 * acos(eta))


def _end_turns(left: float, right: float) -> tuple[float, float]:
    """What the hidden outboard moment alone turns the two ends of a bay, its own chord taken off.

    The bay's moment is the straight line between its supports' moments plus its simple-span moment, and
    that is the outboard moment's chord less the outboard moment itself.
    """
    length = right - left
    m_left, m_right = _outboard_moment(left), _outboard_moment(right)
    rise = _moment_twice(right) - _moment_twice(left)
    toward_right = length * _moment_once(right) - rise
    toward_left = rise - length * _moment_once(left)
    simple_right = length**2 * (m_left + 2 * m_right) / 6 - toward_right
    simple_left = length**2 * (2 * m_left + m_right) / 6 - toward_left
    return simple_left / length, simple_right / length
