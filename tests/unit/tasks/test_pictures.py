"""Which plates a page shows: every one of a card, and those that were cut otherwise of a comparison."""

import pytest

from lineage.tasks.pictures import card_pictures, compare_pictures
from tests.drawn import circle, dxf, rectangle
from tests.in_memory import InMemory

POD = "module: pod\nparts: {bracket: {stock: al-2, outline: plates/pod/bracket.dxf}}\n"
WREN = """\
robot: wren
parts:
  side: {stock: pc-3, outline: plates/wren/side.dxf, count: 2}
  deck: {stock: pc-3, outline: plates/wren/deck.dxf}
  lid: {stock: pc-3, area: 10 cm2}
modules: {left: pod@A, right: pod@A}
"""


@pytest.fixture
def made():
    family = InMemory()
    family.tree.by_path |= {
        "plates/pod/bracket.dxf": dxf(rectangle(30, 20)),
        "plates/wren/side.dxf": dxf(rectangle(100, 30)),
        "plates/wren/deck.dxf": dxf(rectangle(100, 80)),
    }
    family.record("pod", "A", "2025-01-01", POD)
    family.record("wren", "A", "2025-01-02", WREN)
    return family


def test_a_card_shows_every_plate_those_in_modules_once(made):
    plates = card_pictures(made.state("wren@A"))["plates"]
    assert [(plate.title, plate.said) for plate in plates] == [
        ("side", "100.0 x 30.0 mm, 0 holes"),
        ("deck", "100.0 x 80.0 mm, 0 holes"),
        ("left.bracket, right.bracket", "30.0 x 20.0 mm, 0 holes"),
    ]


def test_a_plate_that_was_renamed_and_recut_is_laid_over_what_it_was(made):
    made.tree.by_path["plates/wren/side.dxf"] = dxf(rectangle(100, 30), circle(50, 15, 10))
    made.record("wren", "B", "2025-02-02", WREN.replace("side:", "wall:"), renames={"side": "wall"})
    workspace = made.workspace()
    (laid,) = compare_pictures([made.state("wren@A", workspace), made.state("wren@B", workspace)])["overlays"]
    assert laid.title == "wall"
    assert laid.after.startswith(laid.before)  # the hole comes on top of the outside


def test_siblings_have_nothing_to_lay_over(made):
    made.record("owl", "A", "2025-01-02", WREN.replace("robot: wren", "robot: owl"))
    assert compare_pictures([made.state("wren@A"), made.state("owl@A")]) == {}
