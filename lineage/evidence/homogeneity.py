"""Whether strata pull apart: pooled they may say helped, where one robot gained and another lost."""

from collections.abc import Sequence
from fractions import Fraction

from lineage.evidence.conditional import of_table
from lineage.evidence.exact import Stratum, strata_with_both_sides

MOST_STATES = 50_000  # partial outcomes kept at once; several robots of twenty bouts a side stay below it


def pull_apart(strata: Sequence[Stratum]) -> bool | None:
    """Whether strata differ in their odds ratio by more than chance, so that one pooled answer is doubtful.

    chance_of_differing_so ≤ 1/10: the level of a lean, as such tests miss much with few bouts (this project's
    choice)

    strata: one a robot. Returns None where there are too many outcomes to go through.
    Source: Zelen, The analysis of several 2 × 2 contingency tables, Biometrika 58 (1971).
    """
    chance = chance_of_differing_so(strata)
    return None if chance is None else 10 * chance <= 1


def chance_of_differing_so(strata: Sequence[Stratum]) -> Fraction | None:
    """Exact p of the hypothesis that all strata have one odds ratio.

    Given every stratum's margins and the sum of what was counted after, outcomes have chances in proportion to
    ∏ C(n_after, a)·C(n_before, m − a), whatever that odds ratio is; p is the sum over the outcomes that are no
    more likely than the one seen.

    strata: one a robot. Returns a fraction, 1 where fewer than two strata could come out in two ways; None where
    more than 50,000 partial outcomes would have to be kept.
    Source: Zelen, The analysis of several 2 × 2 contingency tables, Biometrika 58 (1971).
    """
    every = (
        of_table((s.before.count, s.before.of, s.after.count, s.after.of))
        for s in strata_with_both_sides(strata)
    )
    informative = [distribution for distribution in every if len(distribution.weights) > 1]
    likelihood, seen_sum = 1, 0
    outcomes = {(0, 1): 1}  # (sum so far, product of weights so far) → in how many ways
    for distribution in informative:
        likelihood *= distribution.weights[distribution.seen]
        seen_sum += distribution.seen
        outcomes = _with_stratum(outcomes, distribution.weights)
        if len(outcomes) > MOST_STATES:
            return None
    possible = {product: ways for (total, product), ways in outcomes.items() if total == seen_sum}
    no_likelier = sum(product * ways for product, ways in possible.items() if product <= likelihood)
    return Fraction(no_likelier, sum(product * ways for product, ways in possible.items()))


def _with_stratum(
    outcomes: dict[tuple[int, int], int], weights: tuple[int, ...]
) -> dict[tuple[int, int], int]:
    extended: dict[tuple[int, int], int] = {}
    for (total, product), ways in outcomes.items():
        for number, weight in enumerate(weights):
            state = (total + number, product * weight)
            extended[state] = extended.get(state, 0) + ways
    return extended
