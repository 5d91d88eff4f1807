"""What is written is one line, says things in the order of the format, and reads back."""

from datetime import date

import pytest

from lineage.spec.bout_file import read_bouts
from lineage.spec.build_file import read_build
from lineage.spec.lines import bout_line, build_yaml, plain_or_quoted, quoted, result_line
from lineage.spec.records import BuildRecord, ChangeNote, Expectation
from lineage.spec.result_file import read_results
from lineage.values.parsing import parse_quantity


def test_keys_stand_in_the_order_of_the_format_and_free_text_in_quotes():
    entry = {
        "note": "a, b",
        "is": ["31 g", "31.2 g"],
        "of": "lid",
        "kind": "mass",
        "on": date(2025, 3, 1),
        "build": "1.10",
    }
    assert (
        result_line(entry)
        == '- {on: 2025-03-01, kind: mass, build: 1.10, of: lid, is: [31 g, 31.2 g], note: "a, b"}'
    )


def test_what_is_none_or_empty_is_left_out():
    entry = {"robot": "avocet", "outcome": "won", "ran": None, "note": " ", "broke": [], "settings": {}}
    assert bout_line(entry) == "- {robot: avocet, outcome: won}"


def test_a_bout_is_written():
    entry = {
        "robot": "avocet", "bout": 3, "outcome": "lost", "ran": "2:10", "fought": False,
        "fitted": {"fork": "long"}, "settings": {"expo": "30 %", "mode": "tank: drive"},
        "read": {"charge put back": parse_quantity("350 mAh")},
        "broke": [{"mode": "teeth, all", "at": "drive-left.gearbox", "cost_bout": True, "used": {"gear": 2}}],
    }  # fmt: skip
    assert bout_line(entry) == (
        "- {robot: avocet, bout: 3, outcome: lost, ran: 2:10, fought: no, fitted: {fork: long},"
        ' settings: {expo: 30 %, mode: "tank: drive"}, read: {charge put back: 350 mAh},'
        ' broke: [{at: drive-left.gearbox, mode: "teeth, all", used: {gear: 2}, cost_bout: yes}]}'
    )


def test_a_withdrawal_is_written():
    assert (
        result_line({"withdrawn": True, "instead_of": "0123456789"})
        == "- {instead_of: 0123456789, withdrawn: yes}"
    )
    assert (
        bout_line({"withdrawn": True, "instead_of": "0123456789"})
        == "- {instead_of: 0123456789, withdrawn: yes}"
    )


@pytest.mark.parametrize(
    "text",
    [
        "no",
        "~",
        "null",
        "#4-40",
        "a: b",
        "- a",
        "[x]",
        "“”",
        "a\nb\t\0",
        "a\u2028b",
        "\ufeff",
        "😀",
        "\\",
        '"',
        " a ",
    ],
)
def test_free_text_reads_back_as_it_was(text):
    line = result_line(
        {"on": "2025-03-01", "kind": "snag", "during": text, "at": text, "mode": text, "x-a": {text: [text]}}
    )
    assert "\n" not in line
    log = read_results(line.encode() + b"\n", "f", "avocet")
    assert log.problems == ()
    (entry,) = log.entries
    assert (entry.during, entry.at, entry.mode, entry.extra) == (text, text, text, {"x-a": {text: [text]}})


def test_half_a_character_is_replaced_for_no_file_can_hold_it():
    assert quoted("a\udc80b") == '"a\ufffdb"'


def test_a_very_long_name_of_a_reading_is_read_back():
    name = "x" * 2000
    line = bout_line({"robot": "avocet", "read": {name: "3 V"}})
    assert list(read_bouts(line.encode(), "f", "2025-03-09-meet").entries[0].read) == [name]


@pytest.mark.parametrize(
    "text",
    ["", "~", "null", "<<", ".inf", "a:", "a: b", "-", "--", "- a", "#a", "a #b", "a,b", "{", "%", "a\n"],
)
def test_what_would_not_stand_plain_is_quoted(text):
    assert plain_or_quoted(text) == quoted(text)


@pytest.mark.parametrize(
    "text", ["a", "1.10", "-0.2 mm", "68 ± 1 g", "2:10", "+0.2/-0.1 mm", "30 %", "drive-left.gearbox"]
)
def test_names_and_quantities_stand_plain(text):
    assert plain_or_quoted(text) == text


def record(**changes):
    some_id = "0123456789abcdef0123456789abcdef01234567"
    fields = {
        "format": 1, "tables": 1, "design": "avocet", "label": "1.10", "on": date(2025, 3, 9), "before": None,
        "id": some_id, "files": {"robots/avocet.yaml": some_id, "family.yaml": some_id, "plates/a #1, b.dxf": some_id},
        "uses": {"drive-pod@B": some_id}, "renames": {"lid": "deck"},
        "notes": (
            ChangeNote(about=("lid", "drive-left.gearbox"), why="line one\nline two: # yes", aim=("weight", "fit"),
                       for_=("teeth stripped",), described_better=True,
                       expect=(Expectation(figure="reading", about="stall push: left", relation="less", text="less"),)),
            ChangeNote(about=("fork",)),
        ),
    }  # fmt: skip
    return BuildRecord(**(fields | changes))


@pytest.mark.parametrize(
    "changes", [{}, {"uses": {}, "renames": {}, "notes": ()}, {"files": {}}, {"before": "1.9"}]
)
def test_a_build_reads_back_equal(changes):
    written = record(**changes)
    read = read_build(build_yaml(written).encode(), "build.yaml")
    assert read.problems == ()
    assert {n: getattr(read.record, n) for n in read.record.__struct_fields__ if n != "places"} == {
        n: getattr(written, n) for n in written.__struct_fields__ if n != "places"
    }


def test_a_build_is_written_in_one_order():
    text = build_yaml(record())
    assert text == build_yaml(record(files=dict(reversed(record().files.items()))))
    assert text.startswith(
        "format: 1\ntables: 1\ndesign: avocet\nlabel: 1.10\non: 2025-03-09\nbefore: none\nid: 0"
    )
    assert (
        text.index("  family.yaml: ")
        < text.index('  "plates/a #1, b.dxf": ')
        < text.index("  robots/avocet.yaml: ")
    )
