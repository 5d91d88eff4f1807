"""The sample family's history told end to end: why each build was made, what it did, and what was learned."""

from itertools import pairwise

import pytest
from msgspec import to_builtins

from lineage.tasks.history import history
from lineage.tasks.states import Asker
from lineage.tasks.workspace import open_family
from tests.program import fine

ROBOTS = ("avocet", "dunlin", "turnstone", "whimbrel")
MODULES = ("drive-pod", "power-tray", "switch-plate", "weapon-head", "wheel-hub")


class Told(dict):
    """Histories as the program's JSON has them, each when it is first asked for, of one reading of the family."""

    def __init__(self, root) -> None:
        self.asker = Asker(open_family(root))

    def __missing__(self, design):
        self[design] = to_builtins(history(self.asker, design))
        return self[design]


@pytest.fixture(scope="module")
def told(demo):
    return Told(demo)


def step(told, build):
    design, _, label = build.partition("@")
    return next(step for step in told[design]["steps"] if step["label"] == label)


@pytest.mark.parametrize("design", (*ROBOTS, *MODULES))
def test_every_build_says_why_it_was_made_and_its_changes_come_to_its_new_mass(told, design):
    steps = told[design]["steps"]
    assert [s["label"] for s in steps] == list("ABCDE")[: len(steps)]
    assert [s["before"] for s in steps] == [None, *(s["label"] for s in steps[:-1])]
    assert all(s["why"] for s in steps)
    assert all(s["on"] < after["on"] for s, after in pairwise(steps))
    for before, after in pairwise(steps):
        assert after["changes"]
        effects = [change["effect"]["mass_g"] for change in after["changes"]]
        if None not in effects:
            moved = after["figures"]["mass_g"] - before["figures"]["mass_g"]
            assert sum(effects) == pytest.approx(moved, abs=1e-9)


def test_avocet_grew_from_a_sibling_that_had_moved_on(told):
    assert told["avocet"]["grew"] == {"build": "turnstone@A", "newer": ("B",)}
    assert told["turnstone"]["grew"] is None


@pytest.mark.parametrize(
    ("build", "why", "changed"),
    [
        ("avocet@B", "seventeen grams over the limit", "outline:top-deck"),
        ("avocet@D", "the idler keeps the belt tight, no more thrown belts", "module moved on:weapon"),
        ("turnstone@D", "telemetry tells when the pack is low", "part swapped:receiver"),
        ("whimbrel@C", "a thinner blade lies flatter and gets under everything", "thickness:blade"),
        ("drive-pod@B", "brass gears lost their teeth in every third bout", "part swapped:gearbox"),
    ],
)
def test_the_reason_stands_at_the_change_that_was_made_for_it(told, build, why, changed):
    change = next(change for change in step(told, build)["changes"] if change["id"] == changed)
    assert why in [note["why"] for note in change["notes"]]


@pytest.mark.parametrize(
    ("lesson", "taught", "answered"),
    [
        ("steel-gears", "drive-pod@A", "drive-pod@B"),
        ("belt-tension", "weapon-head@A", "weapon-head@B"),
        ("latch-the-plug", "power-tray@A", "power-tray@B"),
        ("steel-gears", "whimbrel@A", "whimbrel@B"),
    ],
)
def test_what_a_build_taught_is_answered_by_a_later_one(told, lesson, taught, answered):
    for build, answers in ((taught, False), (answered, True)):
        found = [seen for seen in step(told, build)["learned"] if seen["lesson"] == lesson]
        assert [seen["answers"] for seen in found] == [answers]


def test_a_lesson_that_came_back_says_so_where_it_was_answered(told):
    (seen,) = [seen for seen in step(told, "weapon-head@B")["learned"] if seen["lesson"] == "belt-tension"]
    assert seen["state"] == "came back"


@pytest.mark.parametrize(
    ("build", "mode"),
    [
        ("avocet@A", "put in the wrong way round"),
        ("avocet@B", "puffed"),
        ("drive-pod@A", "cracked while tapping"),
    ],
)
def test_snags_are_told_with_the_build_that_had_them(told, build, mode):
    assert mode in [snag["mode"] for snag in step(told, build)["snags"]]


def test_what_helped_and_what_did_not_is_told_where_it_was_done(told):
    def verdict(build, change):
        return next(c for c in step(told, build)["changes"] if c["id"] == change)["verdict"]

    assert verdict("drive-pod@B", "part swapped:gearbox") == verdict(
        "avocet@C", "module moved on:drive-left-front"
    )
    assert verdict("drive-pod@B", "part swapped:gearbox") == "helped"
    assert verdict("avocet@D", "module moved on:weapon") == "too few to tell"


@pytest.mark.parametrize("design", ("avocet", "drive-pod"))
def test_a_terminal_tells_the_same_within_80_columns(demo, told, design):
    text = fine(demo, "history", design).out
    assert max(map(len, text.splitlines())) <= 80
    flat = " ".join(text.split())
    for one in told[design]["steps"]:
        assert f"{one['label']}, {one['on']}" in text
        for told_so in (
            *one["why"],
            *(f"{s['lesson']}: {s['title']} ({s['state']})" for s in one["learned"]),
        ):
            assert " ".join(told_so.split()) in flat


def test_siblings_of_the_sample_are_told_thing_by_thing_within_80_columns(demo):
    asked = ("compare", "avocet@B", "turnstone@E", "whimbrel@D", "dunlin@C", "avocet@E")
    text = fine(demo, *asked).out
    assert max(map(len, text.splitlines())) <= 80
    for line in (
        "The same idea, done otherwise",
        "drive-pod: avocet@B is 2 builds behind (A → C)",
        "Only in turnstone@E",
    ):
        assert line in text
    view = fine(demo, *asked, "--json").json
    assert {lag["module"] for lag in view["shared"]["behind"] if lag["design"] == "avocet@B"} == {
        "drive-pod", "wheel-hub", "power-tray", "switch-plate", "weapon-head",
    }  # fmt: skip
    for pair in view["pairs"]:
        things = pair["by_thing"]
        told = {id_ for both in things["otherwise"] for id_ in both["changes"]} | set(things["whole"])
        alone = {thing["ref"] for side in ("only_before", "only_after") for thing in things[side]}
        left = {
            change["id"] for change in pair["changes"] if change["where"].partition(".")[0] not in alone
        } - told
        assert all(id_.startswith(("part renamed:", "outline:")) for id_ in left)
