"""bouts/EVENT.yaml, and which bouts count."""

import pytest

from lineage.spec.bout_file import counted_bouts, numbered, read_bout_entries, read_bouts

EVENT = "2025-03-09-meet"
WHOLE = (
    "- {robot: avocet, bout: semi-final, build: A, outcome: lost, ran: 1:35, fought: yes, how: knockout, score: 3 to 2,"
    " against: spinner, opponent: Dunlin, because: no drive on the left, fitted: {fork: long}, settings: {expo: 30 %},"
    " read: {charge put back: 350 mAh, motor: 61 degC}, broke: [{at: drive-left.gearbox, mode: teeth stripped,"
    " severity: disabling, cause: hit, took: 12 min, fix: swapped, used: {drive-left.gearbox: 1}, mended: for now,"
    " cost_bout: yes, note: loud}], found: {at: lid, mode: cracked}, pit: [charge, glue], note: late, no: 2, x-a: b}"
)


def read(*lines):
    return read_bouts("".join(line + "\n" for line in lines).encode(), "bouts/f.yaml", EVENT)


def bouts(*lines):
    log = read(*lines)
    assert log.problems == ()
    return log.entries


def test_every_key_is_read():
    (bout,) = bouts(WHOLE)
    assert (bout.event, bout.robot, bout.bout, bout.build) == (EVENT, "avocet", "semi-final", "A")
    assert (bout.outcome, bout.ran.value, bout.fought, bout.how) == ("lost", 95, True, "knockout")
    assert (bout.score, bout.against, bout.opponent) == ("3 to 2", "spinner", "Dunlin")
    assert (bout.because, bout.fitted, bout.pit) == (
        ("no drive on the left",),
        {"fork": "long"},
        ("charge", "glue"),
    )
    assert bout.settings["expo"].value == pytest.approx(0.3)
    assert (bout.read["motor"].dimension, bout.note, bout.no) == ("temperature", "late", 2)
    (damage,) = bout.broke
    assert (damage.at, damage.mode, damage.severity, damage.cause) == (
        "drive-left.gearbox", "teeth stripped", "disabling", "hit",
    )  # fmt: skip
    assert (damage.took.value, damage.fix, damage.used) == (720, "swapped", {"drive-left.gearbox": 1})
    assert (damage.mended, damage.cost_bout, damage.note) == ("for now", True, "loud")
    assert (bout.found[0].severity, bout.found[0].cost_bout) == ("weakened", False)
    assert bout.extra == {"x-a": "b"}


def test_a_bout_may_be_won_without_a_fight():
    assert bouts("- {robot: avocet, outcome: won, fought: no}")[0].fought is False


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("{outcome: won}", "missing-key"),
        ("{robot: avocet, outcome: beaten}", "word"),
        ("{robot: avocet, ran: 95}", "quantity"),
        ("{robot: avocet, fought: maybe}", "word"),
        ("{robot: avocet, broke: [{at: lid}]}", "missing-key"),
        ("{robot: avocet, broke: [{at: lid, mode: x, severity: bad}]}", "word"),
        ("{robot: avocet, broke: {at: lid, mode: bent, then broke}}", "comma"),
        ("{robot: avocet, broke: lid}", "wrong-shape"),
        ("{robot: avocet, read: {a: soon}}", "quantity"),
        ("{robot: avocet, withdrawn: yes}", "missing-key"),
        ("won", "wrong-shape"),
    ],
)
def test_other_values_are_refused(line, code):
    log = read(f"- {line}")
    assert log.entries == ()
    assert [p.code for p in log.problems] == [code]


def test_a_bout_without_number_takes_the_next_of_its_robot():
    found = numbered(bouts(
        "- {robot: avocet}", "- {robot: heron}", "- {robot: avocet, bout: 5}", "- {robot: avocet, note: a}",
        "- {robot: avocet, bout: final}", "- {robot: avocet, note: b}", "- {robot: avocet, bout: 7}",
    ))  # fmt: skip
    assert [b.bout for b in found] == ["1", "1", "5", "6", "final", "8", "7"]


def test_a_correction_keeps_the_number_of_the_bout_that_it_corrects():
    first, second = bouts("- {robot: avocet, note: a}", "- {robot: avocet, note: b}")
    better = f"- {{robot: avocet, note: c, instead_of: {first.id}}}"
    best = f"- {{robot: avocet, note: d, instead_of: {bouts(better)[0].id}}}"
    lines = ["- {robot: avocet, note: a}", "- {robot: avocet, note: b}"]
    for order in ([*lines, better, best], [best, better, *lines]):
        log = counted_bouts(bouts(*order))
        assert {b.note: b.bout for b in log.entries} == {"d": "1", "b": "2"}
        assert log.problems == ()
    assert second.bout is None


def test_of_doubles_that_differ_the_lowest_id_counts_and_all_are_told():
    lines = ["- {robot: avocet, bout: 1, outcome: won}", "- {robot: avocet, bout: 1, outcome: lost}"]
    both = bouts(*lines)
    lowest = min(both, key=lambda b: b.id)
    for order in (lines, lines[::-1]):
        log = counted_bouts(bouts(*order))
        assert [b.id for b in log.entries] == [lowest.id]
        assert [(p.code, p.level) for p in log.problems] == [("differing-doubles", "error")] * 2
    assert f"{lowest.id} counts" in "".join(p.what for p in log.problems)


def test_doubles_are_settled_by_striking_one_out():
    lines = ["- {robot: avocet, bout: 1, outcome: won}", "- {robot: avocet, bout: 1, outcome: lost}"]
    won, _ = bouts(*lines)
    log = counted_bouts(bouts(*lines, f"- {{withdrawn: yes, instead_of: {won.id}}}"))
    assert [b.outcome for b in log.entries] == ["lost"]
    assert log.problems == ()


def test_equal_lines_are_one_bout():
    assert (
        len(
            counted_bouts(bouts("- {robot: avocet, outcome: won}", "- {robot: avocet, outcome: won}")).entries
        )
        == 1
    )


def test_drafts_are_plain():
    drafts = read_bout_entries(b"- {robot: avocet, outcome: won, broke: {at: lid, mode: bent}}\n", "f")
    assert drafts.entries == ({"robot": "avocet", "outcome": "won", "broke": {"at": "lid", "mode": "bent"}},)
    assert read_bout_entries(b"- {robot: avocet, outcome: one}\n", "f").entries == ()
