"""Builds of one design as a chain: names followed along it, and what was only described better."""

import pytest

from lineage.tasks.chain import (
    composed,
    follow,
    line_to,
    only_described_better,
    record_between,
    renames_between,
)
from tests.in_memory import InMemory, note


@pytest.mark.parametrize(
    ("first", "then", "both"),
    [
        ({"a": "b"}, {"b": "c"}, {"a": "c"}),
        ({"a": "b"}, {"b": "a"}, {}),
        ({"a": "b"}, {"c": "d"}, {"a": "b", "c": "d"}),
        ({}, {"a": "b"}, {"a": "b"}),
        ({"a": "b"}, {"b": "c", "a": "d"}, {"a": "c"}),
        ({"a": "b", "b": "a"}, {"a": "b", "b": "a"}, {}),
    ],
)
def test_two_steps_of_renaming_are_one(first, then, both):
    assert composed(first, then) == both


def wren(**parts: str) -> str:
    return f"robot: wren\nparts: {{{', '.join(f'{name}: {{{said}}}' for name, said in parts.items())}}}\n"


@pytest.fixture(scope="module")
def workspace():
    family = InMemory()
    family.record("wren", "A", "2025-01-01", wren(bar="mass: 12 g", lid="mass: 20 g guess", arm="mass: 5 g"))
    family.record(
        "wren", "B", "2025-02-01", wren(nose="mass: 12 g", lid="mass: 22 g", arm="mass: 5 g"),
        renames={"bar": "nose"}, notes=[note("lid", described_better=True)],
    )  # fmt: skip
    family.record(
        "wren",
        "C",
        "2025-03-01",
        wren(beak="mass: 12 g", lid="mass: 22 g", arm="mass: 6 g"),
        renames={"nose": "beak"},
    )
    family.record("wren", "D", "2025-04-01", wren(beak="mass: 12 g", lid="mass: 25 g", arm="mass: 6 g"))
    return family.workspace()


def test_a_line_is_what_each_build_was_made_from(workspace):
    assert line_to(workspace, "wren", "C") == ("A", "B", "C")
    assert [record.label for record in record_between(workspace, "wren", "A", "C")] == ["B", "C"]
    assert record_between(workspace, "wren", "C", "A") == ()


def test_renames_add_up_along_the_line_and_none_lead_back(workspace):
    assert renames_between(workspace, "wren", "A", "D") == {"bar": "beak"}
    assert renames_between(workspace, "wren", "A", "now") == {"bar": "beak"}
    assert renames_between(workspace, "wren", "D", "A") == {}
    assert renames_between(workspace, "wren", "A", "Z") == {}


def test_a_reference_is_followed_either_way(workspace):
    assert follow(workspace, "wren", "A", "C", "bar.hole") == "beak.hole"
    assert follow(workspace, "wren", "C", "A", "beak") == "bar"
    assert follow(workspace, "wren", "A", "C", "lid") == "lid"
    assert follow(workspace, "wren", "A", "C", "beak") is None


def test_described_better_is_told_only_while_nothing_else_was_done_to_it(workspace):
    assert only_described_better(workspace, "wren", "A", "B", "lid")
    assert only_described_better(workspace, "wren", "B", "A", "lid")
    assert only_described_better(workspace, "wren", "A", "C", "lid")
    assert not only_described_better(workspace, "wren", "A", "D", "lid")  # made heavier in D, without a note
    assert not only_described_better(workspace, "wren", "B", "C", "lid")
    assert not only_described_better(workspace, "wren", "A", "C", "arm")
