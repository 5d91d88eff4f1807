"""The regularised incomplete beta function: tails of binomial, negative binomial and Student's distributions."""

from math import exp, lgamma, log, log1p

_SMALLEST = 1e-300
_MOST_STEPS = 100_000  # steps grow with the square root of the larger argument; this is never reached in use


def beta_tails(a: float, b: float, x: float, rest: float) -> tuple[float, float]:
    """Both tails of the beta distribution at x, neither as 1 less the other where that would lose digits.

    lower = I_x(a, b) = 1/B(a, b) ∫₀ˣ s^(a−1)·(1 − s)^(b−1) ds; upper = I_(1−x)(b, a) = 1 − lower

    a, b: shapes, above 0. x: 0 to 1. rest: 1 − x, asked for because the caller often knows it to more digits.
    Returns (lower, upper).
    Source: NIST Digital Library of Mathematical Functions, 8.17.1, 8.17.4 and 8.17.22 (continued fraction).
    """
    if x <= 0 or rest <= 0:
        return (0.0, 1.0) if x <= 0 else (1.0, 0.0)
    front = exp(a * _log(x, rest) + b * _log(rest, x) - _log_beta(a, b))
    if x * (a + b + 2) < a + 1:
        lower = front * _fraction(a, b, x) / a
        return lower, 1 - lower
    upper = front * _fraction(b, a, rest) / b
    return 1 - upper, upper


def _log(number: float, rest: float) -> float:
    """ln of a number of which the smaller of it and its rest is known best."""
    return log(number) if number < rest else log1p(-rest)


def _fraction(a: float, b: float, x: float) -> float:
    """The continued fraction of DLMF 8.17.22, from the front (modified Lentz)."""
    c, d = 1.0, 1 / _away_from_zero(1 - (a + b) * x / (a + 1))
    value = d
    for m in range(1, _MOST_STEPS):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        for term in (even, odd):
            d = 1 / _away_from_zero(1 + term * d)
            c = _away_from_zero(1 + term / c)
            value *= c * d
        if abs(c * d - 1) < 1e-16:
            break
    return value


def _away_from_zero(number: float) -> float:
    return number if abs(number) > _SMALLEST else _SMALLEST


def _log_beta(a: float, b: float) -> float:
    """ln B(a, b); the logarithms of two large factorials are never subtracted from each other."""
    small, large = (a, b) if a < b else (b, a)
    if large < 15:
        return lgamma(a) + lgamma(b) - lgamma(a + b)
    both = small + large
    drop = (large - 0.5) * log1p(small / large) + small * log(both) - small
    return lgamma(small) + _after_stirling(large) - _after_stirling(both) - drop


def _after_stirling(z: float) -> float:
    """ln Γ(z) − [(z − ½) ln z − z + ½ ln 2π] for z from 15 (DLMF 5.11.1)."""
    s = 1 / (z * z)
    return (1 / 12 - s * (1 / 360 - s * (1 / 1260 - s * (1 / 1680 - s / 1188)))) / z
