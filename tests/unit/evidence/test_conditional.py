"""The exact distribution of failures after, given all failures."""

import pytest
from scipy.stats import nchypergeom_fisher

from lineage.evidence.conditional import (
    NOTHING_LEARNT,
    most_likely_odds_ratio,
    odds_ratio_limits,
    of_table,
    pooled,
)


def test_the_weights_are_those_of_the_lady_who_tasted_tea():
    """Four cups of each kind, four said to be milk first: 1, 16, 36, 16, 1 ways of 70."""
    found = of_table((1, 4, 3, 4))
    assert found.weights == (1, 16, 36, 16, 1)
    assert (found.seen, found.as_many, found.total) == (3, 17, 70)


def test_the_numbers_possible_start_where_the_failures_do_not_fit_before():
    """Two of two before and three of three after: all five failed, so all three after must have."""
    assert of_table((2, 2, 3, 3)).weights == (1,)
    assert of_table((2, 2, 2, 3)).weights == (3, 2)


def test_strata_are_multiplied_and_what_says_nothing_is_left_out():
    one, other = of_table((1, 1, 0, 1)), of_table((2, 3, 1, 2))
    assert (one.weights, other.weights) == ((1, 1), (1, 6, 3))
    assert (pooled((one, other)).weights, pooled((one, other)).seen) == ((1, 7, 9, 3), 1)
    assert pooled((one, NOTHING_LEARNT)) == one
    assert pooled(()) == NOTHING_LEARNT


def test_at_the_limits_the_tails_are_one_in_forty_and_at_the_estimate_the_mean_is_what_was_seen():
    k_before, n_before, k_after, n_after = 7, 15, 2, 14
    found = of_table((k_before, n_before, k_after, n_after))
    low, high = odds_ratio_limits(found, 0.95)

    def at(ratio):
        return nchypergeom_fisher(n_before + n_after, n_after, k_before + k_after, ratio)

    assert at(low).sf(k_after - 1) == pytest.approx(0.025, rel=1e-9)
    assert at(high).cdf(k_after) == pytest.approx(0.025, rel=1e-9)
    assert at(most_likely_odds_ratio(found)).mean() == pytest.approx(k_after, rel=1e-9)


def test_all_failures_before_or_after_leave_one_side_open():
    assert most_likely_odds_ratio(of_table((5, 5, 0, 5))) == 0
    assert most_likely_odds_ratio(of_table((0, 5, 5, 5))) is None
    assert odds_ratio_limits(of_table((5, 5, 0, 5)), 0.95)[0] == 0
    assert odds_ratio_limits(of_table((0, 5, 5, 5)), 0.95)[1] is None
    assert odds_ratio_limits(NOTHING_LEARNT, 0.95) == (0, None)


@pytest.mark.parametrize("table", [(400, 500, 100, 500), (499, 500, 1, 500), (3, 900, 300, 900)])
def test_hundreds_of_bouts_and_strong_effects_do_not_overflow(table):
    k_before, n_before, k_after, n_after = table
    found = of_table(table)
    low, high = odds_ratio_limits(found, 0.95)
    plain = (k_after / (n_after - k_after)) / (k_before / (n_before - k_before))
    assert low < most_likely_odds_ratio(found) < high
    assert low < plain < high


def test_strata_far_apart_still_have_an_estimate():
    """Failures that jump at very different odds leave a plateau, where a step by slope alone would fly off."""
    found = pooled((of_table((300, 300, 1, 300)), of_table((1, 300, 300, 300)), of_table((1, 1, 0, 1))))
    low, high = odds_ratio_limits(found, 0.95)
    assert low < most_likely_odds_ratio(found) < high
