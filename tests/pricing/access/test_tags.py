import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.pricing.access.sheet import WIDE
from shoprepair.pricing.access.tags import spread

places = st.lists(st.floats(26, WIDE - 26), min_size=1, max_size=18).map(sorted)


def test_a_tag_alone_stands_above_its_place():
    assert spread([400.0], 52) == [400.0]


def test_tags_that_crowd_gather_about_their_middle():
    assert spread([500.0, 500.0, 500.0], 52) == pytest.approx([448.0, 500.0, 552.0])


def test_a_tag_at_an_end_stays_on_the_sheet():
    assert spread([27.0, 27.0], 52)[0] >= 26


@given(places)
def test_tags_keep_their_order_a_step_apart_and_lie_on_the_sheet(wanted):
    found = spread(wanted, 52)
    assert all(after - before >= 52 - 1e-6 for before, after in itertools.pairwise(found))
    assert found[0] >= 26 - 1e-6
    assert found[-1] <= WIDE - 26 + 1e-6
