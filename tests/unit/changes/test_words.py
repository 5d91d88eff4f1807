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


@pytest.mark.parametrize(
    ("old", "new", "text"),
    [
        ("kerf: 0.1 mm", "kerf: 0.2 mm", "side: outline kerf 0.1 mm → 0.2 mm"),
        ("area: 3 cm2", "area: 4 cm2", "side: outline 3 cm2 → 4 cm2"),
        ("density: 1 g/cm3, ", "", "side: material density 1 g/cm3 dropped"),
        ("material: pc", "material: pmma", "side: material pc → pmma"),
        ("joined: bolted", "joined: glued", "side: joined bolted → glued"),
    ],
)
def test_where_a_kind_stands_for_several_keys_the_line_says_which(old, new, text):
    before = """\
robot: wren
stock: {al: {material: pc, thickness: 2 mm, density: 1 g/cm3, kerf: 0.1 mm}}
parts: {side: {stock: al, area: 3 cm2, joined: bolted}}
"""
    assert the_change(before, before.replace(old, new)).text == text


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
