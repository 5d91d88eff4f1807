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
    assert [also.why for also in view(family(lesson=lesson)).also_in] == [
        "same material (brass), tags (geared)"
    ]
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
    assert found.text.startswith("Trouble in 1 of 2 → 0 of 1 build")
    assert "1 clean build so far" in found.text


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


# --- at one event ----------------------------------------------------------------------------------------


def at(made: InMemory, event: str) -> tuple[str, int, int, tuple[str, ...]]:
    workspace = made.workspace()
    here = LessonJudge(Judge(workspace)).view(workspace.lessons["steel"], event).here
    return here.word, here.failures, here.bouts, here.robots


def test_at_an_event_a_lesson_is_kept_or_broken_where_it_was_followed_and_not_tried_elsewhere():
    clean, again = ("wren", "B", None), ("wren", "B", "left.gearbox")
    elsewhere = ("owl", "B", "left.gearbox")  # still has the old one
    assert at(family(clean, clean, elsewhere), "2025-03-06-meet") == ("kept", 0, 2, ("wren",))
    assert at(family(clean, again), "2025-03-06-meet") == ("broken", 1, 2, ("wren",))
    assert at(family(elsewhere), "2025-03-06-meet") == ("not tried", 0, 0, ())
    assert at(family(clean), "2025-01-06-meet") == ("not tried", 0, 0, ())


def test_a_lesson_that_is_not_recorded_anywhere_has_nothing_to_keep():
    made = family(done="")
    workspace = made.workspace()
    assert LessonJudge(Judge(workspace)).view(workspace.lessons["steel"], "2025-03-06-meet").here is None


# --- where else ------------------------------------------------------------------------------------------


def also(made: InMemory) -> list[tuple[str, str, str]]:
    return [(found.design, found.ref, found.why) for found in view(made).also_in]


def test_a_robot_that_has_the_lesson_in_one_place_is_still_looked_at_in_the_others():
    brass = "lid: {mass: 20 g, role: drive, material: brass, tags: [geared]}"
    made = family(lesson=LESSON + "where: {tags: geared}\n")
    made.record("wren", "C", "2025-04-01", robot("wren", "B").replace("lid: {mass: 20 g}", brass))
    assert also(made) == [
        ("owl", "left.gearbox", "it is pod.gearbox too"),
        ("wren", "lid", "same tags (geared)"),
    ]


def test_a_module_that_grew_from_the_one_it_is_about_is_looked_at_by_its_lineage():
    made = family()
    small = POD.format(12).replace("module: pod", "module: small-pod\nfrom: pod@A")
    made.record("small-pod", "A", "2025-02-01", small)
    text = "robot: kite\nparts: {lid: {mass: 2 g}}\nmodules: {left: small-pod@A}\n"
    made.record("kite", "A", "2025-03-01", text)
    assert ("kite", "left.gearbox", "small-pod grew from pod, and has gearbox too") in also(made)


def test_a_module_that_no_robot_has_is_looked_at_itself():
    made = family(lesson=LESSON + "where: {tags: geared}\n")
    made.record("winch", "A", "2025-02-01", POD.format(12).replace("module: pod", "module: winch"))
    assert ("winch", "gearbox", "same tags (geared)") in also(made)


def test_the_thing_itself_is_said_to_be_open_where_nothing_was_done():
    made = family(lesson=LESSON.replace("pod.gearbox", "wren.lid"), done="")
    assert also(made) == [("wren", "lid", "not done here yet")]
