"""The state of a lesson is worked out in one order and never typed."""

import pytest

from lineage.evidence.lessons import state_of

TRIED = {"is_dropped": False, "is_answered": True, "is_only_drawn": False}


@pytest.mark.parametrize(
    ("keys", "failures", "verdict", "state"),
    [
        ({"is_dropped": True, "is_answered": False}, 3, "helped", "dropped"),
        ({"is_answered": False, "is_only_drawn": True}, 0, None, "unanswered"),
        ({"is_only_drawn": True}, 0, None, "in next build"),
        ({}, 0, "helped", "holding"),
        ({}, 0, "leaning better", "trying"),
        ({}, 0, None, "trying"),
        ({}, 2, "helped", "less often"),
        ({}, 1, "too few to tell", "came back"),
        ({}, 1, None, "came back"),
    ],
)
def test_a_state_is_the_first_that_holds(keys, failures, verdict, state):
    assert state_of(**{**TRIED, **keys}, failures_since=failures, verdict=verdict) == state
