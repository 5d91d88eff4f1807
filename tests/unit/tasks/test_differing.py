"""Two states against each other: effects add up, notes follow names, what is described better is no work."""

import pytest

from lineage.tasks.differing import step_between
from lineage.tasks.pairs import pair
from tests.in_memory import InMemory, note

PLATE = "robot: wren\nparts: {{lid: {{{}}}, box: {{mass: 5 g}}}}\n"


def test_a_part_weighed_in_one_sibling_only_is_told_by_a_change_of_its_own():
    made = InMemory()
    for robot in ("wren", "owl"):
        made.record(robot, "A", "2025-01-01", PLATE.format("mass: 20 g").replace("wren", robot))
    made.write({"results/owl.yaml": "- {on: 2025-01-02, kind: mass, build: A, of: lid, is: 21.5 g}\n"})
    workspace = made.workspace()
    found = pair(made.state("wren@A", workspace), made.state("owl@A", workspace))
    assert [(change.id, change.effect.mass_g) for change in found.changes] == [
        ("mass:lid", pytest.approx(1.5))
    ]
    assert found.totals.mass_g.change == pytest.approx(1.5)
    assert "nothing was edited" in found.changes[0].text


def test_a_module_used_as_its_working_files_weighs_another_mass_without_an_edit():
    made = InMemory({"modules/pod.yaml": "module: pod\nparts: {motor: {mass: 41 g}}\n"})
    text = "robot: wren\nparts: {lid: {mass: 20 g}}\nmodules: {left: pod@now}\n"
    made.write({"robots/wren.yaml": text})
    before = made.state("wren@now")
    other = InMemory(
        {"modules/pod.yaml": "module: pod\nparts: {motor: {mass: 44 g}}\n", "robots/wren.yaml": text}
    )
    step = step_between(before, other.state("wren@now"))
    assert [(change.id, step.mass.shares[change.id].mass_g) for change in step.changes] == [
        ("mass:left", pytest.approx(3))
    ]


@pytest.fixture(scope="module")
def described() -> InMemory:
    made = InMemory()
    made.record("wren", "A", "2025-01-01", PLATE.format("mass: 20 g guess"))
    better = PLATE.format("stock: pc-3, area: 60 cm2")
    made.record(
        "wren", "B", "2025-02-01", better, notes=[note("lid", described_better=True), note("box", why="none")]
    )
    made.record("wren", "C", "2025-03-01", better.replace("60 cm2", "66 cm2"))
    return made


def step(made: InMemory, before: str, after: str):
    workspace = made.workspace()
    return pair(made.state(before, workspace), made.state(after, workspace))


def test_what_is_described_better_is_no_work_though_its_grams_are_told(described):
    found = step(described, "wren@A", "wren@B")
    (change,) = found.changes
    assert (change.id, change.described_better) == ("mass:lid", True)
    assert change.effect.mass_g == pytest.approx(1.6)
    assert (found.todo.cut, found.todo.scrap, found.todo.keep) == ((), (), ("lid", "box"))


def test_over_a_step_that_really_changed_it_the_work_is_there(described):
    found = step(described, "wren@A", "wren@C")
    assert [(change.id, change.described_better) for change in found.changes] == [("mass:lid", False)]
    assert [(cut.ref, cut.count) for cut in found.todo.cut] == [("lid", 1)]


def test_notes_of_earlier_builds_are_found_under_later_names():
    made = InMemory()
    made.record("wren", "A", "2025-01-01", PLATE.format("mass: 20 g"))
    heavier = PLATE.format("mass: 22 g")
    made.record("wren", "B", "2025-02-01", heavier, notes=[note("lid", why="it bent", for_=("lid",))])
    made.record("wren", "C", "2025-03-01", heavier.replace("lid:", "deck:"), renames={"lid": "deck"})
    found = step(made, "wren@A", "wren@C")
    (change,) = [change for change in found.changes if change.kind != "part renamed"]
    # under another name another mass would be another part, by the rule; its why is the same
    assert (change.where, [n.why for n in change.notes], change.notes[0].for_) == (
        "deck",
        ["it bent"],
        ("deck",),
    )


def test_the_effects_add_up_to_the_totals_in_mass_and_in_every_gap():
    made = InMemory()
    text = """\
robot: wren
parts:
  side: {stock: pc-3, area: 60 cm2, count: 2, dims: {bay: 22 mm}}
  battery: {mass: 92 g, size: 68 x 35 x 17 mm}
fits: {clear: {need: at least 1 mm, chain: [side.bay, -battery.height]}}
"""
    made.record("wren", "A", "2025-01-01", text)
    after = (
        text.replace("count: 2", "count: 3")
        .replace("60 cm2", "50 cm2")
        .replace("22 mm", "21 mm")
        .replace("x 17", "x 16")
    )
    made.record("wren", "B", "2025-02-01", after)
    found = step(made, "wren@A", "wren@B")
    assert sum(change.effect.mass_g for change in found.changes) == pytest.approx(
        found.totals.mass_g.change, abs=1e-9
    )
    gaps = sum(change.effect.gaps_mm.get("clear", 0.0) for change in found.changes)
    assert gaps == found.totals.gaps_mm["clear"].change == 0.0
    assert {c.id: c.effect.gaps_mm for c in found.changes if c.effect.gaps_mm} == {
        "text:side": {"clear": -1.0},
        "text:battery": {"clear": 1.0},
    }
