"""A signature as it was drawn: strokes of points, each a share of the width and the height of its box."""

import json
import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Any

from django.utils.translation import gettext

from shoprepair.shop.languages import gettext_lazy

Point = tuple[float, float]
Strokes = list[list[Point]]
HEIGHT = 0.32
"""The box's height over its width."""
MOST_POINTS = 6000
"""A minute and more of the quickest pen."""
LONGEST_TEXT = 200_000
LEAST_LENGTH = 0.06
"""Of the box's width; a dot or a slip of the finger is shorter."""


class SignatureRefused(ValueError):
    """It is no signature; the message says in a sentence what to do."""


def read(text: str) -> Strokes:
    """The strokes that a page sent as JSON. Raises SignatureRefused."""
    if len(text) > LONGEST_TEXT:
        raise SignatureRefused(_TOO_MUCH)
    try:
        drawn = json.loads(text or "[]")
    except (ValueError, RecursionError):
        raise SignatureRefused(_BROKEN) from None
    return checked(drawn)


def checked(drawn: Any) -> Strokes:
    """The strokes, to a ten-thousandth, if somebody can have signed so. Raises SignatureRefused."""
    if not isinstance(drawn, Sequence) or isinstance(drawn, str):
        raise SignatureRefused(_BROKEN)
    if len(drawn) > MOST_POINTS or sum(_count(stroke) for stroke in drawn) > MOST_POINTS:
        raise SignatureRefused(_TOO_MUCH)
    strokes = [[_point(point) for point in stroke] for stroke in drawn if stroke]
    if not strokes:
        raise SignatureRefused(gettext("Nobody has signed yet. Let whoever takes it sign in the box."))
    if sum(_lengths(strokes)) < LEAST_LENGTH:
        raise SignatureRefused(gettext("A dot is not a signature. Clear it and let them sign again."))
    return strokes


def path(strokes: Sequence[Sequence[Sequence[float]]], width: float, height: float) -> str:
    """The strokes as the data of an SVG path in a box of this size."""
    return " ".join(_drawn(stroke, width, height) for stroke in strokes)


def _drawn(stroke: Sequence[Sequence[float]], width: float, height: float) -> str:
    # A dot over an i is one point: a line from it to itself, which round caps make visible.
    points = [*stroke, stroke[0]] if len(stroke) == 1 else stroke
    return "M" + "L".join(f"{x * width:.1f} {y * height:.1f}" for x, y in points)


def _count(stroke: Any) -> int:
    if not isinstance(stroke, Sequence) or isinstance(stroke, str):
        raise SignatureRefused(_BROKEN)
    return len(stroke)


def _point(point: Any) -> Point:
    try:
        x, y = (float(share) for share in point)
    except (TypeError, ValueError, OverflowError):
        raise SignatureRefused(_BROKEN) from None
    if not all(math.isfinite(share) and 0 <= share <= 1 for share in (x, y)):
        raise SignatureRefused(_BROKEN)
    return round(x, 4), round(y, 4)


def _lengths(strokes: Strokes) -> Iterator[float]:
    for stroke in strokes:
        for (x0, y0), (x1, y1) in pairwise(stroke):
            yield math.hypot(x1 - x0, (y1 - y0) * HEIGHT)


_BROKEN = gettext_lazy("The signature did not arrive whole. Clear it and let them sign again.")
_TOO_MUCH = gettext_lazy("That is more than a signature. Clear it and let them sign once.")
