from math import inf, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.mechanics.assessment import band, urgency
from shoprepair.mechanics.description import Band
from tests.mechanics.wild import unhurried


@pytest.mark.parametrize(
    ("ratio", "points"), [(0, 0), (0.25, 29), (0.5, 50), (1, 75), (2, 94), (50, 100), (inf, 100)]
)
def test_urgency_is_half_at_half_of_what_the_place_can_hold(ratio, points):
    assert urgency(ratio) == points


@pytest.mark.parametrize(
    ("ratio", "expected"),
    [
        (inf, Band.GROUNDED),
        (1, Band.GROUNDED),
        (0.999, Band.REPAIR_FIRST),
        (0.5, Band.REPAIR_FIRST),
        (0.499, Band.NEXT_SERVICE),
        (0.25, Band.NEXT_SERVICE),
        (0.249, Band.WATCH),
        (0, Band.WATCH),
    ],
)
def test_bands_begin_at_their_ratios(ratio, expected):
    assert band(ratio) is expected


@unhurried
@given(st.floats(0, 1e6), st.floats(0, 1e6))
def test_a_higher_ratio_is_never_less_urgent(one, other):
    less, more = sorted((one, other))
    assert urgency(less) <= urgency(more)
    assert list(Band).index(band(less)) >= list(Band).index(band(more))


@pytest.mark.parametrize("ratio", [-0.1, nan])
def test_a_ratio_below_nothing_is_refused_in_a_sentence(ratio):
    for ask in (urgency, band):
        with pytest.raises(ValueError, match="zero or more"):
            ask(ratio)
