"""What else differed between the bouts before and after: events, choices, kinds of opponent."""

from datetime import date

from lineage.evidence.bouts import RobotBout
from lineage.evidence.circumstances import Circumstances, circumstances, said_of


def fought(*against, event="2025-01-02-meet", fork="long"):
    return [
        RobotBout(
            robot="wren",
            event=event,
            day=date(2025, 1, 2),
            bout=str(number),
            label="A",
            is_certain=True,
            was_fought=True,
            outcome="won",
            ran_s=None,
            choices={"fork": fork},
            against=kind,
        )
        for number, kind in enumerate(against, 1)
    ]


def test_nothing_is_said_to_differ_from_bouts_that_there_are_none_of():
    assert circumstances([], fought("hammer")) == circumstances(fought("hammer"), []) == Circumstances()


def test_the_same_events_choices_and_opponents_are_no_circumstance():
    side = fought("hammer", None, "wedge")
    assert circumstances(side, side) == Circumstances()


def test_events_are_said_to_differ_only_where_none_is_on_both_sides():
    first, second = fought(None), fought(None, event="2025-02-02-meet")
    assert circumstances(first, second).other_events
    assert not circumstances([*first, *second], second).other_events


def test_a_quarter_more_of_the_bouts_with_a_kind_of_opponent_is_said_and_less_is_not():
    wedges = fought("wedge", "wedge", "wedge", "wedge")
    assert circumstances(wedges, fought("wedge", "wedge", "wedge", "hammer")).opponents == (
        "wedge 4 of 4 → 3 of 4",
    )
    assert circumstances(wedges, fought(*["wedge"] * 4, "hammer")).opponents == ()


def test_bouts_that_do_not_say_whom_they_were_against_are_not_in_those_counts():
    found = circumstances(fought("Hammer", None, None), fought("wedge", "saw", "hammer"))
    assert found.opponents == ("hammer 1 of 1 → 1 of 3", "wedge 0 of 1 → 1 of 3", "saw 0 of 1 → 1 of 3")


def test_the_option_that_was_changed_is_no_circumstance_of_its_own_change():
    before, after = fought(None, None), fought(None, fork="short")
    assert circumstances(before, after).choices == ("fork long 2 of 2 → 0 of 1",)
    assert circumstances(before, after, "fork").choices == ()


def test_several_robots_are_named_and_one_is_not():
    differs = Circumstances(
        other_events=True, choices=("fork long 2 of 2 → 0 of 1",), opponents=("saw 0 of 1 → 1 of 3",)
    )
    assert said_of([("wren", differs)]) == (
        "No event is on both sides: what else differs between events is in it too.",
        "Other choices, counted in bouts: fork long 2 of 2 → 0 of 1.",
        "Other opponents, counted in bouts: saw 0 of 1 → 1 of 3.",
    )
    assert said_of([("wren", differs), ("owl", Circumstances())]) == (
        "No event is on both sides in wren: what else differs between events is in it too.",
        "Other choices in wren, counted in bouts: fork long 2 of 2 → 0 of 1.",
        "Other opponents in wren, counted in bouts: saw 0 of 1 → 1 of 3.",
    )
