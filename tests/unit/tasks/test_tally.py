"""The tally of changes by kind: what is one change, what is one verdict, what is not known."""

import pytest

from lineage.spec.records import Expectation
from lineage.tasks.pairs import pair
from lineage.tasks.states import Asker, State
from lineage.tasks.tally import tally
from tests.in_memory import InMemory, note

POD = "module: pod\nparts: {{gearbox: {{mass: {} g}}, motor: {{mass: 41 g}}}}\n"


def wren(pod="A", lid="mass: 20 g", robot="wren"):
    return f"robot: {robot}\nparts: {{lid: {{{lid}}}, tag: {{mass: 1 g}}}}\nmodules: {{left: pod@{pod}, right: pod@{pod}}}\n"


def tallied(family):
    return {found.kind: found for found in tally(Asker(family.workspace()))}


@pytest.fixture
def two_robots():
    family = InMemory()
    for label, mass in (("A", 23), ("B", 25)):
        family.record("pod", label, "2025-01-01", POD.format(mass))
    for robot in ("wren", "owl"):
        for label, day in (("A", "2025-01-05"), ("B", "2025-03-01")):
            family.record(robot, label, day, wren(label, robot=robot))
    for day, build, broke in (("2025-01-06", "A", "left.gearbox"), ("2025-03-06", "B", None)):
        damage = f", broke: [{{at: {broke}, mode: bent}}]" if broke else ""
        lines = (
            f"- {{robot: {robot}, bout: {bout}, build: {build}, outcome: won{damage}}}\n"
            for robot in ("wren", "owl")
            for bout in range(5)
        )
        family.write({f"bouts/{day}-meet.yaml": "".join(lines)})
    return family


def test_a_module_step_is_one_change_of_a_design_and_one_verdict_of_the_family(two_robots):
    found = tallied(two_robots)["module moved on"]
    assert (found.changes, found.verdicts) == (2, {"helped": 1})
    assert found.mass_g == pytest.approx(2 * 2 * 2)


def test_grams_are_those_of_the_comparisons_and_what_has_none_is_counted_apart():
    family = InMemory()
    family.record("pod", "A", "2025-01-01", POD.format(23))
    family.record("wren", "A", "2025-01-05", wren())
    family.record("wren", "B", "2025-02-05", wren(lid="stock: pc-3, area: 50 cm2"))
    nutted = "fasteners: {deck: {type: 4-40 x 1/2 in cap, count: 2, nuts: 1, holds: tag, into: lid}}\n"
    family.record("wren", "C", "2025-03-05", wren(lid="stock: pc-3, area: 60 cm2") + nutted)
    found = tallied(family)
    workspace = family.workspace()
    asker = Asker(workspace)
    compared = {}
    for before, after in (("A", "B"), ("B", "C")):
        for change in pair(asker.state(f"wren@{before}"), asker.state(f"wren@{after}")).changes:
            compared.setdefault(change.kind, []).append(change.effect.mass_g)
    assert isinstance(asker.state("wren@A"), State)
    assert {kind: row.changes for kind, row in found.items()} == {k: len(v) for k, v in compared.items()}
    for kind, masses in compared.items():
        assert found[kind].mass_g == pytest.approx(sum(mass for mass in masses if mass is not None))
        assert found[kind].mass_not_known == masses.count(None)
    assert any(row.mass_not_known for row in found.values())


def test_what_is_only_described_better_is_no_change():
    family = InMemory()
    family.record("pod", "A", "2025-01-01", POD.format(23))
    family.record("wren", "A", "2025-01-05", wren())
    family.record(
        "wren", "B", "2025-02-05", wren(lid="mass: 21 g weighed"), notes=[note("lid", described_better=True)]
    )
    assert tallied(family) == {}


def test_an_expectation_about_several_places_counts_once(two_robots):
    expected = Expectation(figure="failures", about="left.gearbox", relation="less", text="less")
    two_robots.record("wren", "C", "2025-04-01", wren("A"), notes=[note("left", "right", expect=(expected,))])
    lines = "".join(
        f"- {{robot: wren, bout: {bout}, build: C, outcome: won, broke: [{{at: left.gearbox, mode: bent}}]}}\n"
        for bout in range(5)
    )
    two_robots.write({"bouts/2025-04-06-meet.yaml": lines})
    found = tallied(two_robots)["module moved on"]
    assert (found.kept, found.judged) == (0, 1)
    assert found.verdicts == {"helped": 1, "made it worse": 1}
