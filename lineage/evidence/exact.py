"""k of n: exact limits of one share, and two shares set against each other, pooled over strata.

What the words of a verdict hang on is decided in whole numbers, so that floating point never decides a tie.
"""

from collections.abc import Iterable, Sequence
from math import comb, exp, log, nextafter

from msgspec import Struct

from lineage.evidence.conditional import (
    Conditional,
    most_likely_odds_ratio,
    odds_ratio_limits,
    of_table,
    pooled,
)
from lineage.evidence.search import root
from lineage.values.incomplete_beta import beta_tails


class Counts(Struct, frozen=True):
    """`count` of `of`: failed of robot-bouts, snags of builds made, passed of tries."""

    count: int
    of: int

    def __post_init__(self) -> None:
        assert 0 <= self.count <= self.of

    def __str__(self) -> str:
        return f"{self.count} of {self.of}"


class Stratum(Struct, frozen=True):
    """One robot before and after a change."""

    before: Counts
    after: Counts

    @property
    def has_both_sides(self) -> bool:
        """Whether there was something to count on both sides."""
        return self.before.of > 0 and self.after.of > 0


class Share(Struct, frozen=True, kw_only=True):
    """A share of n with its exact limits."""

    value: float
    low: float
    high: float


class Comparison(Struct, frozen=True, kw_only=True):
    """Before against after over all strata that have both sides.

    `ratio` is the plain ratio of the shares, after over before (None where nothing was counted before);
    `odds_ratio` after over before (None: infinite or not defined); `interval95` its limits (upper None: infinite).
    `chance_as_few` and `chance_as_many`: of as few (many) after, had nothing changed. From `odds_ratio` on all are
    None where no stratum has both sides; the counts are then the plain sums.
    """

    before: Counts
    after: Counts
    strata: tuple[Stratum, ...]
    ratio: float | None = None
    odds_ratio: float | None = None
    interval95: tuple[float, float | None] | None = None
    chance_as_few: float | None = None
    chance_as_many: float | None = None
    p_value: float | None = None


def share_of(count: int, of: int, level: float = 0.95) -> Share | None:
    """A share with its central exact limits (Clopper-Pearson).

    low: the share at which as many or more have the chance (1 − level)/2, 0 where none; high: likewise as few
    or fewer, 1 where all

    count of `of`: whole numbers. level: chance that the limits hold the true share, at least.
    Returns shares from 0 to 1; None where there was nothing to count in (of = 0).
    Source: Clopper and Pearson, The use of confidence or fiducial limits illustrated in the case of the binomial,
    Biometrika 26 (1934).
    """
    assert 0 <= count <= of
    if of == 0:
        return None
    odds = log((1 + level) / (1 - level))
    low = 0.0 if count == 0 else _share_where(count, of, -odds)
    high = 1.0 if count == of else _share_where(count + 1, of, odds)
    return Share(value=count / of, low=low, high=high)


def _share_where(least: int, of: int, log_odds: float) -> float:
    """The share at which the odds of `least` or more of `of` have this logarithm.

    P(`least` or more) = I_share(least, of − least + 1)
    """
    a, b = least, of - least + 1
    log_front = log(a * comb(of, a))

    def off(logit: float) -> tuple[float, float]:
        share, rest = 1 / (1 + exp(-logit)), 1 / (1 + exp(logit))
        more, fewer = beta_tails(a, b, share, rest)
        change = exp(log_front + a * log(share) + b * log(rest))  # of `more` with the logit
        return log(more) - log(fewer) - log_odds, change / (more * fewer)

    return 1 / (1 + exp(-root(off, log((a - 0.5) / (b - 0.5)))))


def compare_counts(strata: Sequence[Stratum]) -> Comparison:
    """Before against after, pooled over strata by the exact conditional distribution.

    p = min(1, 2·min(P(as few after), P(as many after))), failures before and after together held fixed

    strata: one a robot. One without anything to count in on both sides is no stratum, and its counts are left
    out, unless there is no other: then the plain sums stand and the rest is None.
    Returns odds ratio by conditional maximum likelihood and its central exact 95 % limits; p is below 0.05 exactly
    where these exclude 1, and 1 where nothing was counted at all.
    Source: Fisher, The Logic of Inductive Inference, J. R. Stat. Soc. 98 (1935); Gart, Biometrika 57 (1970);
    doubling: Fay, Confidence intervals that match Fisher's exact or Blaker's exact tests, Biostatistics 11 (2010).
    """
    used = strata_with_both_sides(strata)
    if not used:
        return Comparison(
            before=_sum(s.before for s in strata), after=_sum(s.after for s in strata), strata=()
        )
    before, after = _sum(s.before for s in used), _sum(s.after for s in used)
    distribution = distribution_of(used)
    total = distribution.total
    fewer_tail = min(distribution.as_few, distribution.as_many)
    return Comparison(
        before=before,
        after=after,
        strata=used,
        ratio=None if before.count == 0 else (after.count * before.of) / (after.of * before.count),
        odds_ratio=most_likely_odds_ratio(distribution),
        interval95=_interval95(distribution),
        chance_as_few=distribution.as_few / total,
        chance_as_many=distribution.as_many / total,
        p_value=min(1.0, 2 * fewer_tail / total),
    )


def strata_with_both_sides(strata: Iterable[Stratum]) -> tuple[Stratum, ...]:
    """The strata that say something about before against after."""
    return tuple(stratum for stratum in strata if stratum.has_both_sides)


def distribution_of(strata: Iterable[Stratum]) -> Conditional:
    """The exact conditional distribution of what was counted after."""
    return pooled(of_table((s.before.count, s.before.of, s.after.count, s.after.of)) for s in strata)


def is_below_one(distribution: Conditional) -> bool:
    """Whether the 95 % limits of the odds ratio lie below 1: as few as seen, or fewer, have a chance under 1/40."""
    return 40 * distribution.as_few < distribution.total


def is_above_one(distribution: Conditional) -> bool:
    """Whether the 95 % limits of the odds ratio lie above 1."""
    return 40 * distribution.as_many < distribution.total


def leans_below_one(distribution: Conditional) -> bool:
    """Whether as few as seen, or fewer, have a chance of at most 1/10."""
    return 10 * distribution.as_few <= distribution.total


def leans_above_one(distribution: Conditional) -> bool:
    """Whether as many as seen, or more, have a chance of at most 1/10."""
    return 10 * distribution.as_many <= distribution.total


def _sum(counts: Iterable[Counts]) -> Counts:
    every = tuple(counts)
    return Counts(sum(c.count for c in every), sum(c.of for c in every))


def _interval95(distribution: Conditional) -> tuple[float, float | None]:
    """The limits, each on the side of 1 (or at 1) where the whole numbers say it is."""
    low, high = odds_ratio_limits(distribution, 0.95)
    total = distribution.total
    if len(distribution.weights) == 1:
        return low, high
    if high is not None:
        high = _beside_one(high, 40 * distribution.as_few - total)
    return _beside_one(low, total - 40 * distribution.as_many), high


def _beside_one(limit: float, side: int) -> float:
    if side == 0:
        return 1.0
    return min(limit, nextafter(1.0, 0.0)) if side < 0 else max(limit, nextafter(1.0, 2.0))
