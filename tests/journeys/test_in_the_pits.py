"""`measure`, `bout` and `snag` as a tired person types them."""

import re
from shlex import split as words

import pytest

from tests.builders import GitFamily
from tests.program import files_of, fine, lineage

ON_THE_DAY = {
    "GIT_AUTHOR_DATE": "2025-04-06T15:00:00+00:00",
    "GIT_COMMITTER_DATE": "2025-04-06T15:00:00+00:00",
}
EVENT = "bouts/2025-04-05-mudflat-cup.yaml"
RESULTS = "results/avocet.yaml"

LOST = (
    'bout avocet lost 1:35 --broke "drive-left.gearbox: teeth stripped, disabling, 12 min" '
    '--because "no drive on the left"'
)
LOST_LINE = (
    'because: ["no drive on the left"], fitted: {front: wedgelets}, broke: [{at: drive-left.gearbox, '
    'mode: "teeth stripped", severity: disabling, took: 12 min}]'
)

# what is typed, the file, and what stands in the line
TYPED = [
    ("bout avocet won 2:10", EVENT, "outcome: won, ran: 2:10"),
    (LOST, EVENT, LOST_LINE),
    ("measure avocet mass 1352 g --scale bench", RESULTS, "kind: mass, build: E, is: 1352 g, scale: bench"),
    (
        "measure avocet gap --of deck-over-battery 1.2 mm",
        RESULTS,
        "kind: gap, build: E, of: deck-over-battery, is: 1.2 mm",
    ),
    ("measure avocet service --of drive-left 95 s", RESULTS, "kind: service, build: E, of: drive-left, is: 95 s"),
    (
        'measure avocet bench --of "stall push" --better more 21.4 N 21.9 N',
        RESULTS,
        'kind: bench, build: E, of: "stall push", is: [21.4 N, 21.9 N], better: more',
    ),
    (
        "measure avocet trial --of self-right --passed 7/10",
        RESULTS,
        "kind: trial, build: E, of: self-right, passed: 7, tries: 10",
    ),
    (
        'snag avocet "power-tray.box: glue let go, 2 h" --during assembling --fix taped',
        RESULTS,
        "kind: snag, build: E, during: assembling, at: power-tray.box, mode: glue let go, took: 2 h, fix: taped",
    ),
]  # fmt: skip


def unquoted(line):
    return line.replace('"', "")


def last_line(root, path):
    return (root / path).read_text().splitlines()[-1]


@pytest.fixture
def small(tmp_path) -> GitFamily:
    return GitFamily(tmp_path / "waders")


def test_every_line_is_kept_at_the_event_that_is_on_and_committed_alone(family):
    for typed, path, kept in TYPED:
        before = (family.root / path).read_bytes()
        answer = fine(family.root, *words(typed), env=ON_THE_DAY)
        after = (family.root / path).read_bytes()
        assert after.startswith(before), typed
        added = after[len(before) :].decode()
        assert added.count("\n") == 1, typed
        assert unquoted(kept) in unquoted(added), typed
        assert added.strip() in answer.out, typed
        assert "Mudflat Cup 2025" in answer.err, typed
        assert family.changed_in() == [path], typed
    assert family.status == ""
    assert "on: 2025-04-06" in last_line(family.root, RESULTS)
    assert "event: 2025-04-05-mudflat-cup" in last_line(family.root, RESULTS)


def test_a_place_that_nobody_knows_is_kept_and_the_nearest_offered(family):
    answer = fine(family.root, *words(TYPED[1][0]), env=ON_THE_DAY)
    assert re.search(r"unmatched: avocet has nothing called 'drive-left\.gearbox'; did you mean .+\.gearbox\?",
                     answer.err)  # fmt: skip
    listed = fine(family.root, "check", "--json").json["problems"]
    mine = [p for p in listed if p["file"] == EVENT and "drive-left.gearbox" in p["what"]]
    assert [p["code"] for p in mine] == ["unmatched-damage"]


def test_what_is_logged_is_counted_at_once(family):
    before = fine(family.root, "card", "avocet@E", "--json").json
    fine(
        family.root,
        *words("bout avocet lost 1:35 --broke 'weapon.belt: belt thrown, disabling'"),
        env=ON_THE_DAY,
    )
    fine(family.root, *words("measure avocet mass 1359.4 g --scale bench"), env=ON_THE_DAY)
    after = fine(family.root, "card", "avocet@E", "--json").json
    assert after["failures"]["bouts"] == before["failures"]["bouts"] + 1
    assert belts(after) == belts(before) + 1
    assert after["weight"]["measured_g"]["value"] == pytest.approx(1359.4)


def belts(card):
    return sum(item["count"] for item in card["failures"]["items"] if item["at"] == "weapon.belt")


def test_the_choices_of_the_last_bout_stand_until_said_otherwise(family):
    first = fine(family.root, *words("bout avocet won 2:00 --choice front=forks"), env=ON_THE_DAY)
    assert "with front forks" in first.err
    second = fine(family.root, *words("bout avocet won 1:00"), env=ON_THE_DAY)
    assert "fitted: {front: forks}" in second.out
    assert "with front forks" in second.err


def test_outside_any_event_a_bout_is_kept_and_the_event_file_to_write_is_said(small):
    answer = fine(small.root, "bout", "avocet", "won", "2:10", "--on", "2026-03-20")
    assert "kept in bouts/2026-03-20-unnamed.yaml" in answer.out
    assert "events/2026-03-20-unnamed.yaml" in answer.err
    assert small.changed_in() == ["bouts/2026-03-20-unnamed.yaml"]
    assert fine(small.root, "check").status == 0


def test_before_a_first_build_the_line_is_kept_and_the_command_for_one_is_said(small):
    answer = fine(small.root, "measure", "avocet", "mass", "120 g")
    assert "build:" not in answer.out
    assert "lineage record avocet A" in answer.err


def test_nothing_of_it_needs_a_spec_that_can_be_read(small):
    small.write({"robots/avocet.yaml": "robot: [", "family.yaml": "family: {"})
    for line in (
        "bout avocet won 2:10",
        "measure avocet mass 120 g",
        "snag avocet 'lid: bent' --during cutting",
    ):
        assert "kept in" in fine(small.root, *words(line)).out, line


def test_the_last_line_is_corrected_and_struck_out_by_later_ones(small):
    root = small.root
    fine(root, "record", "avocet", "A")
    fine(root, "measure", "avocet", "mass", "120 g")
    fine(root, "measure", "avocet", "mass", "121 g", "--instead-of", "last")
    lines = (root / "results/avocet.yaml").read_text().splitlines()
    assert len(lines) == 2
    assert "instead_of: " in lines[1]
    assert measured(root) == pytest.approx(121)
    fine(root, "measure", "avocet", "--withdraw", "last")
    assert len((root / "results/avocet.yaml").read_text().splitlines()) == 3
    assert measured(root) is None or measured(root) == pytest.approx(120)


def measured(root):
    found = fine(root, "card", "avocet@A", "--json").json["weight"]["measured_g"]
    return None if found is None else found["value"]


def test_a_bout_is_corrected_under_its_own_number(small):
    fine(small.root, "record", "avocet", "A", "--on", "2026-03-01")
    fine(small.root, "bout", "avocet", "won", "2:10", "--on", "2026-03-20")
    fine(small.root, "bout", "avocet", "lost", "2:10", "--on", "2026-03-20", "--instead-of", "last")
    lines = (small.root / "bouts/2026-03-20-unnamed.yaml").read_text().splitlines()
    assert [line for line in lines if "bout: 1" in line] == lines
    assert fine(small.root, "card", "avocet@A", "--json").json["failures"]["bouts"] == 1
    fine(small.root, "bout", "avocet", "--withdraw", "last", "--on", "2026-03-20")
    assert small.changed_in() == ["bouts/2026-03-20-unnamed.yaml"]


def test_an_entry_that_is_not_there_is_not_corrected(small):
    fine(small.root, "measure", "avocet", "mass", "120 g")
    before = files_of(small.root)
    answer = lineage(small.root, "measure", "avocet", "mass", "121 g", "--instead-of", "0123456789")
    assert answer.status == 2
    assert "0123456789" in answer.err
    assert files_of(small.root) == before


def test_an_equal_line_is_refused_unless_it_is_meant(small):
    typed = ("measure", "avocet", "mass", "120 g", "--on", "2026-03-20")
    fine(small.root, *typed)
    again = lineage(small.root, *typed)
    assert again.status == 2
    assert "--again" in again.err
    fine(small.root, *typed, "--again")
    assert "no: 2" in last_line(small.root, "results/avocet.yaml")


def test_a_list_of_entries_goes_in_whole_or_not_at_all(small):
    entries = small.root.parent / "entries.yaml"
    entries.write_text("- {kind: mass, is: 120 g}\n- {kind: mass, is: 12 mm}\n")
    wrong = lineage(small.root, "measure", "avocet", "--from", str(entries))
    assert wrong.status == 2
    assert "entries.yaml:2:" in wrong.err
    assert not (small.root / "results").exists()
    entries.write_text("- {kind: mass, is: 120 g}\n- {kind: mass, is: 121 g}\n")
    head = small.git("rev-parse", "HEAD")
    fine(small.root, "measure", "avocet", "--from", str(entries))
    assert small.git("rev-parse", "HEAD~1") == head
    assert len((small.root / "results/avocet.yaml").read_text().splitlines()) == 2


def test_a_negative_reading_is_a_reading(small):
    fine(small.root, *words("measure avocet gap --of deck-over-battery -0.2 mm"))
    assert "is: -0.2 mm" in last_line(small.root, "results/avocet.yaml")


def test_a_word_that_looks_like_a_severity_and_is_none_is_said(small):
    answer = fine(small.root, *words("bout avocet lost --broke 'lid: cracked, disabeling, 5 min'"))
    assert "disabeling" in answer.err
    assert "disabling" in answer.err


def test_no_commit_is_made_where_none_is_wanted(small):
    head = small.git("rev-parse", "HEAD")
    answer = fine(small.root, "measure", "avocet", "mass", "120 g", "--no-commit")
    assert "kept, not committed" in answer.err
    assert small.git("rev-parse", "HEAD") == head


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("bout avocet wone 2:10", "did you mean won?"),
        ("bout avocett won 2:10", "did you mean avocet?"),
        ("measure avocet wieght 12 g", "mass, gap, service, bench, trial"),
        ("measure avocet mass", "a number with its unit"),
        ("measure avocet mass 12", "g"),
        ("measure avocet gap 1.2 mm", "--of"),
        ("measure avocet trial --of self-right --passed 7", "7/10"),
        ("measure avocet trial --of self-right --passed 11/10", "11"),
        ("snag avocet 'lid: bent'", "--during"),
        ("bout avocet won --on 20.3.2026", "YYYY-MM-DD"),
        ("bout avocet won --brok 'lid: bent'", "--brok"),
        ("bout avocet won --event nowhere", "nowhere"),
    ],
)
def test_what_cannot_be_kept_truthfully_is_refused_with_the_cure(small, typed, said):
    before = files_of(small.root)
    answer = lineage(small.root, *words(typed))
    assert answer.status == 2
    assert answer.out == ""
    assert said in answer.err
    assert files_of(small.root) == before


def test_two_laptops_log_one_event_and_no_line_is_lost(tmp_path):
    here = GitFamily(tmp_path / "here", {"robots/avocet.yaml": "robot: avocet\nparts:\n  lid: {mass: 9 g}\n"})
    fine(tmp_path, "start", "here")
    there = here.clone(tmp_path / "there")
    fine(here.root, "bout", "avocet", "won", "2:10", "--on", "2026-03-20", "--bout", "1")
    fine(there.root, "bout", "avocet", "lost", "0:50", "--on", "2026-03-20", "--bout", "2")
    fine(there.root, "measure", "avocet", "mass", "120 g", "--on", "2026-03-20")
    here.git("pull", "--quiet", "--no-rebase", "--no-edit", str(there.top), "HEAD")
    lines = (here.root / "bouts/2026-03-20-unnamed.yaml").read_text().splitlines()
    assert sorted(re.findall(r"bout: (\d)", " ".join(lines))) == ["1", "2"]
    assert len(lines) == 2
    assert fine(here.root, "check").status == 0
