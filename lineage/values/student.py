"""Quantiles of Student's t distribution: how many standard uncertainties an interval reaches to either side."""

from math import erfc, exp, inf, lgamma, log, log1p, pi, sqrt

from lineage.values.incomplete_beta import beta_tails

_NEARLY_NORMAL = 1e5  # from here on two terms of the expansion about the normal quantile are right to 1e-13


def student_quantile(chance: float, freedom: float) -> float:
    """The t that Student's distribution stays below with a chance.

    P(T ≤ t) = chance, where P(T > t) = ½·I_(ν/(ν + t²))(ν/2, ½) for t ≥ 0

    chance: above 1e-100, below 1. freedom: ν, degrees of freedom, above 0, not always whole; infinite: normal.
    Returns t, without unit; negative below a chance of ½. Raises ValueError outside these ranges.
    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.6.4; Abramowitz and Stegun, Handbook of
    Mathematical Functions, 26.7.1 and, for large ν, 26.7.5.
    """
    if not 1e-100 < chance < 1 or not freedom > 0:
        raise ValueError("a chance between 0 and 1 and a freedom above 0 are wanted")
    if chance < 0.5:
        return -_quantile_above(chance, freedom)
    return _quantile_above(1 - chance, freedom)


def _quantile_above(tail: float, freedom: float) -> float:
    """t with P(T > t) = tail ≤ ½: Newton in ln t on ln tail, in bounded steps."""
    if tail == 0.5:
        return 0.0
    if _NEARLY_NORMAL <= freedom < inf:
        z = _quantile_above(tail, inf)
        return z + (z**3 + z) / (4 * freedom) + (5 * z**5 + 16 * z**3 + 3 * z) / (96 * freedom**2)
    t = 1.0
    for _ in range(200):
        above, density = _above_and_density(t, freedom)
        step = max(-0.5, min((log(above) - log(tail)) * above / (t * density), 0.5))
        t *= exp(step)
        if abs(step) < 1e-9:  # the next step would be of the order of its square
            break
    return t


def _above_and_density(t: float, freedom: float) -> tuple[float, float]:
    if freedom == inf:
        return erfc(t / sqrt(2)) / 2, exp(-t * t / 2) / sqrt(2 * pi)
    near, far = freedom / (freedom + t * t), t * t / (freedom + t * t)
    above = beta_tails(freedom / 2, 0.5, near, far)[0] / 2
    return above, exp(_log_peak(freedom) - (freedom + 1) / 2 * log1p(t * t / freedom))


def _log_peak(freedom: float) -> float:
    """ln of the density at 0; it only sets the size of Newton's steps, so that lost digits do no harm."""
    return lgamma((freedom + 1) / 2) - lgamma(freedom / 2) - log(freedom * pi) / 2
