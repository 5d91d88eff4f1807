"""Each factor's exact share of a change, whatever order the factors changed in."""

from collections.abc import Callable, Mapping
from itertools import combinations
from math import factorial
from typing import TypeVar

V = TypeVar("V")


def shapley(
    before: Mapping[str, V], after: Mapping[str, V], value: Callable[[Mapping[str, V]], float]
) -> dict[str, float]:
    """The Shapley value of every factor that changed.

    share_i = Σ over sets S of the other changed factors of |S|!·(n − |S| − 1)!/n! · (v(S ∪ {i}) − v(S)),
    where v(S) is the value with the factors in S as after and all others as before. The shares add up to
    v(after) − v(before).
    before, after: factors by the same names. value: of all factors together.
    Result: shares by factor, in the unit of the value; none for a factor that did not change. Raises
    ValueError where the names differ.
    Source: L. S. Shapley, A Value for n-Person Games, Contributions to the Theory of Games II, 1953,
    equation 12.
    """
    if before.keys() != after.keys():
        raise ValueError("factors before and after have to be the same ones")
    changed = [name for name in before if before[name] != after[name]]
    worth = {
        chosen: value({**before, **{name: after[name] for name in chosen}})
        for size in range(len(changed) + 1)
        for chosen in map(frozenset, combinations(changed, size))
    }
    n = len(changed)
    weight = [factorial(s) * factorial(n - s - 1) / factorial(n) for s in range(n)]
    shares = dict.fromkeys(changed, 0.0)
    for chosen, without in worth.items():
        for name in changed:
            if name not in chosen:
                shares[name] += weight[len(chosen)] * (worth[chosen | {name}] - without)
    return shares
