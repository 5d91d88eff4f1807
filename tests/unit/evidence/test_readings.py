"""Readings and trials before and after."""

from math import log, sqrt

import pytest

from lineage.evidence.exact import Counts
from lineage.evidence.readings import (
    Reading,
    difference,
    log_ratio,
    side_of,
    verdict_of_difference,
    verdict_of_trials,
)
from lineage.values.student import student_quantile


def readings(*values, u=0.0):
    return side_of([Reading(value, u) for value in values])


def test_the_error_of_one_instrument_does_not_shrink_with_repeats_but_scatter_does():
    side = readings(10.0, 12.0, u=0.3)
    assert (side.n, side.value) == (2, 11.0)
    assert side.scatter == pytest.approx(1.0)
    assert side.u == pytest.approx(sqrt(0.3**2 + 1.0**2))


def test_a_single_reading_has_its_own_u_and_no_known_scatter():
    side = readings(10.0, u=0.3)
    assert (side.n, side.u, side.scatter) == (1, 0.3, None)
    assert side_of([]) is None


def test_a_difference_has_the_freedom_of_both_scatters():
    """Equal scatter, three readings each: Welch-Satterthwaite gives 2 + 2 degrees of freedom."""
    found = difference(readings(9.0, 10.0, 11.0), readings(14.0, 15.0, 16.0))
    assert found.value == 5.0
    assert found.u == pytest.approx(sqrt(2 / 3))
    assert found.freedom == pytest.approx(4)
    reach = student_quantile(0.975, 4) * sqrt(2 / 3)
    assert found.interval95 == pytest.approx((5 - reach, 5 + reach))


def test_without_scatter_the_interval_is_normal():
    found = difference(readings(10.0, 10.0, u=0.5), readings(12.0, 12.0, u=0.5))
    assert found.freedom is None
    assert found.interval95 == pytest.approx(
        (2 - 1.959963984540054 * sqrt(0.5), 2 + 1.959963984540054 * sqrt(0.5))
    )


@pytest.mark.parametrize(("before", "after"), [((), (1.0, 2.0)), ((1.0,), (1.0, 2.0)), ((1.0, 2.0), (1.0,))])
def test_fewer_than_two_readings_on_a_side_are_too_few(before, after):
    found = difference(readings(*before), readings(*after))
    assert found is None
    assert log_ratio(readings(*before), readings(*after)) is None
    assert verdict_of_difference(found, "more") == "too few to tell"


def test_service_times_are_compared_by_their_ratio():
    found = log_ratio(readings(100.0, 102.0), readings(50.0, 51.0))
    assert found.value == pytest.approx(log(0.5))
    assert found.u == pytest.approx(sqrt((1 / 101) ** 2 + (0.5 / 50.5) ** 2))
    assert found.freedom == pytest.approx(2)
    assert log_ratio(readings(-1.0, 1.0), readings(50.0, 51.0)) is None


@pytest.mark.parametrize(
    ("after", "better", "verdict"),
    [
        ((15.0, 15.1), "more", "helped"),
        ((15.0, 15.1), "less", "made it worse"),
        ((5.0, 5.1), "more", "made it worse"),
        ((5.0, 5.1), "less", "helped"),
        ((10.0, 10.2), "less", "too few to tell"),
        ((15.0, 15.1), None, "not known which way is better"),
        ((15.0,), None, "not known which way is better"),
    ],
)
def test_the_direction_says_what_a_difference_means(after, better, verdict):
    assert verdict_of_difference(difference(readings(10.0, 10.1), readings(*after)), better) == verdict


@pytest.mark.parametrize(
    ("before", "after", "better", "verdict"),
    [
        ((5, 20), (15, 20), None, "helped"),
        ((5, 20), (15, 20), "more", "helped"),
        ((5, 20), (15, 20), "less", "made it worse"),
        ((15, 20), (5, 20), None, "made it worse"),
        ((4, 10), (7, 10), None, "too few to tell"),
        ((3, 3), (0, 3), None, "too few to tell"),
        ((4, 10), (0, 0), None, "not tried yet"),
        ((0, 0), (4, 10), None, "nothing to compare with"),
    ],
)
def test_trials_pass_more_often_or_not(before, after, better, verdict):
    assert verdict_of_trials(Counts(*before), Counts(*after), better) == verdict
