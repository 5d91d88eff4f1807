"""The incomplete beta function against the reference library and against whole-number sums."""

from math import comb

import pytest
from scipy.special import betainc, betaincc

from lineage.values.incomplete_beta import beta_tails

SHAPES = [0.1, 0.5, 1, 2.5, 14.9, 15.1, 60, 1000, 30_000.5]


@pytest.mark.parametrize("a", SHAPES)
@pytest.mark.parametrize("b", SHAPES)
def test_both_tails_agree_with_the_reference_library(a, b):
    for x in (0.001, 0.25, a / (a + b), 0.75, 0.999):
        lower, upper = beta_tails(a, b, x, 1 - x)
        assert lower == pytest.approx(betainc(a, b, x), rel=1e-9, abs=1e-290)
        assert upper == pytest.approx(betaincc(a, b, x), rel=1e-9, abs=1e-290)


@pytest.mark.parametrize(("k", "n"), [(1, 1), (3, 7), (5, 20), (18, 40)])
def test_whole_shapes_give_binomial_tails(k, n):
    """P(k or more of n) by adding up, at a share of 3 in 8."""
    expected = sum(comb(n, i) * 3**i * 5 ** (n - i) for i in range(k, n + 1)) / 8**n
    assert beta_tails(k, n - k + 1, 0.375, 0.625)[0] == pytest.approx(expected, rel=1e-13)


def test_the_ends_are_certain():
    assert beta_tails(2, 3, 0, 1) == (0.0, 1.0)
    assert beta_tails(2, 3, 1, 0) == (1.0, 0.0)


def test_a_rest_below_the_last_digit_of_one_still_counts():
    assert beta_tails(2, 1, 1.0, 1e-30)[1] == pytest.approx(2e-30, rel=1e-12)
