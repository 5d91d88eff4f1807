"""Quantiles of Student's t against the reference library and closed forms."""

from math import inf, pi, sqrt, tan

import pytest
from scipy.special import stdtrit
from scipy.stats import norm

from lineage.values.student import student_quantile

CHANCES = [1e-6, 0.025, 0.3, 0.5, 0.50001, 0.75, 0.9, 0.95, 0.975, 0.995, 0.99999999]


@pytest.mark.parametrize(
    "freedom", [0.5, 1, 1.5, 2, 3, 4.7, 9, 12.795649, 30, 99.5, 1e3, 99_999, 1e5, 1e8, 1e12]
)
def test_any_freedom_whole_or_not_agrees_with_the_reference_library(freedom):
    for chance in CHANCES:
        assert student_quantile(chance, freedom) == pytest.approx(stdtrit(freedom, chance), rel=1e-10)


def test_infinite_freedom_is_the_normal_distribution():
    for chance in CHANCES:
        assert student_quantile(chance, inf) == pytest.approx(norm.ppf(chance), rel=1e-12)


def test_one_and_two_degrees_of_freedom_have_closed_forms():
    assert student_quantile(0.975, 1) == pytest.approx(tan(0.475 * pi), rel=1e-12)
    assert student_quantile(0.975, 2) == pytest.approx(0.95 / sqrt(2 * 0.975 * 0.025), rel=1e-12)


def test_the_distribution_is_symmetrical():
    assert student_quantile(0.5, 7) == 0
    assert student_quantile(0.1, 7) == pytest.approx(-student_quantile(0.9, 7), rel=1e-14)


@pytest.mark.parametrize(("chance", "freedom"), [(0, 3), (1, 3), (0.975, 0), (0.975, -1)])
def test_what_has_no_quantile_is_refused(chance, freedom):
    with pytest.raises(ValueError, match="between 0 and 1"):
        student_quantile(chance, freedom)
