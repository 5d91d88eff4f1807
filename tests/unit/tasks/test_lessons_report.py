"""The report after an event: what broke by its cost, with the arithmetic and all that went before."""

import pytest

from lineage.reports.text.lessons import lessons_text
from lineage.tasks.lessons import lessons
from tests.in_memory import InMemory, note

FIRST, SECOND = "2025-01-06-meet", "2025-03-06-meet"


def bout(number, *broke, outcome="won", rest=""):
    build = "B" if rest.startswith("!") else "A"
    told = ", ".join("{" + one + "}" for one in broke)
    return f"- {{robot: wren, bout: {number}, build: {build}, outcome: {outcome}, broke: [{told}]{rest.lstrip('!')}}}\n"


@pytest.fixture(scope="module")
def report():
    made = InMemory()
    text = "robot: wren\nparts: {lid: {mass: 20 g guess}, arm: {mass: 5 g}, fin: {mass: 2 g}}\n"
    made.record("wren", "A", "2025-01-01", text)
    after = text.replace("20 g guess", "21 g weighed").replace("5 g", "6 g")
    made.record("wren", "B", "2025-02-01", after, notes=[note("lid", described_better=True)])
    made.write({
        f"events/{FIRST}.yaml": "event: First\n",
        f"events/{SECOND}.yaml": "event: Second\nturnaround: 10 min\n",
        f"bouts/{FIRST}.yaml": bout(1, "at: arm, mode: bent, took: 4 min, cost_bout: yes", outcome="lost")
        + bout(2, "at: arm, mode: Bent") + bout(3, "at: lid, mode: bent"),
        f"bouts/{SECOND}.yaml": bout(1, "at: arm, mode: bent, took: 6 min", "at: fin, mode: lost, cost_bout: yes", rest="!, pit: [fin glued]")
        + bout(2, "at: arm, mode: bent, took: 12 min, mended: for now", rest="!") + bout(3, "at: lid, mode: scratched, severity: cosmetic", rest="!"),
    })  # fmt: skip
    workspace = made.workspace()
    return lessons(workspace, workspace.events[SECOND])


def test_what_broke_is_ranked_by_bouts_it_cost_then_time_then_count(report):
    assert [(row.at, row.cost_bout, row.cost_s, row.count) for row in report.broke] == [
        ("fin", 1, None, 1),
        ("arm", 0, 18 * 60.0, 2),
        ("lid", 0, None, 1),
    ]


def test_the_arithmetic_and_what_went_before_are_shown(report):
    arm = report.broke[1]
    assert arm.took_s == (360.0, 720.0)
    assert (arm.seen_before, arm.cost_bout_before, arm.cost_s_before) == (2, 1, 240.0)
    assert "6 min + 12 min = 18 min" in lessons_text(report)


def test_what_to_do_first_leaves_out_what_is_cosmetic_and_says_what_it_cost(report):
    assert [first.why for first in report.first] == [
        "cost 1 bout here, in 1 of 3 bouts here, 0 before",
        "cost 0 bouts here, 1 before, in 2 of 3 bouts here, 2 before, 18 min of mending here, 4 min before",
    ]


def test_mends_are_held_against_the_time_between_bouts(report):
    assert [(fix.at, fix.over) for fix in report.time.fixes] == [("arm", False), ("arm", True)]


def test_what_is_not_mended_is_left_undone_and_a_note_from_the_pits_is_only_a_note(report):
    assert report.pit_left == ("wren, bout 2: arm, bent: mended for now",)
    assert report.pit_notes == ("wren, bout 1: fin glued",)


def test_what_is_only_described_better_did_not_change_since_the_last_event(report):
    assert [change.id for change in report.changes] == ["mass:arm"]
