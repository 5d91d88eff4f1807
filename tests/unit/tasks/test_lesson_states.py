"""States of lessons from the counts, robot by robot, and where else the same flaw lives."""

from lineage.reports.views.lessons import LessonView
from lineage.tasks.judging import Judge
from lineage.tasks.lesson_states import LessonJudge, refs_of
from tests.in_memory import InMemory

POD = "module: pod\nparts: {{gearbox: {{mass: {} g, role: drive, material: brass, tags: [geared]}}, motor: {{mass: 41 g}}}}\n"
LESSON = "lesson: Steel gears\nfrom: [{event: 2025-01-06-meet, robot: wren}]\nmode: teeth stripped\nabout: [pod.gearbox]\n"


def robot(name: str, pod: str) -> str:
    return f"robot: {name}\nparts: {{lid: {{mass: 20 g}}}}\nmodules: {{left: pod@{pod}}}\n"


def bouts(*rows: tuple[str, str, str | None]) -> str:
    """(robot, build, what stripped its teeth) one a bout."""
    lines = []
    for number, (name, build, place) in enumerate(rows, 1):
        broke = f", broke: [{{at: {place}, mode: Teeth stripped}}]" if place else ""
        lines.append(f"- {{robot: {name}, bout: {number}, build: {build}, outcome: won{broke}}}\n")
    return "".join(lines)


def family(
    *after: tuple[str, str, str | None], done: str = "done_in: [pod@B]\n", lesson: str = LESSON
) -> InMemory:
    made = InMemory()
    made.record("pod", "A", "2025-01-01", POD.format(23))
    made.record("pod", "B", "2025-02-01", POD.format(25).replace("brass", "steel"))
    for name in ("wren", "owl"):
        made.record(name, "A", "2025-01-05", robot(name, "A"))
    made.record("wren", "B", "2025-03-01", robot("wren", "B"))
    made.record("owl", "B", "2025-03-01", robot("owl", "A").replace("20 g", "21 g"))
    before = [("wren", "A", "left.gearbox")] * 5 + [("wren", "A", None), ("owl", "A", "left.gearbox")]
    made.write({
        "bouts/2025-01-06-meet.yaml": bouts(*before),
        "bouts/2025-03-06-meet.yaml": bouts(*after),
        "lessons/steel.yaml": lesson + done,
    })  # fmt: skip
    return made


def view(made: InMemory) -> LessonView:
    workspace = made.workspace()
    return LessonJudge(Judge(workspace)).view(workspace.lessons["steel"])


def test_a_lesson_with_no_failure_since_is_held_by_the_counts_or_still_trying():
    clean = ("wren", "B", None)
    assert view(family(*[clean] * 8)).state == "holding"
    trying = view(family(*[clean] * 2))
    assert trying.state == "trying"
    assert "2 clean bouts so far; " in trying.text
    assert view(family()).state == "trying"


def test_a_lesson_whose_failure_came_again_came_back_or_is_seen_less_often():
    clean, again = ("wren", "B", None), ("wren", "B", "left.gearbox")
    assert view(family(again, clean)).state == "came back"
    assert view(family(again, *[clean] * 20)).state == "less often"


def test_another_mode_or_another_thing_is_not_what_the_lesson_is_about():
    other = LESSON.replace("mode: teeth stripped", "mode: loose")
    assert view(family(("wren", "B", "left.gearbox"), lesson=other)).state == "trying"
    assert view(family(("wren", "B", "lid"))).state == "trying"


def test_without_a_mode_any_failure_of_the_thing_counts():
    assert (
        view(family(("wren", "B", "left.gearbox"), lesson=LESSON.replace("mode: teeth stripped\n", ""))).state
        == "came back"
    )


def test_nothing_done_is_unanswered_and_only_drawn_is_in_the_next_build():
    assert view(family(done="")).state == "unanswered"
    assert view(family(lesson=LESSON.replace("about: [pod.gearbox]\n", ""))).state == "unanswered"
    assert view(family(done="done_in: [pod@now]\n")).state == "in next build"
    assert view(family(done="done_in: [pod@B]\ndropped: too heavy\n")).state == "dropped"


def test_only_robots_that_had_it_not_and_have_it_are_strata():
    workspace = family(*[("wren", "B", None)] * 8, *[("owl", "B", "left.gearbox")] * 3).workspace()
    judge = LessonJudge(Judge(workspace))
    lesson = workspace.lessons["steel"]
    followed = judge._followed(lesson, lesson.done_in)
    assert [robot.design for robot in followed.robots] == ["wren"]
    assert (followed.failures_since, followed.clean_since) == (0, 8)


def test_where_else_the_flaw_lives_leaves_out_who_has_the_cure():
    found = view(family(lesson=LESSON + "where: {material: [Brass], role: drive}\n"))
    assert [(also.design, also.build, also.ref) for also in found.also_in] == [("owl", "B", "left.gearbox")]
    assert view(family(done="done_in: [pod@B]\ndropped: too heavy\n")).also_in == ()


def test_features_have_to_be_there_all_together():
    lesson = (
        LESSON.replace("about: [pod.gearbox]\n", "about: [pod.wire]\n")
        + "where: {material: [brass, petg], tags: geared}\n"
    )
    assert [also.why for also in view(family(lesson=lesson)).also_in] == ["same material, tags"]
    assert view(family(lesson=lesson.replace("tags: geared", "tags: printed"))).also_in == ()


def test_a_lesson_from_a_snag_counts_builds_made():
    made = InMemory()
    box = "module: box\nparts: {{lid: {{mass: 5 g, joined: {}}}, side: {{mass: 5 g}}}}\n"
    for month, (label, joined) in enumerate((("A", "glued"), ("B", "glued"), ("C", "taped")), 1):
        made.record("box", label, f"2025-0{month}-01", box.format(joined))
    snags = [f"- {{on: 2025-0{month}-02, kind: snag, build: {label}, during: assembling, at: {at}, mode: let go}}\n"
             for month, label, at in ((1, "A", "lid"), (1, "A", "lid"), (2, "B", "side"))]  # fmt: skip
    made.write({
        "results/box.yaml": "".join(snags),
        "lessons/steel.yaml": "lesson: No glue\nfrom: {snag: box, on: 2025-01-02, mode: let go}\nabout: [box.lid]\ndone_in: [box@C]\n",
    })  # fmt: skip
    found = view(made)
    assert found.state == "trying"
    assert found.text.startswith("Trouble in 1 of 2 → 0 of 1 builds")
    assert "1 clean builds so far" in found.text


def test_a_design_itself_stands_for_its_own_things_wherever_it_is():
    workspace = family().workspace()
    assembly = workspace.assembly(workspace.last("wren"))
    assert list(refs_of(assembly, "pod.gearbox")) == ["left.gearbox"]
    assert list(refs_of(assembly, "pod")) == ["left"]
    assert list(refs_of(assembly, "wren")) == ["lid", "left"]
    assert list(refs_of(assembly, "pod.wire")) == []


def test_a_lesson_is_about_the_same_thing_under_a_later_name():
    made = family(done="done_in: [pod@B]\n")
    made.record(
        "pod",
        "C",
        "2025-04-01",
        POD.format(25).replace("gearbox", "gears").replace("brass", "steel"),
        renames={"gearbox": "gears"},
    )
    made.record("wren", "C", "2025-05-01", robot("wren", "C"))
    made.write({"bouts/2025-05-06-meet.yaml": bouts(("wren", "C", "left.gears"), ("wren", "C", None))})
    assert view(made).state == "came back"
