"""What a record offers: reasons asked by group, lessons that it may answer, robots that could take a module."""

import pytest

from lineage.tasks.record import Request, draft
from tests.in_memory import InMemory

POD = "module: pod\nparts: {gearbox: {role: drive, mass: MASS}, hub: {role: drive, mass: 5 g}}\n"
LESSON = "lesson: Teeth strip\nfrom: [{snag: pod, on: 2025-01-01, mode: stripped}]\nabout: [ABOUT]\n"


def wren(side: str = "50 g", pods: str = "pod@A", more: str = "") -> str:
    return (
        f"robot: wren\nparts:\n  side: {{role: chassis, mass: {side}}}\n  lid: {{role: chassis, mass: 20 g}}\n{more}"
        f"modules:\n  left: {pods}\n  right: {{use: {pods}}}\n"
        "fasteners:\n  lid-screws: {type: M3x8 cap, count: 4, holds: lid}\n"
    )


@pytest.fixture
def family() -> InMemory:
    made = InMemory()
    made.record("pod", "A", "2025-01-01", POD.replace("MASS", "20 g"))
    made.record("wren", "A", "2025-01-02", wren())
    return made


def drafted(family: InMemory, design: str = "wren", label: str = "B", **keys):
    return draft(family.workspace(), Request(design=design, label=label, **keys))


def test_changes_of_one_role_and_one_module_step_are_one_group_and_screws_go_with_what_they_hold(family):
    family.record("pod", "B", "2025-02-01", POD.replace("MASS", "22 g"))
    edited = wren("45 g", "pod@B", "  fan: {role: power, mass: 9 g}\n").replace("count: 4", "count: 3")
    family.write({"robots/wren.yaml": edited + "settings: {expo: 30 %}\n"})
    groups = {group.name: [change.id for change in group.changes] for group in drafted(family).groups}
    assert groups == {
        "chassis": ["mass:side", "fasteners:lid-screws"],
        "power": ["part added:fan"],
        "pod@A → pod@B": ["module moved on:left", "module moved on:right"],
        "the whole": ["setting:expo"],
    }


def test_a_reason_given_for_a_group_is_a_note_on_all_of_it(family):
    family.write(
        {
            "robots/wren.yaml": wren("45 g").replace(
                "lid: {role: chassis, mass: 20 g}", "lid: {role: chassis, mass: 18 g}"
            )
        }
    )
    (group,) = drafted(family).groups
    found = drafted(family, reasons=((group.about, "too heavy"),))
    assert [(note.about, note.why) for note in found.notes] == [(("side", "lid"), "too heavy")]


@pytest.mark.parametrize(
    ("about", "offered"),
    [("pod.gearbox", True), ("pod.hub", False), ("wren.side", False)],
)
def test_a_lesson_is_offered_where_its_thing_was_changed(family, about, offered):
    family.write(
        {
            "modules/pod.yaml": POD.replace("MASS", "22 g"),
            "lessons/teeth.yaml": LESSON.replace("ABOUT", about),
        }
    )
    lines = [line for offer in drafted(family, "pod").offers for line in offer.lines]
    assert ("lessons/teeth.yaml: done_in: [pod@B]" in lines) is offered


def test_a_lesson_that_the_working_files_had_answered_is_offered_with_the_label(family):
    lesson = LESSON.replace("ABOUT", "wren.side") + "done_in: [pod@A, wren@now]\n"
    family.write({"robots/wren.yaml": wren("45 g"), "lessons/teeth.yaml": lesson})
    (offer,) = drafted(family).offers
    assert offer.lines == ("lessons/teeth.yaml: done_in: [pod@A, wren@B]",)


def test_a_dropped_lesson_and_one_that_names_the_build_are_not_offered(family):
    family.write({
        "robots/wren.yaml": wren("45 g"),
        "lessons/one.yaml": LESSON.replace("ABOUT", "wren.side") + "dropped: no need\n",
        "lessons/two.yaml": LESSON.replace("ABOUT", "wren.side") + "done_in: [wren@B]\n",
    })  # fmt: skip
    assert drafted(family).offers == ()


def test_a_new_build_of_a_module_names_each_robot_that_could_take_it_with_its_lines(family):
    family.record("snipe", "A", "2025-01-03", "robot: snipe\nmodules: {drive: pod@A}\n")
    family.write({"modules/pod.yaml": POD.replace("MASS", "22 g")})
    snipe, robin = drafted(family, "pod").offers
    assert snipe.text == (
        "snipe has pod@A and could take pod@B, mass +2.0 g in all: "
        "lineage compare snipe@now snipe@now --with drive.use=pod@B"
    )
    assert snipe.lines == ("robots/snipe.yaml:2: drive: pod@B",)
    assert "wren has pod@A and could take pod@B, mass +4.0 g in all" in robin.text
    assert robin.lines == ("robots/wren.yaml:6: left: pod@B", "robots/wren.yaml:7: use: pod@B")


def test_what_is_noted_as_described_better_is_shown_as_the_record_will_have_it(family):
    family.write({
        "robots/wren.yaml": wren("45 g guess"),
        "results/wren.yaml": "- {on: 2025-01-05, kind: mass, build: A, of: side, is: 48 g}\n",
    })  # fmt: skip
    (plain,) = drafted(family).changes
    assert plain.effect.mass_g == pytest.approx(-3)
    (better,) = drafted(family, described_better=("side",)).changes
    assert better.described_better
    assert better.effect.mass_g == 0
