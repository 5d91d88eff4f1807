"""Specs of robots and modules: every key read, every fault placed."""

import pytest

from lineage.spec.design_file import read_design
from lineage.spec.records import BuildRef, PackItem, Rework, Turn

WHOLE = """\
robot: avocet
title: Avocet
about: yes
notes: {why: [a, b]}
from: turnstone@1.10
class: 3lb
size: 300 x 250 x 90 mm
state: running
next: [fix lid, paint]
packing: [charger, {spare wheels: 4, bolts: 20}, tape: 2]
stock: {own-1: {material: steel, thickness: 1 mm}}
parts:
  side:
    {role: chassis, stock: uhmw-6, outline: plates/avocet/side.dxf, count: 2, dims: {bay-height: 22 H7 mm, lean: 3 deg},
     ignore: [text*, DIMS], drawing_unit: in, process: laser, joined: bolted, behind: [top, battery], tags: [a]}
  top: {stock: pc-3, area: 148 cm2, orientations: 4, marked: yes, behind: side}
  axle: {stock: rod-6, length: 60 mm ± 0.1 mm, spin: 9000 rpm, stores: spin}
  battery:
    mass: 92 g weighed
    size: 68 ± 1 x 35 x 17 mm
    role: power
    cells: lithium
    rework: [case removed, {do: leads cut, takes: 5 min}]
    item: 3-cell pack
    price: 12.50 EUR
    source: a shop
    centre: 10 x -20 x 5 mm
    carry: 0
    note: 010
    files: photos/battery.jpg
    material: mixed
    x-box: 4
modules:
  drive-left: drive-pod@B
  drive-right: {use: drive-pod@now, centre: 0 x 1 x 2 mm, turned: [x 90, mirrored y, z -22.5 deg], behind: top, role: drive,
                orientations: 2, marked: no, fitted: {gears: fast}}
fasteners:
  lid:
    {type: ISO 7380-1 M3x8, count: 8, holes: 12, holds: top, into: [side], grip: 3 mm, depth: 6 mm, plate: 2 mm, material: steel,
     mass: 0.5 g, washers: 0, nuts: 1, threadlock: blue, behind: battery}
options:
  fork:
    long: {parts: {tine: {mass: 31 g}}, fasteners: {tip: {type: M3x8 cap, count: 1, holds: tine}}, about: reach}
    none: {modules: {blank: cover@A}, settings: {expo: 30 %}}
fitted: {fork: long}
fits: {gap: {need: between 1 mm and 2 mm, chain: [side.bay-height, -2 * battery.height, 1.5 mm], about: lid}}
bays: {tray: {inside: 70 x 40 x 20 mm, holds: battery, padding: 0 mm, opening: 60 x 30 mm, about: tight}}
access: {drive-left.gearbox: [{behind: [top], undo: lid, tools: [hex 2], about: pull}, {undo: [lid]}]}
drive: {motors: 2, motor_kv: 1100 rpm/V, volts: 11.1 V, current_limit: 20 A, ratio: 22, wheel: 50 mm, driven: 80 %, grip: 0.8}
settings: {expo: 30 %, mode: tank drive, quoted: "5 A", channel: 3}
files: [cad/avocet.step]
cautions: [sharp tines]
x-colour: red
"""
PARTS = "robot: avocet\nparts:\n  a: {"


def design(text, kind="robot", name="avocet"):
    read = read_design(text.encode(), "f.yaml", kind, name)
    assert read.problems == ()
    assert read.record is not None
    return read.record


def problem(text, kind="robot", name="avocet"):
    read = read_design(text.encode(), "f.yaml", kind, name)
    assert read.record is None
    assert len(read.problems) == 1, read.problems
    return read.problems[0]


def test_every_key_of_a_robot_is_read():
    read = design(WHOLE)
    assert (read.kind, read.name, read.title, read.about) == ("robot", "avocet", "Avocet", "yes")
    assert read.notes == {"why": ["a", "b"]}
    assert (read.from_, read.class_, read.state) == (BuildRef("turnstone", "1.10"), "3lb", "running")
    assert read.size.height.value == 90
    assert read.next == ("fix lid", "paint")
    assert read.packing == (
        PackItem(item="charger"),
        PackItem(item="spare wheels", count=4),
        PackItem(item="bolts", count=20),
        PackItem(item="tape", count=2),
    )
    assert read.stock["own-1"].thickness.value == 1
    assert read.settings["expo"].value == pytest.approx(0.3)
    assert (read.settings["mode"], read.settings["quoted"]) == ("tank drive", "5 A")
    assert read.settings["channel"].value == 3
    assert (read.files, read.cautions) == (("cad/avocet.step",), ("sharp tines",))
    assert (read.drive.motor_kv.value, read.drive.ratio, read.drive.driven, read.drive.grip) == (
        1100,
        22,
        0.8,
        0.8,
    )
    assert read.extra == {"x-colour": "red"}


def test_every_key_of_a_part_is_read():
    side, top, axle, battery = design(WHOLE).parts.values()
    assert (side.stock, side.outline, side.count) == ("uhmw-6", "plates/avocet/side.dxf", 2)
    assert (side.dims["bay-height"].grade, side.dims["lean"].dimension) == ("H7", "angle")
    assert (side.ignore, side.drawing_unit, side.process) == (("text*", "DIMS"), "in", "laser")
    assert (side.joined, side.behind, side.tags, side.role) == (
        "bolted",
        ("top", "battery"),
        ("a",),
        "chassis",
    )
    assert (top.area.value, top.orientations, top.marked, top.behind) == (14800, 4, "yes", ("side",))
    assert (axle.length.limit, axle.spin.value, axle.stores) == (0.1, 9000, "spin")
    assert (battery.mass.how, battery.size.length.plus, battery.cells) == ("weighed", 1, "lithium")
    assert battery.rework[0] == Rework(do="case removed")
    assert battery.rework[1].takes.value == 300
    assert (battery.item, battery.price.value, battery.source) == ("3-cell pack", 12.5, "a shop")
    assert (battery.centre.y, battery.carry, battery.note) == (-20, 0, "010")
    assert (battery.files, battery.material, battery.extra) == (
        ("photos/battery.jpg",),
        "mixed",
        {"x-box": "4"},
    )


def test_every_key_of_places_groups_and_choices_is_read():
    read = design(WHOLE)
    left, right = read.modules.values()
    assert left.use == BuildRef("drive-pod", "B")
    assert right.turned == (Turn("x", 90), Turn("y", None), Turn("z", -22.5))
    assert (right.behind, right.role, right.orientations, right.marked) == (("top",), "drive", 2, "no")
    assert (right.fitted, right.centre.z) == ({"gears": "fast"}, 2)
    lid = read.fasteners["lid"]
    assert (lid.type, lid.count, lid.holes, lid.holds, lid.into) == (
        "ISO 7380-1 M3x8",
        8,
        12,
        ("top",),
        ("side",),
    )
    assert (lid.grip.value, lid.depth.value, lid.plate.value, lid.mass.quantity.value) == (3, 6, 2, 0.5)
    assert (lid.washers, lid.nuts, lid.threadlock, lid.behind, lid.material) == (
        0,
        1,
        "blue",
        ("battery",),
        "steel",
    )
    long, none = read.options["fork"].values()
    assert (list(long.parts), list(long.fasteners), long.about) == (["tine"], ["tip"], "reach")
    assert (none.modules["blank"].use.design, none.settings["expo"].unit) == ("cover", "%")
    assert read.fitted == {"fork": "long"}
    gap = read.fits["gap"]
    assert (gap.need.low.value, gap.need.high.value, gap.about) == (1, 2, "lid")
    assert [term.coefficient for term in gap.chain] == [1, -2, 1]
    tray = read.bays["tray"]
    assert (tray.inside.height.value, tray.holds, tray.padding.value, tray.opening.height) == (
        20,
        ("battery",),
        0,
        None,
    )
    first, second = read.access["drive-left.gearbox"]
    assert (first.behind, first.undo, first.tools, first.about) == (("top",), ("lid",), ("hex 2",), "pull")
    assert second.undo == ("lid",)


def test_places_are_kept_for_every_key():
    places = design(WHOLE).places
    lines = WHOLE.split("\n")

    def at(*path):
        place = places[path]
        return lines[place.line - 1][place.column - 1 : place.end - 1]

    assert at("parts", "side") == "side"
    assert at("parts", "side", "outline") == "plates/avocet/side.dxf"
    assert at("parts", "side", "behind", 1) == "battery"
    assert at("parts", "top", "behind", 0) == "side"
    assert at("options", "fork", "long", "parts", "tine", "mass") == "31 g"
    assert at("modules", "drive-left") == "drive-left"
    assert at("modules", "drive-right", "fitted", "gears") == "gears"
    assert at("fits", "gap", "chain", 1) == "-2 * battery.height"
    assert at("next", 0) == "fix lid"
    assert at("access", "drive-left.gearbox", 1, "undo", 0) == "lid"


def test_a_module_has_no_class_and_no_size():
    assert design("module: pod\n", "module", "pod").kind == "module"
    assert problem("module: pod\nclass: 3lb\n", "module", "pod").code == "only-robots"
    assert problem("module: pod\nsize: 1 x 2 x 3 mm\n", "module", "pod").code == "only-robots"


def test_a_file_in_the_wrong_folder_says_which():
    assert "robots/" in problem("robot: pod\n", "module", "pod").mend
    assert "modules/" in problem("module: pod\n", "robot", "pod").mend


def test_the_name_is_that_of_the_file():
    found = problem("robot: avocett\n")
    assert (found.code, found.place.column) == ("file-name", 8)


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ("role: chassis}", "no `stock` and no `mass`"),
        ("stock: s}", "how large"),
        ("stock: s, area: 1 cm2, mass: 1 g}", "`stock` and a `mass`"),
        ("length: 1 mm, mass: 1 g}", "`mass` of its own and a `length`"),
        ("stock: s, area: 1 cm2, length: 1 mm}", "`area` and `length`"),
        ("stock: s, outline: plates/a.dxf, area: 1 cm2}", "`outline` and `area`"),
        ("area: 1 cm2}", "no `stock`"),
        ("mass: 1 g, ignore: x}", "no `outline`"),
        ("stock: s, area: 1 cm2, drawing_unit: mm}", "no `outline`"),
    ],
)
def test_a_part_is_exactly_one_of_three(keys, said):
    found = problem(PARTS + keys + "\n")
    assert found.code == "one-of"
    assert said in found.what
    assert found.place.line == 3


@pytest.mark.parametrize(
    ("keys", "code"),
    [
        ("mass: 1 g, count: 0", "number"),
        ("mass: 1 g, count: 1.5", "number"),
        ("mass: 1 g, count: 02", "leading-zero"),
        ("mass: 1 g, count: 10000000", "number"),
        ("mass: 1 g, role: weapons", "word"),
        ("mass: 1 g, marked: true", "word"),
        ("mass: 92", "quantity"),
        ("mass: 0 g", "quantity"),
        ("mass: 92 g wieghed", "quantity"),
        ("mass: 1 g, size: 68 x 35 mm", "quantity"),
        ("mass: 1 g, dims: {Height: 3 mm}", "name"),
        ("mass: 1 g, behind: Lid", "ref"),
        ("mass: 1 g, behind: [{a: b}]", "wrong-shape"),
        ("mass: 1 g, files: ../../secret", "path"),
        ("mass: 1 g, files: /etc/passwd", "path"),
        ("mass: 1 g, files: a\\b", "path"),
        ("mass: 1 g, files: .git/config", "path"),
        ("stock: s, outline: side.dxf", "path"),
        ("stock: s, outline: plates/side.svg", "path"),
        ('mass: 1 g, note: ""', "text"),
        ('mass: 1 g, note: " "', "text"),
        ("mass: 1 g, note: [a]", "wrong-shape"),
        ("mass: 1 g, notes: a", "unknown-key"),
    ],
)
def test_values_of_a_part_are_what_they_have_to_be(keys, code):
    assert problem(f"{PARTS}{keys}}}\n").code == code


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("robot: avocet\nmodules: {a: pod}\n", "build-ref"),
        ("robot: avocet\nmodules: {a: pod@git:HEAD}\n", "build-ref"),
        ("robot: avocet\nmodules: {a: {use: pod@A, turned: w 90}}\n", "turn"),
        ("robot: avocet\nmodules: {a: {use: pod@A, turned: [x]}}\n", "turn"),
        ("robot: avocet\nmodules: {a: {centre: 1 x 2 x 3 mm}}\n", "missing-key"),
        ("robot: avocet\nfasteners: {a: {type: M3, count: 1}}\n", "missing-key"),
        ("robot: avocet\nfits: {a: {need: at least 1 mm, chain: [a.b, 5]}}\n", "quantity"),
        ("robot: avocet\nfits: {a: {need: at least 1 mm, chain: a.b}}\n", "wrong-shape"),
        (
            "robot: avocet\nfits:\n  a:\n    need: at least 1 mm\n    chain:\n      - a.b\n      - - c.d\n",
            "dash",
        ),
        ("robot: avocet\nfits: {a: {need: at least 1 mm, chain: [a.b, - c.d]}}\n", "dash"),
        ("robot: avocet\nbays: {a: {inside: 1 x 2 mm, holds: x}}\n", "quantity"),
        ("robot: avocet\naccess: {a: {undo: x}}\n", "wrong-shape"),
        ("robot: avocet\naccess: {A: []}\n", "ref"),
        ("robot: avocet\ndrive: {ratio: -1}\n", "number"),
        ("robot: avocet\ndrive: {ratio: 1:22}\n", "number"),
        ("robot: avocet\ndrive: {ratio: 022}\n", "leading-zero"),
        ("robot: avocet\nstate: broken\n", "word"),
        ("robot: avocet\npacking: {a: 1}\n", "wrong-shape"),
        ("robot: avocet\npacking: [a: x]\n", "number"),
        ("robot: avocet\noptions: {fork: {Long: {}}}\n", "name"),
        ("robot: con\n", "reserved-name"),
    ],
)
def test_values_of_a_design_are_what_they_have_to_be(text, code):
    assert problem(text).code == code


def test_next_may_be_one_text():
    assert design("robot: avocet\nnext: fix lid\n").next == ("fix lid",)


def test_a_text_with_a_colon_that_became_a_mapping_says_to_quote_it():
    found = problem("robot: avocet\nnext: [lid: fix it]\n")
    assert (found.code, "quotes" in found.mend) == ("wrong-shape", True)


def test_a_very_long_text_is_no_quantity_and_no_step():
    blank = " " * 100_000
    assert problem(f'{PARTS}mass: "5 g{blank}!"}}\n').code == "quantity"
    assert problem(f'robot: avocet\nmodules: {{b: {{use: c@A, turned: "x 90{blank}!"}}}}\n').code == "turn"
    assert problem(f"robot: avocet\nstate: {'a' * 100_000}\n").code == "word"
