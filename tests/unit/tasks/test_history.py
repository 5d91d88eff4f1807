"""Histories and families with branches, forks and lessons: shown as what they are."""

import pytest

from lineage.reports.text.family import family_text
from lineage.reports.text.history import history_text
from lineage.tasks.family import family as family_view
from lineage.tasks.history import history
from lineage.tasks.states import Asker
from tests.in_memory import InMemory, note

POD = "module: pod\nparts: {gearbox: {role: drive, mass: MASS}}\n"
BOUT = "- {robot: wren, bout: 1, build: LABEL, outcome: lost, broke: [{at: lid, mode: cracked}]}\n"


def wren(lid: str = "20 g", pod: str = "A") -> str:
    return (
        f"robot: wren\ntitle: The small one\nparts: {{lid: {{mass: {lid}}}}}\nmodules: {{drive: pod@{pod}}}\n"
    )


@pytest.fixture(scope="module")
def asker() -> Asker:
    """wren A to B, two branches from B; snipe drawn from wren A when wren had B; the pod moved on after all."""
    made = InMemory({
        "events/2025-01-10-meet.yaml": "event: Meet\nentries: {wren: {build: A}, snipe: {}}\n",
        "events/2025-04-10-open.yaml": "event: Open\nentries: {wren: {build: D}}\n",
        "bouts/2025-01-10-meet.yaml": BOUT.replace("LABEL", "A"),
        "lessons/lid.yaml": (
            "lesson: Lids crack\nfrom: [{event: 2025-01-10-meet, robot: wren}]\nabout: [wren.lid]\n"
            "done_in: [wren@B]\n"
        ),
        "lessons/teeth.yaml": (
            "lesson: Teeth strip\nfrom: [{snag: pod, on: 2025-01-03, mode: stripped}]\nabout: [pod.gearbox]\n"
            "done_in: [pod@B]\n"
        ),
        "results/pod.yaml": "- {on: 2025-01-03, kind: snag, build: A, during: testing, mode: Stripped}\n",
    })  # fmt: skip
    made.record("pod", "A", "2025-01-01", POD.replace("MASS", "20 g"))
    made.record("wren", "A", "2025-01-02", wren())
    made.record("wren", "B", "2025-02-01", wren("25 g"))
    made.record("snipe", "A", "2025-02-02", "robot: snipe\nfrom: wren@A\nmodules: {drive: pod@A}\n")
    made.record("pod", "B", "2025-03-01", POD.replace("MASS", "22 g"), notes=[note("gearbox", why="steel")])
    made.record("wren", "C", "2025-03-02", wren("18 g"), before="B")
    made.record("wren", "D", "2025-03-03", wren("25 g", "B"), before="B")
    return Asker(made.workspace())


def test_builds_made_from_one_build_are_branches_of_it(asker):
    steps = {step.label: step for step in history(asker, "wren").steps}
    assert [(label, step.before, step.beside) for label, step in steps.items()] == [
        ("A", None, ()), ("B", "A", ()), ("C", "B", ("D",)), ("D", "B", ("C",)),
    ]  # fmt: skip
    assert [change.id for change in steps["D"].changes] == ["module moved on:drive"]
    text = history_text(history(asker, "wren"))
    assert "D, 2025-03-03 (a branch from B, beside C)" in text
    assert "B, 2025-02-01 (after A)" in text


def test_a_robot_that_grew_from_an_older_build_says_how_far_its_sibling_was(asker):
    grew = history(asker, "snipe").grew
    assert (grew.build, grew.newer) == ("wren@A", ("B",))
    assert "grew from wren@A, when wren was at B" in history_text(history(asker, "snipe"))
    assert history(asker, "wren").grew is None


@pytest.mark.parametrize(
    ("design", "told"),
    [
        ("wren", [("A", "lid", False), ("B", "lid", True), ("D", "teeth", True)]),
        ("pod", [("A", "teeth", False), ("B", "teeth", True)]),
        ("snipe", []),
    ],
)
def test_a_build_says_what_it_taught_and_which_lessons_it_answers(asker, design, told):
    found = [(step.label, l.lesson, l.answers) for step in history(asker, design).steps for l in step.learned]
    assert found == told


def test_who_lags_is_told_by_which_builds_and_changes(asker):
    (lag,) = family_view(asker).behind
    assert (lag.design, lag.module, lag.places, lag.label, lag.newest) == (
        "snipe@now", "pod", ("drive",), "A", "B",
    )  # fmt: skip
    (step,) = lag.steps
    assert (step.why, step.mass_g, [c.id for c in step.changes]) == (
        ("steel",),
        pytest.approx(2),
        ["mass:gearbox"],
    )


def test_the_family_at_a_terminal_is_a_row_a_design_and_a_column_an_event(asker):
    lines = family_text(family_view(asker)).splitlines()
    head = next(line for line in lines if "2025-01-10" in line)
    assert head.index("2025-01-10") < head.index("2025-04-10")
    row = lines.index(next(line for line in lines[lines.index(head) :] if line.startswith("wren ")))
    assert lines[row].split() == ["wren", "A", "D"]
    assert lines[row + 1].split() == ["pod", "A", "pod", "B"]
    assert "snipe grew from wren@A, when wren was at B" in lines
    assert "wren@D is a branch from B, beside C" in lines
    assert max(map(len, lines)) <= 80


def test_a_build_that_cannot_be_read_leaves_the_others_their_history():
    made = InMemory()
    for month, lid in enumerate(("20 g", "25 g", "26 g"), 1):
        made.record(
            "wren", "ABC"[month - 1], f"2025-0{month}-01", f"robot: wren\nparts: {{lid: {{mass: {lid}}}}}\n"
        )
    made.write({"builds/wren/B/spec.yaml": "robot: wren\nparts: {lid: {mass: 99 g}}\n"})
    steps = history(Asker(made.workspace()), "wren").steps
    assert [step.figures.mass_g for step in steps] == [20, None, 26]
    assert steps[0].problem is None
    assert "builds/wren/B" in steps[1].problem
    assert "cannot be read" in history_text(history(Asker(made.workspace()), "wren"))
