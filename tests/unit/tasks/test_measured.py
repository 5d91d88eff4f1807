"""Readings, trials, timed services and gaps of two builds, and the change that each belongs to."""

from math import log

import pytest

from lineage.tasks.pairs import pair
from tests.in_memory import InMemory, note

TEXT = """\
robot: wren
parts:
  lid: {mass: 20 g, size: 80 x 60 x 3 mm}
  battery: {mass: 92 g, behind: lid}
fasteners: {lid-screws: {type: M3x10 cap, count: 8, holds: lid}}
fits: {clear: {need: at least 1 mm, chain: [10 mm, -lid.height]}}
"""


def compared(results: str, *, change: tuple[str, str] = ("count: 8", "count: 6"), notes=()):
    made = InMemory()
    made.record("wren", "A", "2025-01-01", TEXT)
    made.record("wren", "B", "2025-02-01", TEXT.replace(*change), notes=notes)
    made.write({"results/wren.yaml": results})
    workspace = made.workspace()
    return pair(made.state("wren@A", workspace), made.state("wren@B", workspace))


def line(kind: str, label: str, rest: str, on: str | None = None) -> str:
    return f"- {{on: {on or {'A': '2025-01-03', 'B': '2025-02-03'}[label]}, kind: {kind}, build: {label}, {rest}}}\n"


def evidence(found, id_: str):
    change = next(change for change in found.changes if change.id == id_)
    return {one.figure: one for one in change.evidence}


def test_a_timed_service_belongs_to_the_changes_on_its_way():
    times = line("service", "A", "of: battery, is: [90 s, 94 s]") + line(
        "service", "B", "of: battery, is: [60 s, 62 s]"
    )
    one = evidence(compared(times), "fasteners:lid-screws")["service battery"]
    assert one.verdict == "helped"
    assert one.difference == pytest.approx(log(61 / 92))
    assert (one.before["n"], one.before["value"], one.after["value"]) == (2, 92.0, 61.0)


def test_one_reading_on_a_side_is_too_few_to_tell_and_its_difference_is_shown():
    times = line("service", "A", "of: battery, is: 90 s") + line("service", "B", "of: battery, is: 60 s")
    one = evidence(compared(times), "fasteners:lid-screws")["service battery"]
    assert (one.verdict, one.interval95) == ("too few to tell", None)
    assert one.difference == pytest.approx(log(60 / 90))


def test_a_time_of_zero_has_no_ratio():
    times = line("service", "A", "of: battery, is: 0 s") + line("service", "B", "of: battery, is: 60 s")
    assert evidence(compared(times), "fasteners:lid-screws")["service battery"].difference is None


def test_a_bench_reading_belongs_to_a_change_whose_note_is_for_it_else_to_the_pair():
    push = line("bench", "A", "of: stall push, is: [20 N, 20.4 N], better: more") + line(
        "bench", "B", "of: stall push, is: [25 N, 25.4 N], better: more"
    )
    meant = compared(push, notes=[note("lid-screws", for_=("Stall Push",))])
    assert evidence(meant, "fasteners:lid-screws")["reading stall push"].verdict == "helped"
    assert meant.measured == ()
    other = compared(push)
    assert evidence(other, "fasteners:lid-screws") == {}
    assert [one.figure for one in other.measured] == ["reading stall push"]


def test_a_reading_that_does_not_say_which_way_is_better_is_not_judged():
    push = line("bench", "A", "of: push, is: [20 N, 20.4 N]") + line(
        "bench", "B", "of: push, is: [25 N, 25.4 N]"
    )
    assert compared(push).measured[0].verdict == "not known which way is better"


def test_a_gap_belongs_to_the_changes_with_a_share_in_it():
    gaps = line("gap", "A", "of: clear, is: 7.1 mm") + line("gap", "B", "of: clear, is: 6.2 mm")
    found = compared(gaps, change=("60 x 3 mm", "60 x 4 mm"))
    one = evidence(found, "text:lid")["gap clear"]
    assert one.difference == pytest.approx(-0.9)
    assert (one.before["value"], one.after["value"]) == (7.1, 6.2)
    assert [x.figure for x in compared(gaps).measured] == ["gap clear"]


@pytest.mark.parametrize(
    ("before", "after", "verdict"),
    [
        ("[0.4 mm, 0.5 mm]", "[1.4 mm, 1.5 mm]", "helped"),
        ("[1.4 mm, 1.5 mm]", "[0.4 mm, 0.5 mm]", "made it worse"),
        ("0.4 mm", "1.4 mm", "too few to tell"),
        ("[1.4 mm, 1.5 mm]", "[6.4 mm, 6.5 mm]", "worked out"),
        ("[0.1 mm, 0.2 mm]", "[0.7 mm, 0.8 mm]", "worked out"),
        (None, "0.4 mm", "worked out"),
        ("0.4 mm", None, "worked out"),
    ],
)
def test_a_gap_is_worked_out_until_both_builds_were_measured_and_then_asked_for_its_need(
    before, after, verdict
):
    sides = (("A", before), ("B", after))
    gaps = "".join(line("gap", label, f"of: clear, is: {read}") for label, read in sides if read)
    one = evidence(compared(gaps, change=("60 x 3 mm", "60 x 4 mm")), "text:lid")["gap clear"]
    assert one.verdict == verdict
    assert one.text.startswith("clear: worked out 7 → 6 mm; measured ")
    assert one.text.endswith(f": {verdict}.")
    assert one.text.count("within what is needed") == sum(read is not None for _, read in sides)


def test_what_else_a_reading_may_come_from_is_named_beside_it():
    both = [note("lid-screws", "lid", for_=("push",))]
    push = line("bench", "A", "of: push, is: 20 N, better: more") + line(
        "bench", "B", "of: push, is: 22 N, better: more"
    )
    made = InMemory()
    made.record("wren", "A", "2025-01-01", TEXT)
    made.record(
        "wren", "B", "2025-02-01", TEXT.replace("count: 8", "count: 6").replace("20 g", "21 g"), notes=both
    )
    made.write({"results/wren.yaml": push})
    workspace = made.workspace()
    found = pair(made.state("wren@A", workspace), made.state("wren@B", workspace))
    one = evidence(found, "fasteners:lid-screws")["reading push"]
    assert one.others == ("mass:lid",)
    assert "there also changed: lid: mass 20 g → 21 g; what each did cannot be told apart." in one.text


def test_trials_are_judged_by_the_same_exact_test():
    tries = line("trial", "A", "of: self-right, passed: 2, tries: 10") + line(
        "trial", "B", "of: self-right, passed: 10, tries: 10"
    )
    (one,) = compared(tries).measured
    assert (one.before, one.after, one.verdict) == (
        {"passed": 2, "tries": 10},
        {"passed": 10, "tries": 10},
        "helped",
    )
    # both tails of the table (2, 8; 10, 0): 2 · C(10, 2) · C(10, 10) / C(20, 12)
    assert one.p_value == pytest.approx(2 * 45 / 125970)


def test_the_latest_result_of_a_build_counts_and_another_builds_does_not():
    push = (
        line("bench", "A", "of: push, is: 20 N")
        + line("bench", "B", "of: push, is: 21 N", "2025-02-03")
        + line("bench", "B", "of: push, is: 22 N", "2025-02-05")
    )
    (one,) = compared(push).measured
    assert one.difference == pytest.approx(2.0)


def test_what_was_read_on_one_side_alone_is_told_where_it_belongs():
    meant = [note("lid-screws", for_=("push",))]
    before = evidence(
        compared(line("bench", "A", "of: push, is: 20 N, better: more"), notes=meant), "fasteners:lid-screws"
    )
    after = evidence(
        compared(line("bench", "B", "of: push, is: 20 N, better: more"), notes=meant), "fasteners:lid-screws"
    )
    assert before["reading push"].verdict == "not tried yet"
    assert after["reading push"].verdict == "nothing to compare with"
    assert after["reading push"].difference is None


def test_a_service_timed_under_an_older_name_is_compared_with_the_newer_one():
    made = InMemory()
    made.record("wren", "A", "2025-01-01", TEXT)
    after = TEXT.replace("battery:", "pack:").replace("count: 8", "count: 6")
    made.record("wren", "B", "2025-02-01", after, renames={"battery": "pack"})
    made.write(
        {
            "results/wren.yaml": line("service", "A", "of: battery, is: 90 s")
            + line("service", "B", "of: pack, is: 60 s")
        }
    )
    workspace = made.workspace()
    found = pair(made.state("wren@A", workspace), made.state("wren@B", workspace))
    assert evidence(found, "fasteners:lid-screws")["service pack"].difference == pytest.approx(log(60 / 90))
