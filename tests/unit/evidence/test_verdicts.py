"""Which word a change gets, and what would settle it."""

from typing import get_args

import pytest

from lineage.evidence.exact import Counts, Stratum
from lineage.evidence.verdicts import VERDICTS, Verdict, judge_counts, to_settle, verdict_of_counts


def robot(before, after):
    return Stratum(Counts(*before), Counts(*after))


def test_the_words_are_listed_once_each():
    assert get_args(Verdict) == VERDICTS


@pytest.mark.parametrize(
    ("tables", "verdict"),
    [
        ([robot((0, 0), (0, 5))], "nothing to compare with"),
        ([robot((0, 0), (0, 0))], "nothing to compare with"),
        ([], "nothing to compare with"),
        ([robot((3, 7), (0, 0))], "not tried yet"),
        ([robot((3, 7), (0, 0)), robot((0, 0), (0, 5))], "not tried yet"),
        ([robot((12, 23), (1, 18))], "helped"),
        ([robot((15, 20), (20, 20))], "made it worse"),
        ([robot((5, 8), (1, 9))], "leaning better"),
        ([robot((1, 9), (5, 8))], "leaning worse"),
        ([robot((3, 10), (0, 10))], "too few to tell"),
        ([robot((0, 10), (0, 10))], "too few to tell"),
        ([robot((3, 5), (0, 6)), robot((2, 6), (0, 4))], "helped"),
    ],
)
def test_counts_come_to_their_word(tables, verdict):
    assert verdict_of_counts(tables) == verdict


@pytest.mark.parametrize(
    ("unmatched", "verdict"),
    [
        (0, "helped"),
        (1, "helped"),
        (2, "helped"),
        (3, "leaning better"),
        (5, "too few to tell"),
        (17, "too few to tell"),
    ],
)
def test_a_better_verdict_has_to_survive_the_unmatched_failures(unmatched, verdict):
    """17 more of 18 would be `made it worse` by the numbers; what is not known to be its own cannot say that."""
    assert verdict_of_counts([robot((12, 23), (1, 18))], [unmatched]) == verdict


def test_unmatched_failures_leave_every_other_word_alone():
    assert verdict_of_counts([robot((3, 10), (3, 10))], [7]) == "too few to tell"
    assert verdict_of_counts([robot((1, 9), (5, 8))], [3]) == "leaning worse"


def test_an_unmatched_failure_counts_in_its_own_robot():
    tables = [robot((3, 5), (0, 6)), robot((2, 6), (0, 4))]
    assert verdict_of_counts(tables, [0, 0]) == "helped"
    assert verdict_of_counts(tables, [1, 0]) == "leaning better"
    assert verdict_of_counts(tables, [0, 2]) == "too few to tell"


def test_everything_a_page_shows_is_in_one_record():
    found = judge_counts([robot((12, 23), (1, 18)), robot((0, 0), (1, 4))], [2, 1])
    assert found.verdict == "helped"
    assert found.unmatched == 2
    assert found.luck == found.comparison.chance_as_few == pytest.approx(0.00144616115614, rel=1e-11)
    assert found.pull_apart is False


def test_luck_is_that_of_as_many_where_more_failed():
    found = judge_counts([robot((0, 20), (3, 20))])
    assert found.luck == found.comparison.chance_as_many == pytest.approx(3 / 26, rel=1e-12)
    assert judge_counts([robot((3, 7), (0, 0))]).luck is None


def test_clean_bouts_that_would_settle_it():
    assert to_settle([robot((12, 23), (1, 18))], 0) == 0
    assert to_settle([robot((12, 23), (0, 0))], 0) == 7
    assert to_settle([robot((12, 23), (0, 4))], 0) == 3
    assert to_settle([robot((12, 23), (1, 18))], 0, [3]) == 3


def test_no_number_settles_it_where_nothing_failed_before():
    assert to_settle([robot((0, 12), (0, 3))], 0) is None
    assert to_settle([robot((0, 12), (2, 3))], 0) is None
    assert to_settle([robot((0, 0), (0, 3))], 0) is None


def test_no_number_settles_it_where_the_others_alone_keep_it_from_it():
    """However many clean bouts the first has, the second got worse by far; only its own could mend that."""
    tables = [robot((1, 9), (0, 9)), robot((1, 9), (8, 9))]
    assert to_settle(tables, 0) is None
    assert to_settle(tables, 1) == 1602


def test_others_that_helped_need_fewer_bouts_of_the_robot_asked_about():
    alone, other = robot((3, 8), (0, 4)), robot((4, 9), (1, 9))
    assert to_settle([alone], 0) == 13
    assert to_settle([alone, other], 0) < 13


def test_one_failure_in_very_many_bouts_stays_out_of_reach():
    assert to_settle([robot((1, 2400), (0, 0))], 0) == 93_601
    assert to_settle([robot((1, 2600), (0, 0))], 0) is None
