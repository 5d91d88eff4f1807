"""The work list before an event: from the last build to the working files, with what is inspected and allowed."""

from lineage.reports.text.todo import todo_text
from lineage.reports.views.cautions import LITHIUM, OVER_ALL
from lineage.tasks.events import event_named
from lineage.tasks.states import Asker
from lineage.tasks.todo import todo
from tests.in_memory import InMemory

FAMILY = """\
family: Waders
classes: {big: {limit: 1000 g, size: 300 x 300 x 200 mm, inspect: [link out within 60 s]}}
stock: {al-2: {material: aluminium-7075, thickness: 2 mm, density: DENSITY kg/m3, sheet: 500 x 300 mm}}
"""
WREN = "robot: wren\nclass: big\nsize: 250 x 200 x 90 mm\nparts:\n  lid: {stock: al-2, area: AREA cm2}\n"
EVENT = (
    "event: Meet\nlimits: {big: 950 g}\nsize: 240 x 240 mm\nfloor: steel\ninspect: [flag on the antenna]\n"
)


def asked(*refs: str, area: str = "100", event: str | None = None, density: str = "2800"):
    family = InMemory({"events/2025-05-01-meet.yaml": EVENT}, family=FAMILY.replace("DENSITY", "2800"))
    family.record("wren", "A", "2025-01-01", WREN.replace("AREA", "100"))
    family.write(
        {"family.yaml": FAMILY.replace("DENSITY", density), "robots/wren.yaml": WREN.replace("AREA", area)}
    )
    workspace = family.workspace()
    return todo(Asker(workspace), refs, event_named(workspace, event) if event else None)


def test_one_design_is_from_its_last_build_to_the_working_files():
    found = asked("wren", area="120")
    assert (found.before, found.after) == ("wren@A", "wren@now")
    assert [(cut.ref, cut.count) for cut in found.todo.cut] == [("lid", 1)]
    assert found.limits is None


def test_for_an_event_its_own_limits_sizes_and_points_are_told_beside_those_of_the_class():
    # lid of 100 cm2 · 2 mm · 2.8 g/cm3 = 56 g, 894 g under the event's own 950 g; 250 mm is longer than its 240 mm
    found = asked("wren", event="2025-05-01-meet")
    assert found.inspect == ("link out within 60 s", "flag on the antenna")
    assert (found.limits.event, found.limits.class_, found.limits.limit_g) == ("Meet", "big", 950)
    assert found.limits.size == "300 x 300 x 200 mm and 240 x 240 mm"
    assert found.limits.size_ok is False
    text = todo_text(found)
    for line in (
        "class big: at most 950.0 g",
        "size 300 x 300 x 200 mm and 240 x 240 mm: TOO LARGE",
        "floor: steel",
    ):
        assert line in text


def test_deep_inside_a_module_a_thing_that_was_renamed_there_is_the_same_piece():
    family = InMemory()
    pod = "module: pod\nparts: {{{name}: {{mass: 3 g, process: print, material: petg}}}}\nmodules: {{hub: hub@{hub}}}\n"
    hub = "module: hub\nparts: {{{name}: {{mass: 2 g, process: print, material: petg}}}}\n"
    robot = "robot: wren\nparts: {{lid: {{mass: 9 g}}}}\nmodules: {{{place}: pod@{label}}}\n"
    family.record("hub", "A", "2025-01-01", hub.format(name="cap"))
    family.record("hub", "B", "2025-02-01", hub.format(name="cover"), renames={"cap": "cover"})
    family.record("pod", "A", "2025-01-02", pod.format(name="shim", hub="A"))
    family.record("pod", "B", "2025-02-02", pod.format(name="spacer", hub="B"), renames={"shim": "spacer"})
    family.record("wren", "A", "2025-01-03", robot.format(place="left", label="A"))
    family.record("wren", "B", "2025-02-03", robot.format(place="port", label="B"), renames={"left": "port"})
    asker = Asker(family.workspace())
    there = todo(asker, ("wren@A", "wren@B"), deep=True).todo
    assert (there.print, there.scrap, there.keep) == ((), (), ("lid", "port.spacer", "port.hub.cover"))
    back = todo(asker, ("wren@B", "wren@A"), deep=True).todo
    assert (back.print, back.scrap, back.keep) == ((), (), ("lid", "left.shim", "left.hub.cap"))


def test_a_density_that_was_weighed_since_is_no_work():
    found = asked("wren", density="2650")
    assert (found.todo.cut, found.todo.scrap, found.todo.keep) == ((), (), ("lid",))
    assert "Nothing to cut, buy or rework." in todo_text(asked("wren"))


def test_what_is_taken_out_is_still_in_the_robot_that_is_worked_on():
    family = InMemory(family=FAMILY.replace("DENSITY", "2800"))
    family.record(
        "wren", "A", "2025-01-01", WREN.replace("AREA", "100") + "  pack: {mass: 60 g, cells: lithium}\n"
    )
    family.write({"robots/wren.yaml": WREN.replace("AREA", "100")})
    found = todo(Asker(family.workspace()), ("wren",))
    assert LITHIUM in found.cautions
    assert found.cautions[-1] == OVER_ALL
