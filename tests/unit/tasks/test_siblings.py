"""Two robots of different weight classes side by side, against an answer that was worked out by hand.

By hand, from the text below. Sheet of 2 mm and 2800 kg/m3 is 0.56 g/cm2: heron's side 100 cm2 is 56 g, teal's 50 cm2
28 g; of limits of 1000 g and 500 g both are 5.6 %. The scoop and the blade are the one front that each has: 120 g
and 60 g, 12 % each. Both carry the pod, heron build A (20 g, 2 %), teal build B (22 g, 4.4 %). The pack is the same.
Only heron has a weapon (200 g, 20 %), only teal a lamp (3 g, 0.6 %). heron comes to 56 + 120 + 90 + 20 + 200 = 486 g,
teal to 28 + 60 + 90 + 22 + 3 = 203 g. With pod B heron would be 2 g heavier, and its clearance 20 − 19 = 1 mm instead
of 20 − 16 = 4 mm, where it needs 2 mm. teal went from A to B: its gearbox broke in 3 of 4 bouts, then in none of 4.
"""

import pytest

from lineage.reports.text.compare import compare_text
from lineage.tasks.compare import compare
from lineage.tasks.states import Asker
from tests.in_memory import InMemory, note

FAMILY = """\
family: Waders
classes: {big: {limit: 1000 g}, small: {limit: 500 g}}
stock: {al-2: {material: aluminium-7075, thickness: 2 mm, density: 2800 kg/m3}}
"""
POD = "module: pod\nparts: {gearbox: {role: drive, mass: MASS, size: 20 x 16 x HIGH mm}}\n"
HERON = """\
robot: heron
class: big
parts:
  side: {role: chassis, stock: al-2, area: 100 cm2}
  scoop: {role: front, mass: 120 g}
  pack: {role: power, mass: 90 g, item: 3-cell pack}
  disc: {role: weapon, mass: 200 g}
modules: {drive: {use: pod@A, role: drive}}
fits: {clear: {need: at least 2 mm, chain: [20 mm, -drive.gearbox.height]}}
"""
TEAL = """\
robot: teal
class: small
parts:
  side: {role: chassis, stock: al-2, area: 50 cm2}
  blade: {role: front, mass: 60 g}
  pack: {role: power, mass: 90 g, item: 3-cell pack}
  lamp: {mass: 3 g}
modules: {wheels: {use: pod@LABEL, role: drive}}
"""
EVENTS = {
    "bouts/2025-01-05-meet.yaml": "".join(
        f"- {{robot: teal, bout: {n}, build: A, outcome: won{broke}}}\n"
        for n, broke in enumerate([", broke: [{at: wheels.gearbox, mode: stripped}]"] * 3 + [""], 1)
    ),
    "bouts/2025-03-05-meet.yaml": "".join(
        f"- {{robot: teal, bout: {n}, build: B, outcome: won}}\n" for n in range(1, 5)
    ),
}


@pytest.fixture(scope="module")
def view():
    family = InMemory(EVENTS, family=FAMILY)
    family.record("pod", "A", "2025-01-01", POD.replace("MASS", "20 g").replace("HIGH", "16"))
    family.record("heron", "A", "2025-01-02", HERON)
    family.record("teal", "A", "2025-01-02", TEAL.replace("LABEL", "A"))
    family.record(
        "pod", "B", "2025-03-01", POD.replace("MASS", "22 g").replace("HIGH", "19"),
        notes=[note("gearbox", why="teeth stripped")],
    )  # fmt: skip
    family.record("teal", "B", "2025-03-02", TEAL.replace("LABEL", "B"))
    return compare(Asker(family.workspace()).states(["heron@A", "teal@B"]))


def test_what_both_have_is_alike_or_the_same_idea_done_otherwise(view):
    things = view.pairs[0].by_thing
    assert [(both.before, both.by) for both in things.alike] == [("pack", "name")]
    assert {(b.before, b.after, b.by, b.idea): (b.mass_g, b.of_limit, b.changes) for b in things.otherwise} == {
        ("side", "side", "name", "chassis"): (
            pytest.approx((56, 28)), pytest.approx((0.056, 0.056)), ("outline:side",),
        ),
        ("scoop", "blade", "role", "front"): (
            pytest.approx((120, 60)), pytest.approx((0.12, 0.12)), ("part swapped:blade",),
        ),
        ("drive", "wheels", "lineage", "pod"): (
            pytest.approx((20, 22)), pytest.approx((0.02, 0.044)), ("module moved on:wheels",),
        ),
    }  # fmt: skip


def test_what_only_one_has_is_told_with_its_share_of_its_own_limit(view):
    things = view.pairs[0].by_thing
    assert [(t.ref, t.what, t.mass_g, t.of_limit) for t in things.only_before] == [
        ("disc", "weapon", 200, 0.2)
    ]
    assert [(t.ref, t.what, t.mass_g, t.of_limit) for t in things.only_after] == [("lamp", "other", 3, 0.006)]
    assert set(things.whole) == {
        "fit:clear", "text:class", "text:family.class.limit",
    }  # fmt: skip


def test_nothing_that_differs_is_left_out_and_the_masses_add_up(view):
    (pair,) = view.pairs
    things = pair.by_thing
    told = {id_ for both in things.otherwise for id_ in both.changes} | set(things.whole)
    alone = {thing.ref for thing in (*things.only_before, *things.only_after)}
    left = [c for c in pair.changes if c.id not in told and c.where not in alone and c.kind != "part renamed"]
    assert left == []
    for side, alone_there, total in ((0, things.only_before, 486), (1, things.only_after, 203)):
        both = sum(thing.mass_g[side] for thing in (*things.alike, *things.otherwise))
        assert both + sum(thing.mass_g for thing in alone_there) == pytest.approx(total)


def test_who_lags_is_told_what_moving_on_would_bring_and_what_is_known_of_it(view):
    (lag,) = view.shared.behind
    assert (lag.design, lag.module, lag.places, lag.label, lag.newest) == (
        "heron@A",
        "pod",
        ("drive",),
        "A",
        "B",
    )
    assert lag.mass_g == pytest.approx(2)
    assert (lag.gaps_mm["clear"].before, lag.gaps_mm["clear"].after) == pytest.approx((4, 1))
    assert lag.misses == ("clear",)
    (step,) = lag.steps
    assert (step.before, step.after, step.why) == ("A", "B", ("teeth stripped",))
    assert [(c.id, c.effect.mass_g) for c in step.changes] == [
        ("mass:gearbox", pytest.approx(2)),
        ("text:gearbox", 0),
    ]
    assert step.evidence.before == {"failures": 3, "exposure": 4}
    assert step.evidence.after == {"failures": 0, "exposure": 4}


def test_siblings_do_not_rename_each_others_things(view):
    texts = [change.text for change in view.pairs[0].changes if change.kind == "part renamed"]
    assert texts == ["drive of heron answers to wheels, by lineage"]


def test_the_same_is_said_at_a_terminal_within_80_columns(view):
    text = compare_text(view)
    for line in (
        "pod: heron@A is 1 build behind (A → B) at drive",
        "would miss its need: clear",
        "Failed in 3 of 4 → 0 of 4 bouts",
        "scoop = blade (front, the same role): 120.0 g → 60.0 g, 12 % → 12 % of the limit",
        "Only in heron@A",
    ):
        assert line in text
    assert max(map(len, text.splitlines())) <= 80


@pytest.mark.parametrize("asked", [("heron@A", "heron@A"), ("teal@A", "teal@B")])
def test_builds_of_one_design_are_told_change_by_change(asked):
    family = InMemory(family=FAMILY)
    family.record("pod", "A", "2025-01-01", POD.replace("MASS", "20 g").replace("HIGH", "16"))
    family.record("heron", "A", "2025-01-02", HERON)
    family.record("teal", "A", "2025-01-02", TEAL.replace("LABEL", "A"))
    family.record("teal", "B", "2025-01-03", TEAL.replace("LABEL", "A").replace("3 g", "4 g"))
    view = compare(Asker(family.workspace()).states(asked))
    assert view.pairs[0].by_thing is None
    assert view.shared.behind == ()
