"""Exact limits, against worked figures and against scipy."""

from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import beta, chi2

from shoprepair.cover import rates, tails


def test_nine_events_in_359_weeks_have_the_worked_limits():
    found = rates.exact_limits(9, 359)

    assert (found.value, found.low, found.high) == pytest.approx(
        (0.0250696379, 0.0114634348, 0.0475899818), abs=5e-11
    )


def test_two_claims_in_250_years_have_the_worked_limits():
    found = rates.exact_limits(2, 250)

    assert (found.value, found.low, found.high) == pytest.approx(
        (0.008, 0.000968837, 0.0288987507), abs=5e-10
    )


@pytest.mark.parametrize("n", [31, 100, 1000])
def test_the_rule_of_three_is_near_for_more_than_thirty(n):
    """Eypasch et al. 1995, BMJ 311, 619: three over n."""
    assert rates.zero_rate_bound(n) == pytest.approx(3 / n, rel=0.002)


@settings(max_examples=40)
@given(st.integers(0, 3000), st.floats(0.01, 1e5))
def test_limits_of_a_rate_are_those_of_chi_squared(events, exposure):
    found = rates.exact_limits(events, exposure)

    assert found.high * exposure == pytest.approx(chi2.ppf(0.975, 2 * events + 2) / 2, rel=1e-9)
    assert found.low * exposure == pytest.approx(chi2.ppf(0.025, 2 * events) / 2 if events else 0, rel=1e-9)


@settings(max_examples=40)
@given(st.integers(0, 5000), st.integers(0, 5000))
def test_limits_of_a_share_are_those_of_the_beta_distribution(events, others):
    found = rates.share_limits(events, events + others)

    low = beta.ppf(0.025, events, others + 1) if events else 0
    high = beta.ppf(0.975, events + 1, others) if others else 1
    assert (found.low, found.high) == pytest.approx((low, high), rel=1e-9)
    assert found.low <= found.value <= found.high


@given(st.lists(st.integers(0, 50), min_size=1, max_size=5), st.floats(0.01, 100))
@settings(max_examples=30)
def test_weights_that_are_all_alike_give_the_exact_limits(events, weight):
    found = rates.weighted_limits(events, [weight] * len(events))
    exact = rates.exact_limits(sum(events), 1 / weight)

    assert (found.value, found.low, found.high) == pytest.approx(
        (exact.value, exact.low, exact.high), rel=1e-9
    )


def test_weights_that_differ_widen_the_limits():
    """Ten events of weight 1, and the same sum of one event of weight 10: that says far less."""
    many, one = rates.weighted_limits([10, 0], [1.0, 1.0]), rates.weighted_limits([0, 1], [1.0, 10.0])

    assert many.value == one.value == 10
    assert one.low < many.low < many.high < one.high
    assert rates.weighted_limits([], []) == rates.Limits(0, 0, 0)


def test_where_nothing_was_seen_nothing_is_known():
    assert rates.exact_limits(0, 0) == rates.Limits(0, 0, inf)
    assert rates.share_limits(0, 0) == rates.Limits(0, 0, 1)
    assert rates.zero_rate_bound(0) == inf


@pytest.mark.parametrize("wrong", [(-1, 10), (11, 10)])
def test_a_count_below_nought_or_above_its_whole_is_refused(wrong):
    with pytest.raises(ValueError, match="no more than its whole"):
        rates.share_limits(*wrong)


def test_however_many_were_counted_the_limits_are_exact():
    found = rates.exact_limits(1_000_000, 1.0)
    assert (found.low, found.high) == pytest.approx(
        (chi2.ppf(0.025, 2_000_000) / 2, chi2.ppf(0.975, 2_000_002) / 2), rel=1e-9
    )


WHOLE = r"^Counts and exposure are zero or more, a count no more than its whole\.$"


@pytest.mark.parametrize("confidence", [-0.5, 0, 1, 1.5])
def test_nobody_is_surer_than_sure_or_less_sure_than_not_at_all(confidence):
    for asked in (
        lambda: rates.exact_limits(2, 10, confidence),
        lambda: rates.weighted_limits([2], [1.0], confidence),
        lambda: rates.share_limits(2, 10, confidence),
        lambda: rates.zero_rate_bound(10, confidence),
    ):
        with pytest.raises(ValueError, match=WHOLE):
            asked()


def test_neither_counts_nor_what_they_are_counted_in_are_less_than_nought():
    for asked in (
        lambda: rates.exact_limits(-1, 10),
        lambda: rates.exact_limits(1, -0.5),
        lambda: rates.weighted_limits([-1, 3], [1.0, 1.0]),
        lambda: rates.weighted_limits([1, 3], [-0.5, 1.0]),
        lambda: rates.zero_rate_bound(-0.5),
    ):
        with pytest.raises(ValueError, match=WHOLE):
            asked()


def test_every_count_has_its_weight_which_may_be_nought():
    with pytest.raises(ValueError, match="shorter"):
        rates.weighted_limits([1, 2], [1.0])
    weighed = rates.weighted_limits([3, 2], [0.0, 1.0])
    assert (weighed.value, weighed.low, weighed.high) == pytest.approx(
        (2, rates.exact_limits(2, 1).low, rates.exact_limits(2, 1).high)
    )


@pytest.mark.parametrize("confidence", [0.5, 0.9, 0.99])
def test_whoever_wants_to_be_surer_is_given_wider_limits(confidence):
    tail = (1 - confidence) / 2
    rate, share = rates.exact_limits(3, 2, confidence), rates.share_limits(3, 9, confidence)
    weighed = rates.weighted_limits([1, 2], [0.5, 0.5], confidence)
    wanted = (1.5, chi2.ppf(tail, 6) / 4, chi2.ppf(1 - tail, 8) / 4)
    assert (rate.value, rate.low, rate.high) == pytest.approx(wanted, rel=1e-9)
    assert (weighed.value, weighed.low, weighed.high) == pytest.approx(wanted, rel=1e-9)
    assert (share.low, share.high) == pytest.approx(
        (beta.ppf(tail, 3, 7), beta.ppf(1 - tail, 4, 6)), rel=1e-9
    )


@pytest.mark.parametrize(("at", "share"), [(-1, 0), (0, 0), (1, 1), (2, 1)])
def test_nothing_lies_below_nought_and_no_share_above_one(at, share):
    assert tails.beta_below(2, 3, at) == share
    assert tails.gamma_below(2, min(at, 0)) == 0
