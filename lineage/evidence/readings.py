"""Readings before and after a change: difference of means with an interval; and trials, that pass or do not."""

from collections.abc import Sequence
from math import fsum, inf, log, sqrt

from msgspec import Struct

from lineage.evidence.exact import (
    Counts,
    Stratum,
    distribution_of,
    is_above_one,
    is_below_one,
)
from lineage.evidence.verdicts import (
    HELPED,
    MADE_IT_WORSE,
    NOT_KNOWN_WHICH_WAY_IS_BETTER,
    NOT_TRIED_YET,
    NOTHING_TO_COMPARE_WITH,
    TOO_FEW_TO_TELL,
    WORKED_OUT,
    Verdict,
)
from lineage.spec.records import Better
from lineage.values.student import student_quantile


class Reading(Struct, frozen=True):
    """One reading and its own standard uncertainty (of the scale, or half its last digit)."""

    value: float
    u: float


class Side(Struct, frozen=True, kw_only=True):
    """The readings of one side: their mean, its standard uncertainty, and the part of it that is their scatter
    (standard deviation ÷ √n; None for a single reading, whose scatter nobody knows)."""

    n: int
    value: float
    u: float
    scatter: float | None


class Difference(Struct, frozen=True, kw_only=True):
    """After less before, or the logarithm of after over before; `freedom` None: no scatter, a normal interval."""

    value: float
    u: float
    freedom: float | None
    interval95: tuple[float, float]


def side_of(readings: Sequence[Reading]) -> Side | None:
    """Mean of repeated readings with its standard uncertainty.

    u² = ū² + s²/n, ū the mean of the readings' own u (one instrument errs alike each time), s their standard
    deviation (n − 1)

    readings: of one thing, each with its u, in one unit.
    Returns the side in that unit; None where there is no reading.
    Source: JCGM 100:2008 (GUM), 4.2.3 and 4.3.7; 5.2.2 for what the readings share.
    """
    n = len(readings)
    if n == 0:
        return None
    mean = fsum(reading.value for reading in readings) / n
    own = fsum(reading.u for reading in readings) / n
    if n == 1:
        return Side(n=n, value=mean, u=own, scatter=None)
    scatter = sqrt(fsum((reading.value - mean) ** 2 for reading in readings) / (n - 1) / n)
    return Side(n=n, value=mean, u=sqrt(own**2 + scatter**2), scatter=scatter)


def difference(before: Side | None, after: Side | None) -> Difference | None:
    """After less before, with a 95 % interval.

    d ± t(0.975, ν)·u, u² = u_before² + u_after², ν by `effective_freedom`

    before, after: means with their u, in one unit. Returns the same unit; None below two readings on a side.
    Source: JCGM 100:2008 (GUM), 5.1.2, G.3 and G.4.
    """
    if before is None or after is None or before.scatter is None or after.scatter is None:
        return None
    u = sqrt(before.u**2 + after.u**2)
    scatters = ((before.scatter, before.n - 1), (after.scatter, after.n - 1))
    return _spread(after.value - before.value, u, effective_freedom(u, scatters))


def log_ratio(before: Side | None, after: Side | None) -> Difference | None:
    """The logarithm of after over before, for times, which change by a share; with a 95 % interval.

    ln(after/before) ± t(0.975, ν)·u, u² = (u_before/before)² + (u_after/after)², ν from the relative scatters

    before, after: means with their u, above 0, in one unit. Returns a number without unit; None below two
    readings on a side, or where a mean is not above 0.
    Source: JCGM 100:2008 (GUM), 5.1.2 and 5.1.6 (relative uncertainties), G.3 and G.4.
    """
    if before is None or after is None or before.value <= 0 or after.value <= 0:
        return None
    shares = difference(_relative(before), _relative(after))
    if shares is None:
        return None
    return _spread(
        log(after.value / before.value), shares.u, inf if shares.freedom is None else shares.freedom
    )


def effective_freedom(u: float, parts: Sequence[tuple[float, float]]) -> float:
    """Effective degrees of freedom of a combined standard uncertainty.

    ν = u⁴ / Σ(u_i⁴/ν_i)

    u: combined standard uncertainty. parts: contribution u_i and its freedom ν_i, of those whose freedom is
    finite; what is left out counts as infinite. Returns ν, without unit, infinite where no part has any size.
    Source: JCGM 100:2008 (GUM), G.4.1, equation G.2b (Welch and Satterthwaite).
    """
    if u == 0:
        return inf
    weight = fsum((part / u) ** 4 / freedom for part, freedom in parts)
    return 1 / weight if weight > 0 else inf


def verdict_of_difference(found: Difference | None, better: Better | None) -> Verdict:
    """The verdict on readings: `helped` or `made it worse` where the interval excludes no change.

    `better` says which way is better; where it says nothing the verdict is always that this is not known.
    """
    if better is None:
        return NOT_KNOWN_WHICH_WAY_IS_BETTER
    if found is None:
        return TOO_FEW_TO_TELL
    low, high = found.interval95
    return _word(rose=low > 0, fell=high < 0, better=better)


def verdict_of_gap(found: Difference | None, *, met_before: bool | None, met_after: bool | None) -> Verdict:
    """The verdict on a fit: worked out until both builds were measured, then whether its need came to be met.

    met_before, met_after: whether the mean of the readings is within what is needed, None where there is none.
    found: their difference. A need met, or missed, on both sides stays `worked out`: what is more than needed is no
    better. Else `helped` or `made it worse` where the 95 % interval excludes no change, or `too few to tell`.
    Source: this project's rule.
    """
    if met_before is None or met_after is None or met_before == met_after:
        return WORKED_OUT
    if found is None or found.interval95[0] <= 0 <= found.interval95[1]:
        return TOO_FEW_TO_TELL
    return HELPED if met_after else MADE_IT_WORSE


def verdict_of_trials(before: Counts, after: Counts, better: Better | None = None) -> Verdict:
    """The verdict on trials, passed of tries; more is better unless it says less.

    `nothing to compare with` and `not tried yet` without a try before or after; `helped` or `made it worse` where
    the exact 95 % limits of the odds ratio of passing lie on one side of 1, else `too few to tell`; no leans, as for
    other readings.
    Source: Fisher 1935 and Gart 1970, as in exact.py.
    """
    if not before.of:
        return NOTHING_TO_COMPARE_WITH
    if not after.of:
        return NOT_TRIED_YET
    distribution = distribution_of((Stratum(before, after),))
    return _word(rose=is_above_one(distribution), fell=is_below_one(distribution), better=better or "more")


def _word(*, rose: bool, fell: bool, better: Better) -> Verdict:
    if not rose and not fell:
        return TOO_FEW_TO_TELL
    return HELPED if rose == (better == "more") else MADE_IT_WORSE


def _relative(side: Side) -> Side:
    scatter = None if side.scatter is None else side.scatter / side.value
    return Side(n=side.n, value=1.0, u=side.u / side.value, scatter=scatter)


def _spread(value: float, u: float, freedom: float) -> Difference:
    reach = student_quantile(0.975, freedom) * u
    return Difference(
        value=value,
        u=u,
        freedom=None if freedom == inf else freedom,
        interval95=(value - reach, value + reach),
    )
