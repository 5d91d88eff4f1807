"""A change in words: short, as typed, with what differs inside free text named."""

import pytest

from lineage.changes.words import value_text
from lineage.spec.records import BuildRef
from tests.in_memory import the_change

TEXT = """\
robot: wren
notes: {paint: [red, blue], lot: 3}
parts: {lid: {mass: 20 g, x-print: {walls: 3, infill: 20 %}}}
settings: {channel: 5}
fits: {clear: {need: at least 1 mm, chain: [lid.height, -2 * lid.height, -1 mm]}}
"""


@pytest.mark.parametrize(
    ("old", "new", "text"),
    [
        ("[red, blue]", "[red, green]", "notes: paint no. 2: blue → green"),
        ("walls: 3", "walls: 4", "lid: x-print walls: 3 → 4"),
        ("channel: 5", "channel: 6", "channel: setting 5 → 6"),
        (
            "-1 mm]",
            "-2 mm]",
            "clear: fit +lid.height, -2 * lid.height, -1 mm → +lid.height, -2 * lid.height, -2 mm",
        ),
        ("20 g, x", "20.0 g, x", "lid: mass 20 g → 20.0 g"),
        ("settings: {channel: 5}\n", "", "channel: setting 5 dropped"),
    ],
)
def test_the_line_of_a_change(old, new, text):
    assert the_change(TEXT, TEXT.replace(old, new)).text == text


def test_a_long_value_is_cut_in_the_line_and_whole_in_from_and_to():
    long = "a" * 100
    change = the_change(TEXT, TEXT.replace("robot: wren\n", f"robot: wren\nabout: {long}\n"))
    assert change.after == long
    assert change.text == f"about: {'a' * 59}… added"


def test_values_read_as_typed():
    assert value_text(True) == "yes"
    assert value_text(0.50) == "0.5"
    assert value_text(BuildRef("pod", "A")) == "pod@A"
    assert value_text({"a": (1, 2)}) == "a 1, 2"
    assert value_text(()) is None
    assert value_text(("plates/a.dxf", None)) == "plates/a.dxf (missing)"
