"""How many of all failures came after a change, given how many there were: the exact distribution behind p,
odds ratio and interval.

In a stratum with k of n before and after, and m failures together, the number after has the weight
C(n_after, a)·C(n_before, m − a)·w^a at odds ratio w (after over before). Strata multiply as polynomials in w.

Source: Fisher, The Logic of Inductive Inference, J. R. Stat. Soc. 98 (1935); Gart, Point and interval estimation of
the common odds ratio in the combination of 2 × 2 tables with fixed marginals, Biometrika 57 (1970).
"""

from collections.abc import Iterable, Sequence
from math import comb, exp, log

from msgspec import Struct

from lineage.evidence.search import root

Table = tuple[int, int, int, int]  # k and n before, k and n after


class Conditional(Struct, frozen=True):
    """Weights at odds ratio 1 of every possible number of failures after, from the least; `seen` is the place of
    what was seen among them. A single weight: nothing can be learnt."""

    weights: tuple[int, ...]
    seen: int

    @property
    def total(self) -> int:
        """The sum of all weights."""
        return sum(self.weights)

    @property
    def as_few(self) -> int:
        """Weight of as few failures after as were seen, or fewer."""
        return sum(self.weights[: self.seen + 1])

    @property
    def as_many(self) -> int:
        """Weight of as many failures after as were seen, or more."""
        return sum(self.weights[self.seen :])


NOTHING_LEARNT = Conditional((1,), 0)


def of_table(table: Table) -> Conditional:
    """The distribution in one stratum."""
    k_before, n_before, k_after, n_after = table
    m = k_before + k_after
    fewest = max(0, m - n_before)
    weights = tuple(comb(n_after, a) * comb(n_before, m - a) for a in range(fewest, min(n_after, m) + 1))
    return Conditional(weights, k_after - fewest)


def pooled(strata: Iterable[Conditional]) -> Conditional:
    """Strata together; one that can only come out one way changes nothing."""
    together = NOTHING_LEARNT
    for stratum in strata:
        if len(stratum.weights) > 1:
            together = _convolved(together, stratum)
    return together


def _convolved(one: Conditional, other: Conditional) -> Conditional:
    weights = [0] * (len(one.weights) + len(other.weights) - 1)
    for i, weight in enumerate(one.weights):
        for j, factor in enumerate(other.weights, i):
            weights[j] += weight * factor
    return Conditional(tuple(weights), one.seen + other.seen)


def most_likely_odds_ratio(distribution: Conditional) -> float | None:
    """Conditional maximum likelihood estimate of the common odds ratio.

    The w with E_w(failures after) = failures after seen

    Returns 0 where as few came after as could; None where it is infinite or not defined.
    Source: Gart 1970, section 3.
    """
    weights, seen = distribution.weights, distribution.seen
    most = len(weights) - 1
    if seen == most:
        return None
    if seen == 0:
        return 0.0
    logs = [log(weight) for weight in weights]
    target = log(seen) - log(most - seen)

    def off(theta: float) -> tuple[float, float]:
        terms = _terms(logs, theta)
        total = sum(terms)
        mean = sum(i * term for i, term in enumerate(terms)) / total
        short = sum((most - i) * term for i, term in enumerate(terms)) / total
        variance = sum((i - mean) ** 2 * term for i, term in enumerate(terms)) / total
        return log(mean) - log(short) - target, variance * most / (mean * short)

    return exp(root(off, 0.0))


def odds_ratio_limits(distribution: Conditional, level: float) -> tuple[float, float | None]:
    """Central exact limits of the common odds ratio: each leaves half of what the level lacks in its tail.

    lower: the w with P_w(as many or more) = (1 − level)/2; upper: the w with P_w(as few or fewer) = (1 − level)/2

    Returns (lower, upper); lower is 0 where as few came after as could, upper None (infinite) where as many.
    Source: Cornfield, A statistical problem arising from retrospective studies, Proc. Third Berkeley Symposium 4
    (1956), in the exact form of Gart 1970.
    """
    weights, seen = distribution.weights, distribution.seen
    logs = [log(weight) for weight in weights]
    odds = log((1 + level) / (1 - level))
    lower = 0.0 if seen == 0 else exp(_where_split(logs, seen, -odds))
    upper = None if seen == len(weights) - 1 else exp(_where_split(logs, seen + 1, odds))
    return lower, upper


def _where_split(logs: Sequence[float], split: int, log_odds: float) -> float:
    """ln w at which the odds of `split` or more failures after have this logarithm.

    The slope of that logarithm is the difference of the means on both sides of the split, so it is at least 1.
    """
    fewer, more = logs[:split], logs[split:]

    def off(theta: float) -> tuple[float, float]:
        low, low_mean = _sum_and_mean(fewer, theta, 0)
        high, high_mean = _sum_and_mean(more, theta, split)
        return high - low - log_odds, high_mean - low_mean

    return root(off, 0.0)


def _sum_and_mean(logs: Sequence[float], theta: float, first: int) -> tuple[float, float]:
    """Logarithm of the sum of the weights at ln w = theta, and the mean number of failures under them."""
    exponents = [weight + i * theta for i, weight in enumerate(logs, first)]
    top = max(exponents)
    terms = [exp(exponent - top) for exponent in exponents]
    total = sum(terms)
    return log(total) + top, sum(i * term for i, term in enumerate(terms, first)) / total


def _terms(logs: Sequence[float], theta: float) -> list[float]:
    exponents = [weight + i * theta for i, weight in enumerate(logs)]
    top = max(exponents)
    return [exp(exponent - top) for exponent in exponents]
