"""References of a design: what is not there is told at its place, with the nearest that is."""

import pytest

from lineage.spec.assembly import Spec
from lineage.spec.design_file import read_design
from lineage.spec.family_file import read_family
from lineage.spec.links import check_family, check_links
from lineage.spec.records import BuildRef

MATERIALS = {"polycarbonate", "uhmw-pe", "steel"}
FAMILY = """\
family: Waders
classes: {3lb: {limit: 3 lb}}
materials: {pla-cf: {density: 1.3 g/cm3}, foam: {about: nothing known}}
stock:
  pc-3: {material: polycarbonate, thickness: 3 mm}
  rod: {material: steel, section: 6 mm round}
  thin: {material: steel, thickness: 1 mm}
  foam-10: {material: foam, thickness: 10 mm}
"""
POD = """\
module: drive-pod
parts:
  gearbox: {mass: 80 g, size: 40 x 20 x 20 mm}
  wheel: {mass: 20 g, dims: {diameter: 50 mm, lean: 3 deg}}
options: {gears: {slow: {parts: {slow-set: {mass: 9 g}}}, fast: {parts: {fast-set: {mass: 8 g}}}}}
fitted: {gears: slow}
"""
ROBOT = """\
robot: avocet
class: 3lb
parts:
  side: {stock: pc-3, area: 20 cm2, dims: {bay-height: 22 mm}}
  axle: {stock: rod, length: 60 mm}
  deck: {stock: pc-3, area: 30 cm2}
  battery: {mass: 92 g, size: 68 x 35 x 17 mm, behind: deck}
modules: {drive-left: drive-pod@B, drive-right: {use: drive-pod@B, fitted: {gears: fast}, behind: [deck]}}
fasteners: {deck-screws: {type: M3x8 button, count: 4, holds: deck, into: [side, drive-left.gearbox], behind: battery}}
options:
  fork:
    long: {parts: {tine-long: {mass: 31 g, size: 90 x 10 x 4 mm}}}
    short: {parts: {tine-short: {mass: 24 g, size: 60 x 10 x 4 mm}}}
fitted: {fork: long}
fits: {over-battery: {need: at least 1 mm, chain: [side.bay-height, -battery.height, -2 * deck.thickness, 1 mm]}}
bays: {tray: {inside: 70 x 40 x 20 mm, holds: [battery]}}
access: {drive-left.gearbox: [{behind: [deck], undo: [deck-screws]}]}
"""


def read(text, kind, label="now"):
    name = text.partition("\n")[0].partition(": ")[2]
    got = read_design(text.encode(), f"{name}.yaml", kind, name)
    assert got.problems == (), got.problems
    family = read_family(FAMILY.encode()).record
    return Spec(ref=BuildRef(name, label), design=got.record, family=family, file=f"{name}.yaml")


def problems_of(robot, *modules, known=()):
    specs = {spec.ref: spec for spec in modules or (read(POD, "module", "B"),)}
    return check_links(robot, specs.get, MATERIALS, known)


def only(text, **others):
    problems = problems_of(read(text, "robot"), **others)
    assert len(problems) == 1, problems
    return problems[0]


def test_a_design_whose_references_are_all_there_has_no_problems():
    assert problems_of(read(ROBOT, "robot")) == ()


@pytest.mark.parametrize(
    ("old", "new", "code", "cure"),
    [
        ("behind: deck}", "behind: dek}", "unknown-ref", "write `deck`"),
        ("holds: deck,", "holds: [deck, sides],", "unknown-ref", "write `side`"),
        ("into: [side, drive-left.gearbox]", "into: drive-left.gear-box", "unknown-ref", "write `drive-left.gearbox`"),
        ("into: [side, drive-left.gearbox]", "into: drive-lft.gearbox", "unknown-ref", "write `drive-left`"),
        ("into: [side, drive-left.gearbox]", "into: gearbox", "unknown-ref", "write `drive-left.gearbox`"),
        ("behind: battery}", "behind: battery.cell}", "unknown-ref", "write `battery`"),
        ("holds: [battery]", "holds: [batery]", "unknown-ref", "write `battery`"),
        ("access: {drive-left.gearbox", "access: {drive-left.gerbox", "unknown-ref", "write `drive-left.gearbox`"),
        ("undo: [deck-screws]", "undo: [deck-screw]", "unknown-ref", "write `deck-screws`"),
        ("-battery.height", "-batteri.height", "unknown-ref", "write `battery`"),
        ("-battery.height", "-battery.hight", "unknown-dim", "write `height`"),
        ("-battery.height", "-axle.thickness", "unknown-dim", "add `thickness`"),
        ("-battery.height", "-side.height", "unknown-dim", "write `bay-height`"),
        ("-battery.height", "-drive-left.height", "unknown-dim", "name the part"),
        ("-battery.height", "-drive-left.gears.height", "unknown-dim", "add `height`"),
        ("-battery.height", "-drive-left.wheel.lean", "wrong-unit", "two fits"),
        ("at least 1 mm, chain: [side.bay-height, -battery.height, -2 * deck.thickness, 1 mm]",
         "at most 3 deg, chain: [drive-left.wheel.lean, 1 mm]", "wrong-unit", "two fits"),
        ("behind: [deck]}}", "behind: drive-right.gearbox}}", "behind-itself", "delete it"),
        ("undo: [deck-screws]", "undo: [drive-left.gearbox]", "behind-itself", "delete it"),
        ("17 mm, behind: deck", "17 mm, behind: battery", "behind-itself", "delete it"),
        ("{mass: 31 g,", "{mass: 31 g, behind: fork,", "behind-itself", "delete it"),
        ("holds: deck,", "holds: [],", "holds-nothing", "name what it holds"),
        ("holds: [battery]", "holds: []", "holds-nothing", "name what it holds"),
        ("chain: [side.bay-height, -battery.height, -2 * deck.thickness, 1 mm]", "chain: []", "holds-nothing", "name"),
        ("tine-short: {", "side: {", "double-name", "another name"),
        ("tine-short: {", "tine-long: {", "double-name", "another name"),
        ("fasteners: {", "fasteners: {drive-left: {type: M3x8 button, count: 1, holds: deck}, ", "double-name", "another name"),
        ("class: 3lb", "class: 3lbs", "unknown-class", "write `3lb`"),
        ("stock: pc-3, area: 20 cm2", "stock: pc-4, area: 20 cm2", "unknown-stock", "write `pc-3`"),
        ("stock: rod, length", "stock: pc-3, length", "stock-lacks", "another stock"),
        ("stock: pc-3, area: 20 cm2", "stock: rod, area: 20 cm2", "stock-lacks", "another stock"),
        ("stock: pc-3, area: 20 cm2", "stock: foam-10, area: 20 cm2", "stock-lacks", "add it to the stock"),
        ("parts:\n", "stock: {odd: {material: polycarbonat, thickness: 1 mm}}\nparts:\n", "unknown-material", "write `polycarbonate`"),
        ("fitted: {fork: long}\n", "", "not-fitted", "fitted"),
        ("fitted: {fork: long}", "fitted: {fork: log}", "unknown-choice", "write `long`"),
        ("fitted: {fork: long}", "fitted: {fork: long, forks: long}", "unknown-option", "write `fork`"),
        ("{gears: fast}", "{gears: faster}", "unknown-choice", "write `fast`"),
        ("{gears: fast}", "{gear: fast}", "unknown-option", "write `gears`"),
        ("drive-right: {use: drive-pod@B", "drive-right: {use: drive-pod@C", "unknown-build", "write `drive-pod@B`"),
    ],
)  # fmt: skip
def test_what_is_not_there_is_told_at_its_place(old, new, code, cure):
    text = ROBOT.replace(old, new, 1)
    problem = only(text, known=("drive-pod@B",))
    assert problem.code == code
    assert cure in problem.mend
    start = ROBOT.index(old) if new else text.index("  fork:")
    first, last = text.count("\n", 0, start) + 1, text.count("\n", 0, start + len(new)) + 1
    assert first <= problem.place.line <= last


def test_a_material_with_a_density_of_its_own_is_only_doubted():
    text = ROBOT.replace(
        "parts:\n", "stock: {odd: {material: polycarbonat, thickness: 1 mm, density: 1.2 g/cm3}}\nparts:\n"
    )
    assert (only(text).code, only(text).level) == ("unknown-material", "warning")
    foreign = text.replace("polycarbonat,", "moon-cheese,")
    assert problems_of(read(foreign, "robot")) == ()


def test_the_build_that_a_design_grew_out_of_is_only_doubted():
    problem = only(
        ROBOT.replace("class: 3lb", "class: 3lb\nfrom: turnston@B"), known=("turnstone", "drive-pod")
    )
    assert (problem.code, problem.level, problem.mend) == ("unknown-build", "warning", "write `turnstone@B`")


def test_an_option_with_one_part_in_every_choice_can_stand_in_a_chain():
    assert problems_of(read(ROBOT.replace("-battery.height", "-fork.height"), "robot")) == ()


def test_references_into_a_module_that_cannot_be_read_are_not_judged():
    robot = read(ROBOT, "robot")
    assert [p.code for p in check_links(robot, lambda _: None, MATERIALS)] == [
        "unknown-build",
        "unknown-build",
    ]


def test_a_robot_is_no_module():
    text = "module: drive-pod\nparts: {gearbox: {mass: 80 g}}\n".replace("module", "robot")
    robot = read("robot: avocet\nmodules: {a: drive-pod@B}\n", "robot")
    assert [p.code for p in problems_of(robot, read(text, "robot", "B"))] == ["not-a-module"]


def test_the_ring_of_modules_is_spelled_out():
    a = read("module: a\nmodules: {x: b@A}\n", "module", "A")
    b = read("module: b\nmodules: {y: c@A}\n", "module", "A")
    c = read("module: c\nmodules: {z: a@A}\n", "module", "A")
    problems = problems_of(a, b, c)
    assert [p.code for p in problems] == ["module-ring"]
    assert "a → b → c → a" in problems[0].what


def test_a_ring_further_down_is_told_too():
    a = read("module: a\nmodules: {x: b@A}\n", "module", "A")
    b = read("module: b\nmodules: {y: b@A}\n", "module", "A")
    for design in (a, b):
        assert [p.what for p in problems_of(design, b)] == ["modules go round in a circle: b → b"]


def test_family_materials_are_like_built_in_ones():
    text = FAMILY.replace("{density: 1.3 g/cm3}", "{like: steal}").replace(
        "steel, section", "steeel, section"
    )
    problems = check_family(read_family(text.encode()).record, MATERIALS)
    assert [(p.code, p.mend) for p in problems] == [
        ("unknown-like", "write `steel`"),
        ("unknown-material", "write `steel`"),
    ]
    assert check_family(read_family(FAMILY.encode()).record, MATERIALS) == ()
