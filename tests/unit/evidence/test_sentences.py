"""Sentences to repeat: they hold the counts, the span and what else changed, and claim no more than the verdict."""

import pytest

from lineage.evidence.exact import Counts, Stratum, compare_counts
from lineage.evidence.readings import (
    Reading,
    difference,
    log_ratio,
    side_of,
    verdict_of_difference,
    verdict_of_trials,
)
from lineage.evidence.sentences import (
    BAD_RUN,
    plain_number,
    sentence_for_counts,
    sentence_for_difference,
    sentence_for_trials,
)
from lineage.evidence.verdicts import judge_counts


def robot(before, after):
    return Stratum(Counts(*before), Counts(*after))


def test_helped_gives_counts_span_and_luck():
    assert sentence_for_counts(judge_counts([robot((12, 23), (1, 18))])) == (
        "Failed in 12 of 23 → 1 of 18 bouts: helped. The odds of it are 0.0012 to 0.49 times what they were (95 %). "
        "The chance of as few had nothing changed: 0.14 %."
    )


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        ((3, 7), (0, 0), "Failed in 3 of 7 bouts before, none after it: not tried yet."),
        ((0, 0), (1, 4), "No bouts before it, failed in 1 of 4 after: nothing to compare with."),
        (
            (0, 3),
            (0, 3),
            "Failed in 0 of 3 → 0 of 3 bouts: too few to tell. Nothing can be said of the odds of it.",
        ),
    ],
)
def test_where_nothing_can_be_said_nothing_is(before, after, words):
    assert sentence_for_counts(judge_counts([robot(before, after)])) == words


@pytest.mark.parametrize(
    ("before", "after"),
    [((5, 8), (1, 9)), ((3, 10), (0, 10)), ((1, 9), (5, 8)), ((13, 14), (0, 2)), ((2, 5), (2, 5))],
)
def test_only_a_settled_verdict_says_helped_or_worse(before, after):
    words = sentence_for_counts(judge_counts([robot(before, after)]), others=["lid"], after_bad_run=True)
    assert "helped" not in words
    assert "made it worse" not in words


def test_what_else_changed_a_bad_run_and_unmatched_failures_are_said():
    words = sentence_for_counts(
        judge_counts([robot((12, 23), (1, 18))], [1]),
        others=["lid thickness", "drive-pod C"],
        after_bad_run=True,
    )
    assert "there also changed: lid thickness, drive-pod C; what each did cannot be told apart." in words
    assert (
        "1 failure since then, at no known place or in a mode spelt much like its own, may be its own"
        in words
    )
    assert words.endswith(BAD_RUN)


def test_robots_that_differ_are_named():
    judged = judge_counts([robot((5, 5), (0, 5)), robot((0, 5), (4, 5))])
    words = sentence_for_counts(judged, designs=["avocet", "turnstone"])
    assert "(avocet 5 of 5 → 0 of 5, turnstone 0 of 5 → 4 of 5)" in words
    assert "pull apart: one answer for all of them is doubtful." in sentence_for_counts(judged)


def test_builds_made_are_counted_for_snags():
    assert sentence_for_counts(judge_counts([robot((2, 3), (0, 1))]), counting="build").startswith(
        "Trouble in 2 of 3 → 0 of 1 build: too few to tell."
    )


def test_a_limit_just_beside_one_is_not_rounded_to_one():
    assert plain_number(0.9987) == "0.999"
    assert plain_number(1.0017) == "1.002"
    assert plain_number(1.0) == "1"
    assert plain_number(0.0011932) == "0.0012"
    assert plain_number(626.24) == "630"
    assert plain_number(-0.256) == "-0.26"
    assert plain_number(0.0) == "0"


def test_readings_give_means_and_the_span_of_the_change():
    before = side_of([Reading(21.4, 0.1), Reading(21.6, 0.1)])
    after = side_of([Reading(25.4, 0.1), Reading(25.5, 0.1)])
    found = difference(before, after)
    words = sentence_for_difference(before, after, found, verdict_of_difference(found, "more"), unit="N")
    assert words.startswith("21.5 N (mean of 2) → 25.45 N (mean of 2): helped. The change is ")
    assert words.endswith(" N (95 %).")


def test_service_times_give_the_span_as_a_ratio():
    before, after = side_of([Reading(100, 1), Reading(102, 1)]), side_of([Reading(50, 1), Reading(51, 1)])
    found = log_ratio(before, after)
    words = sentence_for_difference(before, after, found, "helped", unit="s", as_ratio=True)
    assert "times as long (95 %)." in words


def test_a_missing_side_is_said():
    after = side_of([Reading(25.4, 0.1)])
    assert sentence_for_difference(None, after, None, "too few to tell", unit="N") == (
        "no reading → 25.4 N: too few to tell. Two readings on each side are wanted for a span."
    )


def trials(before: Counts, after: Counts, **more):
    verdict = verdict_of_trials(before, after)
    return sentence_for_trials(compare_counts([Stratum(before, after)]), verdict, **more)


def test_a_trial_on_one_side_alone_is_said_so():
    assert trials(Counts(4, 10), Counts(0, 0)) == "Passed 4 of 10 tries before, none after it: not tried yet."
    assert trials(Counts(0, 0), Counts(9, 10)) == (
        "No tries before it, passed 9 of 10 after: nothing to compare with."
    )


def test_trials_are_said_as_passed_of_tries_with_the_span_of_their_odds():
    words = trials(Counts(5, 20), Counts(15, 20), others=["fork"])
    assert words.startswith("Passed 5 of 20 → 15 of 20 tries: helped. The odds of passing are ")
    assert words.endswith(
        " times what they were (95 %). "
        "In the same step there also changed: fork; what each did cannot be told apart."
    )
    assert "at least" in trials(Counts(0, 5), Counts(2, 5))
    assert trials(Counts(0, 5), Counts(0, 5)).endswith("Nothing can be said of the odds of passing.")
