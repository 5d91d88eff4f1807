"""What habits do to verdicts, on a small number of simulated seasons; the full figures: tests/bench/honesty_figures.py."""

import pytest

from tests.simulated_seasons import BETTER, change_after_a_bad_event, looking_after_every_event

SEASONS = 3_000


@pytest.mark.parametrize("share", [0.1, 0.2, 0.3])
def test_a_change_made_after_a_bad_event_looks_better_than_one_made_anyway(share):
    """Three failures in five bouts, and then a change: that is why it is said beside such a change."""
    prompted = change_after_a_bad_event(share, SEASONS, bad=3)
    anyway = change_after_a_bad_event(share, SEASONS, bad=3, prompted=False)
    looks_better = sum(prompted.get(word, 0) for word in BETTER)
    assert looks_better > 1.5 * sum(anyway.get(word, 0) for word in BETTER)
    assert anyway.get("helped", 0) <= 0.025


def test_looking_after_every_event_says_helped_more_often_than_looking_once():
    found = looking_after_every_event(0.3, SEASONS)
    for last, ever in found.values():
        assert ever > last
    assert found["helped"][0] <= 0.025
    assert found["made it worse"][0] <= 0.025


def test_the_same_seed_gives_the_same_figures():
    assert change_after_a_bad_event(0.2, 200) == change_after_a_bad_event(0.2, 200)
    assert looking_after_every_event(0.2, 200) == looking_after_every_event(0.2, 200)
