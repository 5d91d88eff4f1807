"""Which kinds of snag keep coming back over builds and siblings, what they cost, and which lessons came of them."""

from lineage.tasks.snags import snag_kinds
from tests.in_memory import InMemory


def snag(label, mode, on, rest=""):
    return f"- {{on: {on}, kind: snag, build: {label}, during: assembling, mode: {mode}{rest}}}\n"


def kinds():
    made = InMemory()
    for name in ("wren", "owl"):
        for label, day, mass in (("A", "2025-01-01", 20), ("B", "2025-02-01", 21)):
            made.record(name, label, day, f"robot: {name}\nparts: {{lid: {{mass: {mass} g}}}}\n")
    made.write({
        "results/wren.yaml": snag("A", "Glue  let go", "2025-01-02", ", took: 2 h") + snag("A", "glue let go", "2025-01-03")
        + snag("Z", "glue let go", "2025-01-04", ", took: 1 h") + snag("A", "cut short", "2025-01-05", ", took: 5 h"),
        "results/owl.yaml": snag("B", "glue let go", "2025-02-02", ", took: 30 min"),
        "lessons/glue.yaml": "lesson: Tape\nfrom: [{snag: wren, on: 2025-01-02, mode: glue let go}]\n",
        "lessons/other.yaml": "lesson: Other\nfrom: [{event: 2025-01-02-meet, robot: wren}]\nmode: glue let go\n",
    })  # fmt: skip
    return snag_kinds(made.workspace())


def test_one_kind_is_one_mode_whatever_its_case_and_spaces_over_builds_and_siblings():
    glue, cut = kinds()
    assert (glue.mode, glue.count, glue.designs) == ("glue let go", 4, ("owl", "wren"))
    assert (cut.mode, cut.count) == ("cut short", 1)


def test_only_what_was_met_in_several_builds_keeps_coming_back_however_much_another_cost():
    glue, cut = kinds()
    assert glue.builds == ("owl@B", "wren@A")
    assert (glue.keeps_coming_back, cut.keeps_coming_back) == (True, False)


def test_hours_are_those_typed_and_what_was_not_timed_is_counted_apart():
    glue, _ = kinds()
    assert (glue.cost_s, glue.not_timed) == (3.5 * 3600, 1)


def test_a_lesson_from_a_snag_of_that_mode_is_named_and_one_from_a_bout_is_not():
    glue, cut = kinds()
    assert (glue.lessons, cut.lessons) == (("glue",), ())
