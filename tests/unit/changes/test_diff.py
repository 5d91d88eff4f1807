"""Every kind of change once, with its id, where, from and to, as a builder would say it."""

import pytest

from lineage.changes.diff import things_of
from lineage.changes.ops import KINDS
from tests.in_memory import FAMILY, between, spec_of, the_change

ROBOT = """\
robot: wren
stock:
  pom-6: {material: acetal, thickness: 6 mm, kerf: 0.1 mm}
  bar-6: {material: steel, section: 6 mm round}
parts:
  side: {stock: pom-6, outline: plates/side.dxf, count: 2}
  shaft: {stock: bar-6, length: 60 mm}
  battery: {mass: 92 g weighed, item: 3 s pack, rework: [leads cut], behind: side}
  spacer: {mass: 2 g}
modules:
  left: pod@A
fasteners:
  side-screws: {type: M3x10 cap, count: 8, holds: side, into: [spacer]}
options:
  fork: {long: {parts: {tine-long: {mass: 31 g}}}, short: {parts: {tine-short: {mass: 24 g}}}}
fitted: {fork: long}
fits:
  clear: {need: at least 1 mm, chain: [spacer.height, -2 mm]}
bays:
  tray: {inside: 80 x 40 x 20 mm, holds: [battery]}
access:
  battery: [{undo: [side-screws]}]
settings: {channel: 5}
files: [cad/wren.step]
cautions: [hot lift]
title: Wren
"""
DRAWN = {"plates/side.dxf": "1111111111", "plates/side-2.dxf": "2222222222"}

# what is typed instead of what → the change that it is: id, from, to
EDITS = [
    ("spacer: {mass: 2 g}", "spacer: {mass: 2 g}\n  nose: {mass: 5 g}", "part added:nose", None, "name nose; mass 5 g"),
    ("  shaft: {stock: bar-6, length: 60 mm}\n", "", "part dropped:shaft",
     "name shaft; length 60 mm; stock bar-6; material steel; section 6 mm round", None),
    ("92 g weighed, item: 3 s pack", "92 g weighed, item: 4 s pack", "part swapped:battery", "3 s pack", "4 s pack"),
    ("material: acetal, thickness", "material: uhmw-pe, thickness", "material:side", "acetal", "uhmw-pe"),
    ("thickness: 6 mm", "thickness: 5 mm", "thickness:side", "6 mm", "5 mm"),
    ("section: 6 mm round", "section: 8 mm round", "section:shaft", "6 mm round", "8 mm round"),
    ("plates/side.dxf, count", "plates/side-2.dxf, count", "outline:side", "plates/side.dxf (11111111)",
     "plates/side-2.dxf (22222222)"),
    ("kerf: 0.1 mm", "kerf: 0.2 mm", "outline:side", "0.1 mm", "0.2 mm"),
    ("length: 60 mm", "length: 58 mm", "length:shaft", "60 mm", "58 mm"),
    ("count: 2", "count: 4", "count:side", "2", "4"),
    ("spacer: {mass: 2 g}", "spacer: {mass: 3 g}", "mass:spacer", "2 g", "3 g"),
    ("  left: pod@A", "  left: pod@A\n  right: pod@A", "module added:right", None, "name right; use pod@A"),
    ("modules:\n  left: pod@A\n", "", "module dropped:left", "name left; use pod@A", None),
    ("pod@A", "pod@B", "module moved on:left", "pod@A", "pod@B"),
    ("pod@A", "hub@A", "module swapped:left", "pod@A", "hub@A"),
    ("count: 8, holds", "count: 6, holds", "fasteners:side-screws", "8", "6"),
    ("at least 1 mm", "at least 2 mm", "fit:clear", "at least 1 mm", "at least 2 mm"),
    ("80 x 40 x 20 mm", "80 x 40 x 22 mm", "bay:tray", "80 x 40 x 20 mm", "80 x 40 x 22 mm"),
    ("behind: side}", "behind: spacer}", "access:battery", "side", "spacer"),
    ("[{undo: [side-screws]}]", "[{undo: [side-screws], tools: [a hook]}]", "access:battery",
     "undo side-screws", "undo side-screws, tools a hook"),
    ("{fork: long}", "{fork: short}", "option:fork", "long", "short"),
    ("short: {parts", "mid: {parts: {tine-mid: {mass: 28 g}}}, short: {parts", "option:fork", None,
     "name tine-mid; choice fork: mid; mass 28 g"),
    ("channel: 5", "channel: 6", "setting:channel", "5", "6"),
    ("[leads cut]", "[leads cut, case removed]", "rework:battery", "do leads cut", "do leads cut, do case removed"),
    ("[cad/wren.step]", "[cad/wren.step, cad/arm.step]", "file:cad/arm.step", None, "named"),
    ("[hot lift]", "[hot lift, spring]", "caution:cautions", "hot lift", "hot lift, spring"),
    ("title: Wren", "title: Little wren", "text:title", "Wren", "Little wren"),
    ("spacer: {mass: 2 g}", "spacer: {mass: 2 g, joined: glued}", "text:spacer", None, "glued"),
]  # fmt: skip


def edit(old: str, new: str) -> tuple:
    assert ROBOT.count(old) == 1, old
    return spec_of(ROBOT, "A", drawings=DRAWN), spec_of(ROBOT.replace(old, new), "B", drawings=DRAWN)


@pytest.mark.parametrize(("old", "new", "id_", "before", "after"), EDITS)
def test_each_edit_is_one_change_of_its_kind(old, new, id_, before, after):
    change = the_change(*edit(old, new))
    assert (change.id, change.before, change.after) == (id_, before, after)
    assert change.id == f"{change.kind}:{change.where}"


def test_every_kind_is_tried_here():
    tried = {id_.partition(":")[0] for _, _, id_, _, _ in EDITS} | {"part renamed"}
    assert tried == set(KINDS)


def test_a_recorded_rename_is_named_by_the_new_name():
    before, after = edit("  shaft:", "  axle:")
    change = the_change(before, after, {"shaft": "axle"})
    assert (change.id, change.before, change.after) == ("part renamed:axle", "shaft", "axle")
    assert change.text == "shaft is now called axle"


def test_screws_added_and_dropped_are_one_change_each():
    screws = "nose-screws: {type: M3x8 cap, count: 2, holds: spacer}"
    before, after = edit("\nfasteners:\n", f"\nfasteners:\n  {screws}\n")
    added, dropped = the_change(before, after), the_change(after, before)
    assert (added.id, added.text) == ("fasteners:nose-screws", "nose-screws added")
    assert (dropped.id, dropped.text) == ("fasteners:nose-screws", "nose-screws dropped")


def test_a_stock_that_two_plates_share_is_a_change_at_each():
    text = """\
robot: wren
stock: {pom-6: {material: acetal, thickness: 6 mm}}
parts: {side: {stock: pom-6, area: 40 cm2}, lid: {stock: pom-6, area: 60 cm2}, nose: {mass: 5 g}}
"""
    changes = between(text, text.replace("6 mm", "5 mm")).changes
    assert [change.id for change in changes] == ["thickness:side", "thickness:lid"]
    assert {change.text for change in changes} == {
        "side: thickness 6 mm → 5 mm",
        "lid: thickness 6 mm → 5 mm",
    }


def test_an_edit_of_family_stock_and_of_a_family_material_is_a_change_at_each_part():
    text = "robot: wren\nparts: {lid: {stock: pc-3, area: 60 cm2}, box: {mass: 5 g, material: petg-ours}}\n"
    family = FAMILY + "materials: {petg-ours: {density: 1.2 g/cm3}}\n"
    other = family.replace("1200 kg/m3", "1190 kg/m3").replace("1.2 g", "1.3 g")
    changes = between(spec_of(text, "A", family=family), spec_of(text, "B", family=other)).changes
    assert [(change.id, change.before, change.after) for change in changes] == [
        ("material:lid", "1200 kg/m3", "1190 kg/m3"),
        ("material:box", "density 1.2 g/cm3", "density 1.3 g/cm3"),
    ]


def test_a_stock_nothing_was_cut_from_is_text_and_taking_it_into_use_is_none():
    stock = (
        "stock: {pom-6: {material: acetal, thickness: 6 mm}, pom-8: {material: acetal, thickness: 8 mm}}\n"
    )
    text = f"robot: wren\n{stock}parts: {{side: {{stock: pom-6, area: 40 cm2}}}}\n"
    assert the_change(text, text.replace("8 mm", "9 mm")).id == "text:stock.pom-8"
    change = the_change(text, text.replace("stock: pom-6", "stock: pom-8"))
    assert (change.id, change.before, change.after) == ("thickness:side", "6 mm", "8 mm")


def test_a_stock_under_another_name_goes_with_the_parts_cut_from_it():
    text = "robot: wren\nstock: {pom-6: {material: acetal, thickness: 6 mm}}\nparts: {side: {stock: pom-6, area: 4 cm2}}\n"
    change = the_change(text, text.replace("pom-6", "sheet-6"))
    assert (change.id, change.text) == ("text:side", "side: stock pom-6 → sheet-6")


def test_a_plate_weighed_as_a_guess_and_then_drawn_changes_its_way_of_working_mass_out():
    before = "robot: wren\nparts: {lid: {mass: 20 g guess, role: chassis}}\n"
    after = "robot: wren\nparts: {lid: {stock: pc-3, area: 60 cm2, role: chassis}}\n"
    assert the_change(before, after).id == "mass:lid"


def test_another_name_and_another_mass_is_another_part():
    before = "robot: wren\nparts: {motor: {mass: 20 g}, lid: {mass: 5 g}}\n"
    after = "robot: wren\nparts: {engine: {mass: 25 g}, lid: {mass: 5 g}}\n"
    assert the_change(before, after, {"motor": "engine"}).id == "part swapped:engine"


def test_what_is_left_over_looks_dropped_and_added():
    changes = between(
        "robot: wren\nparts: {lid: {mass: 20 g}}\n", "robot: wren\nparts: {deck: {mass: 20 g}}\n"
    ).changes
    assert {change.id for change in changes} == {"part added:deck", "part dropped:lid"}


def test_a_part_may_take_the_name_of_one_that_is_gone():
    before = "robot: wren\nparts: {lid: {mass: 20 g}, deck: {mass: 30 g}}\n"
    after = "robot: wren\nparts: {deck: {mass: 20 g}}\n"
    changes = between(before, after, {"lid": "deck"}).changes
    assert {change.id for change in changes} == {"part renamed:deck", "part dropped:deck"}
    gone = next(change for change in changes if change.kind == "part dropped")
    assert (gone.text, gone.before) == ("deck dropped", "name deck; mass 30 g")


def test_screws_that_take_the_name_of_others_are_no_one_change_with_those():
    screws = "{{type: M3x{} cap, count: 2, holds: lid}}"
    before = f"robot: wren\nparts: {{lid: {{mass: 2 g}}}}\nfasteners: {{a: {screws.format(8)}, b: {screws.format(10)}}}\n"
    after = f"robot: wren\nparts: {{lid: {{mass: 2 g}}}}\nfasteners: {{b: {screws.format(12)}}}\n"
    changes = between(before, after, {"a": "b"}).changes
    assert [(change.id, things_of(change)) for change in changes] == [
        ("part renamed:b", ("b",)),
        ("fasteners:b", ("b",)),
        ("fasteners:b (gone)", ("b (gone)",)),
    ]


def test_a_part_that_becomes_a_module_is_dropped_and_added():
    before = "robot: wren\nparts: {pod: {mass: 20 g}, lid: {mass: 2 g}}\naccess: {pod: [{tools: [a hook]}]}\n"
    after = "robot: wren\nparts: {lid: {mass: 2 g}}\nmodules: {pod: drive-pod@A}\naccess: {pod: [{tools: [pliers]}]}\n"
    changes = between(before, after).changes
    assert {change.id for change in changes} == {"part dropped:pod", "module added:pod", "access:pod"}
    ways = next(change for change in changes if change.kind == "access")
    assert ways.text == "pod: access pod tools a hook → pod tools pliers"


def test_a_part_that_moves_into_a_choice_is_a_change_of_its_option():
    before = "robot: wren\nparts: {lid: {mass: 2 g}, tine: {mass: 20 g}}\n"
    after = "robot: wren\nparts: {lid: {mass: 2 g}}\noptions: {fork: {on: {parts: {tine: {mass: 20 g}}}, off: {about: none}}}\nfitted: {fork: off}\n"
    change = the_change(before, after)
    assert (change.id, things_of(change)) == ("option:fork", ("tine",))


def test_a_choice_refitted_in_a_place_is_an_option_of_that_place():
    text = "robot: wren\nparts: {lid: {mass: 2 g}}\nmodules: {left: {use: pod@A, fitted: {gears: slow}}}\n"
    change = the_change(text, text.replace("slow", "quick"))
    assert (change.id, change.before, change.after) == ("option:left.gears", "slow", "quick")


def test_a_part_named_like_a_key_of_the_design_keeps_the_ids_apart():
    before = "robot: wren\ntitle: Wren\nparts: {title: {mass: 2 g}}\n"
    after = "robot: wren\ntitle: Owl\nparts: {title: {mass: 2 g, joined: glued}}\n"
    assert {change.id for change in between(before, after).changes} == {"text:title", "text:design.title"}


def test_changes_come_in_the_order_of_the_second_spec_and_of_kinds():
    before = "robot: wren\nparts: {lid: {mass: 2 g}, deck: {mass: 3 g}}\n"
    after = "robot: wren\nparts: {deck: {mass: 4 g, count: 2}, lid: {mass: 3 g}}\ntitle: Wren\n"
    ids = [change.id for change in between(before, after).changes]
    assert ids == ["count:deck", "mass:deck", "mass:lid", "text:title"]


def test_class_limit_tolerances_and_spread_that_a_build_keeps_are_told():
    text = "robot: wren\nclass: 3lb\nparts: {lid: {mass: 2 g}}\n"
    other = (
        FAMILY.replace("limit: 3 lb", "limit: 1300 g")
        + "tolerances: {laser: ± 0.2 mm}\nspread: {guess: 20 %}\n"
    )
    changes = between(spec_of(text), spec_of(text, "B", family=other)).changes
    assert {change.id for change in changes} == {
        "text:family.class.limit", "text:family.tolerances.laser", "text:family.spread.guess",
    }  # fmt: skip
