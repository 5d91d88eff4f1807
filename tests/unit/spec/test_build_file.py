"""build.yaml and the notes file of a record."""

from datetime import date

import pytest

from lineage.spec.build_file import read_build, read_notes_file

ID = "0123456789abcdef0123456789abcdef01234567"
WHOLE = f"""\
format: 1
tables: 2
design: avocet
label: 1.10
on: 2025-03-09
before: "1.9"
id: {ID}
files:
  robots/avocet.yaml: {ID}
  plates/a side.dxf: {ID}
uses: {{drive-pod@B: {ID}}}
renames: {{lid: top-deck}}
notes:
  - about: [drive-left.gearbox, lid]
    why: the old one stripped
    aim: [failures, weight]
    for: [teeth stripped, self-right]
    expect:
      seconds battery: at most 1:30
      gap deck-over-battery: at least 0.5 mm
      failures drive-left.gearbox: less
      reading stall push: at least 20 N
    described_better: yes
"""


def test_every_key_is_read():
    read = read_build(WHOLE.encode(), "build.yaml")
    assert read.problems == ()
    build = read.record
    assert (build.format, build.tables, build.design, build.label) == (1, 2, "avocet", "1.10")
    assert (build.on, build.before, build.id) == (date(2025, 3, 9), "1.9", ID)
    assert build.files == {"robots/avocet.yaml": ID, "plates/a side.dxf": ID}
    assert (build.uses, build.renames) == ({"drive-pod@B": ID}, {"lid": "top-deck"})
    (note,) = build.notes
    assert (note.about, note.why) == (("drive-left.gearbox", "lid"), "the old one stripped")
    assert (note.aim, note.for_) == (("failures", "weight"), ("teeth stripped", "self-right"))
    assert note.described_better is True
    seconds, gap, failures, reading = note.expect
    assert (seconds.figure, seconds.about, seconds.relation, seconds.value.value) == (
        "seconds",
        "battery",
        "at most",
        90,
    )
    assert (gap.relation, gap.value.value) == ("at least", 0.5)
    assert (failures.about, failures.relation, failures.value) == ("drive-left.gearbox", "less", None)
    assert (reading.about, reading.value.dimension, reading.text) == ("stall push", "force", "at least 20 N")


def test_the_first_build_has_none_before_it():
    assert read_build(WHOLE.replace('"1.9"', "none").encode(), "b").record.before is None


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("format: 1", "format: 2", "format"),
        (f"id: {ID}", f"id: {ID[:-1]}", "content-id"),
        ("plates/a side.dxf", "../a", "path"),
        ("drive-pod@B", "drive-pod", "build-ref"),
        ("label: 1.10", "label: git", "reserved-name"),
        ("label: 1.10", "label: -a", "label"),
        ("at most 1:30", "at most soon", "quantity"),
        ("at most 1:30", "soon", "expectation"),
        ("seconds battery", "minutes battery", "expectation"),
        ("seconds battery", "seconds", "expectation"),
        ("[failures, weight]", "[looks]", "word"),
        ("tables: 2\n", "", "missing-key"),
        ("described_better: yes", "described: yes", "unknown-key"),
        ("id: " + ID, "id: " + ID + "\nx-a: b", "unknown-key"),
    ],
)
def test_other_values_are_refused(old, new, code):
    read = read_build(WHOLE.replace(old, new, 1).encode(), "build.yaml")
    assert read.record is None
    assert [p.code for p in read.problems] == [code]


def test_a_fault_in_an_expectation_has_its_own_column():
    (found,) = read_build(WHOLE.replace("0.5 mm", "0.5 mmm").encode(), "build.yaml").problems
    line = WHOLE.replace("0.5 mm", "0.5 mmm").split("\n")[found.place.line - 1]
    assert line[found.place.column - 1 : found.place.end - 1] == "mmm"


def test_notes_are_a_list():
    notes = read_notes_file(
        b"- {about: lid, why: broke}\n- {about: [a, b.c], aim: fit}\n", "notes.yaml"
    ).record
    assert [note.about for note in notes] == [("lid",), ("a", "b.c")]
    assert notes[1].aim == ("fit",)
    assert read_notes_file(b"about: lid\n", "notes.yaml").problems[0].code == "wrong-shape"
    assert read_notes_file(b"- {why: x}\n", "notes.yaml").problems[0].code == "missing-key"
