"""Which change moved a gap by how much: worked by hand."""

import pytest

from lineage.changes.gaps import Term, gap_shares
from tests.in_memory import between

TEXT = """\
robot: wren
stock: {pom: {material: acetal, thickness: 6 mm}}
parts:
  side: {stock: pom, area: 40 cm2, dims: {bay-height: 22 mm}}
  battery: {mass: 92 g, size: 68 x 35 x 17 mm}
modules: {left: pod@A}
fits: {clear: {need: at least 1 mm, chain: [side.bay-height, -battery.height, -2 mm]}}
"""


def shares(before, after, old, new, renames=None):
    difference = between(before, after, renames)
    terms = [[Term(*term) for term in side] for side in (old, new)]
    return gap_shares("clear", *terms, difference.changes, difference.pairing.names_before)


def test_each_dimension_that_moved_has_its_own_millimetres():
    after = TEXT.replace("22 mm", "21 mm").replace("35 x 17", "35 x 18")
    old = [("side.bay-height", 1, 22.0), ("battery.height", -1, 17.0), ("2 mm", -1, 2.0)]
    new = [("side.bay-height", 1, 21.0), ("battery.height", -1, 18.0), ("2 mm", -1, 2.0)]
    assert shares(TEXT, after, old, new) == {"text:side": -1.0, "text:battery": -1.0}


def test_another_coefficient_is_the_fits_own_and_the_product_is_halved():
    # 2 · 5 − 1 · 6 = 4: thickness (5 − 6)·(1 + 2)/2 = −1.5, fit (2 − 1)·(6 + 5)/2 = 5.5
    after = TEXT.replace("thickness: 6 mm", "thickness: 5 mm").replace(
        "[side.bay-height,", "[2 * side.bay-height,"
    )
    found = shares(TEXT, after, [("side.thickness", 1, 6.0)], [("side.thickness", 2, 5.0)])
    assert found == {"thickness:side": -1.5, "fit:clear": 5.5}


def test_another_plain_quantity_is_the_fits_own():
    found = shares(TEXT, TEXT.replace("-2 mm", "-2.5 mm"), [("2 mm", -1, 2.0)], [("2.5 mm", -1, 2.5)])
    assert found == {"fit:clear": -0.5}


def test_what_moved_inside_a_module_belongs_to_its_step():
    found = shares(
        TEXT,
        TEXT.replace("pod@A", "pod@B"),
        [("left.wheel.diameter", 0.5, 50.0)],
        [("left.wheel.diameter", 0.5, 54.0)],
    )
    assert found == {"module moved on:left": 2.0}


def test_a_recorded_rename_moves_no_gap():
    old, new = [("battery.height", -1, 17.0)], [("pack.height", -1, 17.0)]
    assert shares(TEXT, TEXT.replace("battery", "pack"), old, new, {"battery": "pack"}) == {}


def test_a_thing_of_a_choice_that_came_or_went_is_the_options():
    forks = (
        "options: {fork: {long: {parts: {tine-a: {mass: 31 g}}}, short: {parts: {tine-b: {mass: 24 g}}}}}\n"
    )
    before = f"{TEXT}{forks}fitted: {{fork: long}}\n"
    after = before.replace("fork: long}", "fork: short}")
    found = shares(before, after, [("tine-a.height", 1, 10.0)], [("tine-b.height", 1, 8.0)])
    assert found == {"option:fork": pytest.approx(-2.0)}
