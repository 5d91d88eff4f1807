"""One way in step by step and one chain term by term, in the terminal."""

from tests.program import fine, lineage


def test_a_way_in_is_told_step_by_step_the_first_of_them_to_make_the_robot_safe(demo):
    told = fine(demo, "card", "turnstone@C", "--way", "receiver").out
    steps = [
        line.split("  ", 1)[1] for line in told.splitlines() if line[:2].strip().isdigit() and "  " in line
    ]
    assert [step.partition(":")[0] for step in steps] == [
        "Make the robot safe",
        "Undo deck-screws",
        "Take off top-deck",
        "Take off receiver",
    ]
    assert "chance that it is done in 20 min: over 99 %" in told


def test_a_chain_is_told_term_by_term_with_what_was_measured(demo):
    told = fine(demo, "card", "turnstone@C", "--fit", "wheel-above-deck").out
    assert "side.height                             -1  30.00 mm   0.20 mm  process   32 %" in told
    assert "so               holds in the worst case" in told
    assert "-0.20 mm  -0.8  meets its need" in told


def test_a_name_that_the_card_has_not_is_asked_wrongly_with_the_nearest(demo):
    wrong = lineage(demo, "card", "turnstone@C", "--way", "reciever")
    assert (wrong.status, wrong.out) == (2, "")
    assert "did you mean receiver?" in wrong.err
    assert lineage(demo, "card", "turnstone@C", "--fit", "nothing").status == 2
    assert lineage(demo, "card", "turnstone@C", "--way", "receiver", "--json").status == 2
