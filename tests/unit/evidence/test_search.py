"""Least numbers and roots."""

from math import exp, log

import pytest

from lineage.evidence.search import least, root


@pytest.mark.parametrize("first", [0, 1, 2, 3, 4, 17, 64, 99, 100])
def test_the_least_number_is_found_and_asked_for_seldom(first):
    asked = []

    def holds(number):
        asked.append(number)
        return number >= first

    assert least(holds, 100) == first
    assert len(asked) <= 16


def test_nothing_up_to_the_most_is_none():
    assert least(lambda number: number > 100, 100) is None


def test_a_root_far_away_is_reached_in_bounded_steps():
    assert root(lambda x: (exp(x) - 1e12, exp(x)), -30.0) == pytest.approx(log(1e12), rel=1e-12)


def test_a_step_beyond_what_is_known_halves_the_span_instead():
    """A function whose slope misleads: flat far out, steep at its root."""
    assert root(lambda x: (x / (1 + abs(x)), 1 / (1 + abs(x)) ** 2), 8.0) == pytest.approx(0, abs=1e-9)
