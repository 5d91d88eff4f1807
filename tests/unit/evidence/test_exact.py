"""Shares and their comparison: what is shown, and what is None."""

import pytest

from lineage.evidence.exact import Counts, Stratum, compare_counts, share_of


def robot(before, after):
    return Stratum(Counts(*before), Counts(*after))


def test_a_share_of_nothing_is_not_known():
    assert share_of(0, 0) is None


def test_none_of_n_starts_at_nought_and_all_of_n_ends_at_one():
    assert share_of(0, 8).low == 0.0
    assert share_of(8, 8).high == 1.0
    assert share_of(0, 8).high == pytest.approx(1 - 0.025 ** (1 / 8), rel=1e-12)


def test_a_comparison_shows_counts_ratio_and_limits():
    found = compare_counts([robot((12, 23), (1, 18))])
    assert (str(found.before), str(found.after)) == ("12 of 23", "1 of 18")
    assert found.ratio == pytest.approx((1 / 18) / (12 / 23), rel=1e-15)
    assert found.p_value == pytest.approx(2 * found.chance_as_few, rel=1e-15)


def test_a_robot_without_bouts_on_a_side_is_no_stratum_and_its_bouts_are_not_shown():
    both, before_only = robot((4, 9), (1, 8)), robot((3, 7), (0, 0))
    found = compare_counts([before_only, both])
    assert found.strata == (both,)
    assert (found.before, found.after) == (Counts(4, 9), Counts(1, 8))


@pytest.mark.parametrize(
    "tables",
    [
        [robot((3, 7), (0, 0))],
        [robot((0, 0), (1, 4))],
        [robot((3, 7), (0, 0)), robot((0, 0), (1, 4))],
        [],
    ],
)
def test_without_a_robot_on_both_sides_the_plain_sums_stand_and_nothing_is_worked_out(tables):
    found = compare_counts(tables)
    assert found.before.of == sum(table.before.of for table in tables)
    assert found.after.count == sum(table.after.count for table in tables)
    assert found.strata == ()
    assert (found.ratio, found.odds_ratio, found.interval95, found.p_value) == (None, None, None, None)
    assert (found.chance_as_few, found.chance_as_many) == (None, None)


def test_where_nothing_failed_p_is_one_and_there_is_no_ratio():
    found = compare_counts([robot((0, 6), (0, 9))])
    assert (found.p_value, found.ratio, found.odds_ratio, found.interval95) == (1.0, None, None, (0.0, None))


def test_where_none_failed_before_the_ratios_are_not_given_but_the_lower_limit_is():
    found = compare_counts([robot((0, 20), (8, 20))])
    assert (found.ratio, found.odds_ratio) == (None, None)
    assert found.interval95[0] > 1
    assert found.interval95[1] is None


def test_more_failures_than_bouts_cannot_be():
    with pytest.raises(AssertionError):
        Counts(3, 2)


def test_adding_robots_up_would_mislead_where_their_shares_differ():
    """6 of 10 after 16 of 20 and 1 of 20 after 2 of 8: as one table p is under 1 %, robot by robot 15 %."""
    apart = compare_counts([robot((16, 20), (6, 10)), robot((2, 8), (1, 20))])
    together = compare_counts([robot((18, 28), (7, 30))])
    assert apart.before == together.before
    assert together.p_value < 0.01
    assert apart.p_value > 0.15
