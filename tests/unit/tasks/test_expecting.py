"""What was expected of a change, and whether it was kept: only where a measured value or a verdict says."""

import pytest

from lineage.spec.build_file import read_notes_file
from lineage.tasks.pairs import pair
from tests.in_memory import InMemory


def delivered(expect: str, *, results: str = "", broke_before: int = 0, broke_after: int = 0):
    made = InMemory()
    text = "robot: wren\nparts: {lid: {mass: 20 g}}\n"
    made.record("wren", "A", "2025-01-01", text)
    notes = read_notes_file(f"- {{about: [lid], expect: {{{expect}}}}}\n".encode(), "notes.yaml").record
    made.record("wren", "B", "2025-02-01", text.replace("20 g", "25 g"), notes=notes)
    made.write({"results/wren.yaml": results})
    for label, event, broke in (
        ("A", "2025-01-02-meet", broke_before),
        ("B", "2025-02-02-meet", broke_after),
    ):
        damage = [", broke: [{at: lid, mode: bent}]" if n < broke else "" for n in range(8)]
        made.write({f"bouts/{event}.yaml": "".join(
            f"- {{robot: wren, bout: {n}, build: {label}, outcome: won{said}}}\n" for n, said in enumerate(damage)
        )})  # fmt: skip
    workspace = made.workspace()
    (change,) = pair(made.state("wren@A", workspace), made.state("wren@B", workspace)).changes
    (view,) = change.delivered.values()
    return view.expected, view.got, view.kept


def reading(kind: str, of: str, before: str, after: str) -> str:
    rows = [
        (label, f"2025-0{month}-03", value)
        for month, label, value in ((1, "A", before), (2, "B", after))
        if value
    ]
    return "".join(
        f"- {{on: {on}, kind: {kind}, build: {label}, of: {of}, {value}}}\n" for label, on, value in rows
    )


@pytest.mark.parametrize(
    ("expect", "results", "answer"),
    [
        (
            "seconds lid: at most 60 s",
            reading("service", "lid", "", "is: 55 s"),
            ("at most 60 s", "55", True),
        ),
        (
            "seconds lid: at most 60 s",
            reading("service", "lid", "", "is: [60 s, 70 s]"),
            ("at most 60 s", "65", False),
        ),
        ("seconds lid: less", reading("service", "lid", "is: 90 s", "is: 55 s"), ("less", "55", None)),
        (
            "seconds lid: less",
            reading("service", "lid", "is: [90 s, 92 s]", "is: [55 s, 56 s]"),
            ("less", "55.5", True),
        ),
        ("seconds lid: less", reading("service", "lid", "", "is: 55 s"), ("less", "55", None)),
        ("seconds lid: less", "", ("less", None, None)),
        (
            "gap clear: at least 1 mm",
            reading("gap", "clear", "", "is: 0.9 mm"),
            ("at least 1 mm", "0.9", False),
        ),
        (
            "reading stall push: more",
            reading("bench", "Stall  push", "is: [20.0 N, 20.1 N]", "is: [24.0 N, 24.1 N]"),
            ("more", "24.05", True),
        ),
        (
            "reading stall push: less",
            reading("bench", "stall push", "is: [20.0 N, 20.1 N]", "is: [24.0 N, 24.1 N]"),
            ("less", "24.05", False),
        ),
        (
            "reading stall push: more",
            reading("bench", "stall push", "is: 20 N", "is: 20 N"),
            ("more", "20", None),
        ),
        (
            "reading self-right: more",
            reading("trial", "self-right", "passed: 5, tries: 10", "passed: 8, tries: 10"),
            ("more", "0.8", None),
        ),
        (
            "reading self-right: more",
            reading("trial", "self-right", "passed: 1, tries: 10", "passed: 9, tries: 10"),
            ("more", "0.9", True),
        ),
    ],
)
def test_measured_values_say_whether_it_was_kept(expect, results, answer):
    assert delivered(expect, results=results) == answer


def test_a_reading_whose_build_is_not_certain_says_nothing():
    results = "- {on: 2025-02-01, kind: service, of: lid, is: 55 s}\n"  # B was recorded on that very day
    assert delivered("seconds lid: at most 60 s", results=results) == ("at most 60 s", None, None)


def test_the_latest_reading_counts():
    results = (
        reading("service", "lid", "", "is: 55 s")
        + "- {on: 2025-02-09, kind: service, build: B, of: lid, is: 75 s}\n"
    )
    assert delivered("seconds lid: at most 60 s", results=results)[2] is False


@pytest.mark.parametrize(
    ("expect", "before", "after", "kept"),
    [
        ("failures lid: less", 7, 0, True),
        ("failures lid: less", 1, 8, False),
        ("failures lid: less", 2, 1, None),
        ("failures lid: none", 7, 0, True),
        ("failures lid: none", 1, 0, None),
        ("failures lid: none", 7, 1, False),
        ("failures lid: at most 1", 7, 1, True),
        ("failures lid: at most 1", 7, 2, False),
        ("failures lid: at most 25 %", 7, 2, True),
        ("failures lid: at most 20 %", 7, 2, False),
        ("failures lid: less", 0, 0, None),
    ],
)
def test_failures_are_kept_by_counts_where_a_number_is_expected_else_by_the_verdict(
    expect, before, after, kept
):
    assert delivered(expect, broke_before=before, broke_after=after)[2] is kept
