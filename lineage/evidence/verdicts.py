"""The words of verdicts, in one place, and how counts come to theirs."""

from collections.abc import Sequence
from typing import Literal

from msgspec import Struct

from lineage.evidence.conditional import Conditional, of_table, pooled
from lineage.evidence.exact import (
    Comparison,
    Counts,
    Stratum,
    compare_counts,
    distribution_of,
    is_above_one,
    is_below_one,
    leans_above_one,
    leans_below_one,
    strata_with_both_sides,
)
from lineage.evidence.homogeneity import pull_apart
from lineage.evidence.search import least

Verdict = Literal[
    "helped", "made it worse", "leaning better", "leaning worse", "too few to tell", "not tried yet",
    "nothing to compare with", "not known which way is better", "worked out",
]  # fmt: skip

HELPED: Verdict = "helped"
MADE_IT_WORSE: Verdict = "made it worse"
LEANING_BETTER: Verdict = "leaning better"
LEANING_WORSE: Verdict = "leaning worse"
TOO_FEW_TO_TELL: Verdict = "too few to tell"
NOT_TRIED_YET: Verdict = "not tried yet"
NOTHING_TO_COMPARE_WITH: Verdict = "nothing to compare with"
NOT_KNOWN_WHICH_WAY_IS_BETTER: Verdict = "not known which way is better"
WORKED_OUT: Verdict = "worked out"
VERDICTS: tuple[Verdict, ...] = (
    HELPED, MADE_IT_WORSE, LEANING_BETTER, LEANING_WORSE, TOO_FEW_TO_TELL, NOT_TRIED_YET,
    NOTHING_TO_COMPARE_WITH, NOT_KNOWN_WHICH_WAY_IS_BETTER, WORKED_OUT,
)  # fmt: skip

_BETTER = (HELPED, LEANING_BETTER)
MOST_FURTHER_BOUTS = 100_000  # more than a robot lives to fight: past it the answer is that no number would


class Judged(Struct, frozen=True, kw_only=True):
    """What the failures before and after a change say, with all that a page shows of it.

    `luck`: the chance of as few (as many) failures after, had nothing changed; `unmatched` how many failures of the
    after side are at no known place and were counted against a better verdict.
    """

    comparison: Comparison
    verdict: Verdict
    luck: float | None
    pull_apart: bool | None
    unmatched: int


def judge_counts(strata: Sequence[Stratum], unmatched_after: Sequence[int] = ()) -> Judged:
    """Comparison, verdict, luck and whether the strata pull apart, in one record."""
    comparison = compare_counts(strata)
    return Judged(
        comparison=comparison,
        verdict=verdict_of_counts(strata, unmatched_after),
        luck=luck(comparison),
        pull_apart=pull_apart(strata),
        unmatched=sum(
            number for stratum, number in _paired(strata, unmatched_after) if stratum.has_both_sides
        ),
    )


def luck(comparison: Comparison) -> float | None:
    """The smaller tail: the chance of as few (as many) had nothing changed; None without both sides."""
    if comparison.chance_as_few is None or comparison.chance_as_many is None:
        return None
    return min(comparison.chance_as_few, comparison.chance_as_many)


def verdict_of_counts(strata: Sequence[Stratum], unmatched_after: Sequence[int] = ()) -> Verdict:
    """The verdict on failures before and after a change.

    In this order: `nothing to compare with` (no exposure before), `not tried yet` (none after, or not in the same
    robot), `helped` or `made it worse` (95 % limits of the odds ratio on one side of 1, that is p < 1/20),
    `leaning better` or `leaning worse` (one-sided p at most 1/10), `too few to tell`.

    strata: one a robot. unmatched_after: for each stratum the robot-bouts of its after side that have a failure at
    no known place and none of the thing's own. A better verdict has to survive them: each counted as a failure,
    the verdict is the one worked out so, at worst `too few to tell`.
    Source: Fisher 1935 and Gart 1970, as in exact.py; the limits 1/20 and 1/10 are common practice.
    """
    assert not unmatched_after or len(unmatched_after) == len(strata)
    if not any(stratum.before.of for stratum in strata):
        return NOTHING_TO_COMPARE_WITH
    if not strata_with_both_sides(strata):
        return NOT_TRIED_YET
    plain = _word_for(distribution_of(strata_with_both_sides(strata)))
    if plain not in _BETTER or not any(unmatched_after):
        return plain
    burdened = _word_for(distribution_of(strata_with_both_sides(_burdened(strata, unmatched_after))))
    return burdened if burdened in _BETTER else TOO_FEW_TO_TELL


def _word_for(distribution: Conditional) -> Verdict:
    if is_below_one(distribution):
        return HELPED
    if is_above_one(distribution):
        return MADE_IT_WORSE
    if leans_below_one(distribution):
        return LEANING_BETTER
    return LEANING_WORSE if leans_above_one(distribution) else TOO_FEW_TO_TELL


def _paired(strata: Sequence[Stratum], unmatched_after: Sequence[int]) -> list[tuple[Stratum, int]]:
    return list(zip(strata, unmatched_after or [0] * len(strata), strict=True))


def _burdened(strata: Sequence[Stratum], unmatched_after: Sequence[int]) -> list[Stratum]:
    """The strata with every unmatched failure of the after side counted as the thing's own."""
    return [
        Stratum(stratum.before, Counts(stratum.after.count + unmatched, stratum.after.of))
        for stratum, unmatched in _paired(strata, unmatched_after)
    ]


def to_settle(strata: Sequence[Stratum], own: int, unmatched_after: Sequence[int] = ()) -> int | None:
    """The least number of further clean bouts of one robot that would make the verdict `helped`.

    With x clean bouts more in its after side, the chance of as few failures falls steadily towards
    P(failures after in the other strata ≤ those seen there − its own failures before)

    own: which of the strata is the robot asked about. unmatched_after: as for the verdict, which has to survive them.
    Returns 0 where it is `helped` already; None where no number would do (that limit is not below 1/40), or none
    up to 100,000.
    Source: the exact test of exact.py; the limit is that of the hypergeometric distribution for n_after → ∞.
    """
    burdened = _burdened(strata, unmatched_after)
    if verdict_of_counts(burdened) == HELPED:
        return 0
    asked = burdened[own]
    others = distribution_of(strata_with_both_sides(burdened[:own] + burdened[own + 1 :]))
    if not asked.before.of or not _can_settle(others, asked.before.count):
        return None

    def helped(further: int) -> bool:
        before, after = asked.before, asked.after
        table = (before.count, before.of, after.count, after.of + further)
        return after.of + further > 0 and is_below_one(pooled((others, of_table(table))))

    return least(helped, MOST_FURTHER_BOUTS)


def _can_settle(others: Conditional, failed_before: int) -> bool:
    """Whether the limit for ever more clean bouts is below 1/40."""
    as_few = sum(others.weights[: max(0, others.seen - failed_before + 1)])
    return 40 * as_few < others.total
