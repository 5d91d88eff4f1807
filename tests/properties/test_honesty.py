"""What the verdicts promise, by going through every outcome that can happen; nothing here is drawn by chance.

Both sides have 1 to 20 robot-bouts. A verdict is worked out once for every pair of counts; how often each verdict
comes is then a sum over all pairs of counts, each with its binomial probability.
"""

from functools import cache
from math import comb, inf

import numpy as np
import pytest
from scipy.stats import hypergeom

from lineage.evidence.exact import Counts, Stratum, compare_counts
from lineage.evidence.verdicts import verdict_of_counts

MOST = 20
SIZES = range(1, MOST + 1)
SHARES = np.linspace(0.0, 1.0, 201)
WORSE = ("made it worse", "leaning worse")
BETTER = ("helped", "leaning better")
WORDS = ("helped", "leaning better", "too few to tell", "leaning worse", "made it worse")


def one(k_before, n_before, k_after, n_after):
    return (Stratum(Counts(k_before, n_before), Counts(k_after, n_after)),)


@cache
def verdicts(n_before, n_after):
    """Place in WORDS of the verdict of every pair of counts; rows before, columns after."""
    return np.array(
        [
            [WORDS.index(verdict_of_counts(one(b, n_before, a, n_after))) for a in range(n_after + 1)]
            for b in range(n_before + 1)
        ]
    )


@cache
def intervals(n_before, n_after):
    """Lower and upper 95 % limits of the odds ratio of every pair of counts."""
    low, high = np.empty((2, n_before + 1, n_after + 1))
    for b in range(n_before + 1):
        for a in range(n_after + 1):
            lower, upper = compare_counts(one(b, n_before, a, n_after)).interval95
            low[b, a], high[b, a] = lower, inf if upper is None else upper
    return low, high


@cache
def chances(n):
    """Chance of every number of failures in n robot-bouts, a row a share."""
    k = np.arange(n + 1)
    ways = np.array([comb(n, i) for i in k], dtype=float)
    return ways * SHARES[:, None] ** k * (1 - SHARES[:, None]) ** (n - k)


def how_often(n_before, n_after, words):
    """Chance of any of these verdicts where the share is the same on both sides, for each share of the grid."""
    said = np.isin(verdicts(n_before, n_after), [WORDS.index(word) for word in words]).astype(float)
    return np.einsum("sb,ba,sa->s", chances(n_before), said, chances(n_after))


def largest_over_all_sizes(words):
    return max(how_often(b, a, words).max() for b in SIZES for a in SIZES)


def test_under_no_effect_helped_and_made_it_worse_together_come_at_most_once_in_twenty():
    largest = largest_over_all_sizes(("helped", "made it worse"))
    assert 0.02 < largest <= 0.05
    assert f"{largest:.1%}" == "3.0%"  # as the guide prints it


@pytest.mark.parametrize("words", [BETTER, WORSE], ids=["better", "worse"])
def test_under_no_effect_each_lean_with_what_is_stronger_comes_at_most_once_in_ten(words):
    largest = largest_over_all_sizes(words)
    assert 0.05 < largest <= 0.10
    assert f"{largest:.1%}" == "7.2%"  # as the guide prints it


def test_a_tie_is_counted_as_too_few_and_a_lean_at_its_limit_as_a_lean():
    """0 of 2 against 13 of 14 has p = 1/20 exactly; 0 of 2 against 3 of 3 a smaller tail of 1/10 exactly."""
    assert WORDS[verdicts(14, 2)[13, 0]] == "leaning better"
    assert WORDS[verdicts(3, 2)[3, 0]] == "leaning better"
    assert WORDS[verdicts(3, 3)[3, 0]] == "leaning better"


RATIOS = np.concatenate([np.geomspace(1 / 64, 64, 25), [1.0]])


def test_intervals_hold_the_true_odds_ratio_at_least_nineteen_times_in_twenty():
    """Any share before, any odds ratio; exchanging the sides gives the sizes that are left out."""
    shares = np.linspace(0.02, 0.98, 33)
    odds = RATIOS[:, None] * shares / (1 - shares)
    after_shares = odds / (1 + odds)
    least = 1.0
    for n_after in SIZES:
        after = np.array([binomial(n_after, row) for row in after_shares])
        for n_before in range(1, n_after + 1):
            low, high = intervals(n_before, n_after)
            held = (low <= RATIOS[:, None, None]) & (RATIOS[:, None, None] <= high)
            by_after = np.matmul(after, held.transpose(0, 2, 1).astype(float))
            least = min(least, (binomial(n_before, shares) * by_after).sum(axis=2).min())
    assert 0.95 <= least < 0.98
    assert f"{least:.1%}" == "97.0%"  # as the guide prints it


def binomial(n, shares):
    k = np.arange(n + 1)
    ways = np.array([comb(n, i) for i in k], dtype=float)
    return ways * shares[:, None] ** k * (1 - shares[:, None]) ** (n - k)


def test_an_interval_lies_on_one_side_of_no_change_exactly_where_a_verdict_was_reached():
    for n_before in (1, 2, 3, 7, 13, 14, 20):
        for n_after in (1, 2, 3, 7, 13, 14, 20):
            low, high = intervals(n_before, n_after)
            said = verdicts(n_before, n_after)
            assert ((high < 1) == (said == WORDS.index("helped"))).all()
            assert ((low > 1) == (said == WORDS.index("made it worse"))).all()


def power_by_another_road(n_before, n_after, share_before, share_after):
    """Chance of `helped` from the library's hypergeometric tails; ties, found by their closeness, do not count."""
    b, a = np.meshgrid(np.arange(n_before + 1), np.arange(n_after + 1), indexing="ij")
    tail = hypergeom.cdf(a, n_before + n_after, a + b, n_after)
    helped = 2 * tail < 0.05 - 1e-12
    weight = np.outer(
        binomial(n_before, np.array([share_before]))[0], binomial(n_after, np.array([share_after]))[0]
    )
    return float((helped * weight).sum())


@pytest.mark.parametrize(
    ("share_before", "share_after"),
    [(0.1, 0.0), (0.3, 0.1), (0.5, 0.05), (0.5, 0.2), (0.8, 0.1), (0.9, 0.6)],
)
def test_the_chance_to_see_a_true_improvement_equals_an_independent_computation(share_before, share_after):
    for n_before in SIZES:
        for n_after in SIZES:
            said = verdicts(n_before, n_after) == WORDS.index("helped")
            before = binomial(n_before, np.array([share_before]))[0]
            after = binomial(n_after, np.array([share_after]))[0]
            power = float(before @ said @ after)
            assert power == pytest.approx(
                power_by_another_road(n_before, n_after, share_before, share_after), abs=1e-9
            )


def test_power_grows_with_the_improvement_and_stays_small_where_there_is_none():
    said = verdicts(20, 20) == WORDS.index("helped")
    before = binomial(20, np.array([0.5]))[0]
    power = [
        float(before @ said @ binomial(20, np.array([after]))[0]) for after in (0.5, 0.4, 0.3, 0.2, 0.1, 0.0)
    ]
    assert power == sorted(power)
    assert power[0] <= 0.025
    assert power[-1] > 0.99


def test_robots_with_shares_of_their_own_are_pooled_without_saying_helped_too_often():
    """Two robots, one that fails often and one that seldom does, every outcome of four or five bouts a side."""
    sizes = (5, 4, 4, 5)  # first robot before and after, second robot before and after
    word = np.zeros([n + 1 for n in sizes], dtype=int)
    for counts in np.ndindex(word.shape):
        first, second = one(counts[0], 5, counts[1], 4), one(counts[2], 4, counts[3], 5)
        word[counts] = WORDS.index(verdict_of_counts(first + second))
    shares = np.linspace(0, 1, 21)
    chances = [binomial(n, shares) for n in sizes]
    for words, most in ((("helped", "made it worse"), 0.05), (BETTER, 0.10), (WORSE, 0.10)):
        said = np.isin(word, [WORDS.index(each) for each in words]).astype(float)
        often = np.einsum("abcd,sa,sb,tc,td->st", said, *chances, optimize=True)
        assert 0 < often.max() <= most
