"""What failures say of a change: windows over builds, names followed, one answer for a module step, others named."""

import pytest

from lineage.evidence.exact import Counts, Stratum
from lineage.tasks.judging import Evidence, Judge
from lineage.tasks.states import State
from tests.in_memory import InMemory, note


def wren(lid: str = "mass: 20 g", more: str = "", pod: str = "") -> str:
    places = f"modules: {{left: pod@{pod}, right: pod@{pod}}}\n" if pod else ""
    return f"robot: wren\nparts: {{lid: {{{lid}}}, arm: {{mass: 5 g}}}}\n{places}{more}"


def bouts(robot: str, event: str, label: str, *broke: str | None, keys: str = "") -> dict[str, str]:
    """One bout a word: None went well, else a place, `place!` cosmetic, `place?` found at strip-down."""
    lines = []
    for number, place in enumerate(broke, 1):
        damage = ""
        if place:
            severity = ", severity: cosmetic" if place.endswith("!") else ""
            key = "found" if place.endswith("?") else "broke"
            damage = f", {key}: [{{at: {place.rstrip('!?')}, mode: bent{severity}}}]"
        lines.append(f"- {{robot: {robot}, bout: {number}, build: {label}, outcome: won{damage}{keys}}}\n")
    return {f"bouts/{event}.yaml": "".join(lines)}


def judged(family: InMemory, design: str, after: str, id_: str) -> Evidence | None:
    judge = Judge(family.workspace())
    step = next(step for step in judge.steps.of(design) if step.after == after)
    change = next(change for change in step.changes if change.id == id_)
    return judge.of_change(change, step)


def counts(evidence: Evidence | None) -> str:
    assert evidence is not None
    comparison = evidence.judged.comparison
    return f"{comparison.before} → {comparison.after}"


def test_a_change_is_counted_from_the_last_change_of_its_thing_to_the_next():
    family = InMemory()
    lids = {"A": "mass: 20 g", "B": "mass: 20 g", "C": "mass: 25 g", "D": "mass: 25 g", "E": "mass: 30 g"}
    for month, (label, lid) in enumerate(lids.items(), 1):
        extra = {"B": "settings: {x: 1}\n", "D": "settings: {x: 2}\n"}.get(label, "")
        family.record("wren", label, f"2025-0{month}-01", wren(lid, extra))
        family.write(
            bouts("wren", f"2025-0{month}-02-meet", label, "lid", None, "lid" if label in "AB" else None)
        )
    evidence = judged(family, "wren", "C", "mass:lid")
    assert counts(evidence) == "4 of 6 → 2 of 6"
    assert evidence.designs == ("wren",)
    assert counts(judged(family, "wren", "E", "mass:lid")) == "2 of 6 → 1 of 3"


def test_cosmetic_found_uncertain_and_unfought_bouts_stay_out():
    family = InMemory()
    family.record("wren", "A", "2025-01-01", wren())
    family.record("wren", "B", "2025-02-01", wren("mass: 25 g"))
    family.write(bouts("wren", "2025-01-02-meet", "A", "lid", "lid!", "lid?", None))
    family.write(bouts("wren", "2025-01-03-meet", "A", "lid", keys=", fought: no"))
    family.write(bouts("wren", "2025-01-04-meet", "Z", "lid"))
    family.write(bouts("wren", "2025-02-02-meet", "B", None))
    assert counts(judged(family, "wren", "B", "mass:lid")) == "1 of 4 → 0 of 1"


def test_a_change_with_no_failure_at_its_things_has_no_evidence():
    family = InMemory()
    family.record("wren", "A", "2025-01-01", wren())
    family.record("wren", "B", "2025-02-01", wren("mass: 25 g"))
    family.write(bouts("wren", "2025-01-02-meet", "A", "arm", "weel"))
    assert judged(family, "wren", "B", "mass:lid") is None


def test_what_is_described_better_is_no_edge_no_other_and_has_no_evidence_itself():
    family = InMemory()
    family.record("wren", "A", "2025-01-01", wren("mass: 20 g guess"))
    family.record(
        "wren", "B", "2025-02-01", wren("mass: 22 g weighed"), notes=[note("lid", described_better=True)]
    )
    family.record("wren", "C", "2025-03-01", wren("mass: 25 g"))
    family.write(bouts("wren", "2025-01-02-meet", "A", "lid", "lid"))
    family.write(bouts("wren", "2025-02-02-meet", "B", "lid", None))
    family.write(bouts("wren", "2025-03-02-meet", "C", None, None))
    assert counts(judged(family, "wren", "C", "mass:lid")) == "3 of 4 → 0 of 2"
    assert judged(family, "wren", "B", "mass:lid") is None


def test_a_rename_is_no_edge_and_failures_are_followed_through_it():
    family = InMemory()
    family.record("wren", "A", "2025-01-01", wren())
    family.record("wren", "B", "2025-02-01", wren("mass: 25 g"))
    renamed = "robot: wren\nparts: {deck: {mass: 25 g}, arm: {mass: 5 g}}\n"
    family.record("wren", "C", "2025-03-01", renamed, renames={"lid": "deck"})
    family.record("wren", "D", "2025-04-01", renamed.replace("25 g", "30 g"))
    family.write(bouts("wren", "2025-01-02-meet", "A", "lid", "lid"))
    family.write(bouts("wren", "2025-02-02-meet", "B", "lid", None))
    family.write(bouts("wren", "2025-03-02-meet", "C", "deck", None, None))
    family.write(bouts("wren", "2025-04-02-meet", "D", None))
    assert counts(judged(family, "wren", "B", "mass:lid")) == "2 of 2 → 2 of 5"
    assert counts(judged(family, "wren", "D", "mass:deck")) == "2 of 5 → 0 of 1"
    assert judged(family, "wren", "C", "part renamed:deck") is None


def test_exposure_of_a_thing_of_a_choice_is_only_while_that_choice_was_in():
    forks = (
        "options: {fork: {long: {parts: {tine: {mass: 31 g}}}, none: {about: bare}}}\nfitted: {fork: long}\n"
    )
    family = InMemory()
    family.record("wren", "A", "2025-01-01", wren(more=forks))
    family.record("wren", "B", "2025-02-01", wren(more=forks.replace("31 g", "35 g")))
    family.write(bouts("wren", "2025-01-02-meet", "A", "tine", None))
    family.write(bouts("wren", "2025-01-03-meet", "A", None, None, None, keys=", fitted: {fork: none}"))
    family.write(bouts("wren", "2025-02-02-meet", "B", None))
    assert counts(judged(family, "wren", "B", "mass:tine")) == "1 of 2 → 0 of 1"


def test_what_changed_in_the_same_step_at_the_same_things_is_named():
    family = InMemory()
    family.record("wren", "A", "2025-01-01", wren())
    family.record(
        "wren", "B", "2025-02-01", wren("mass: 25 g, count: 2, joined: glued").replace("5 g}", "6 g}")
    )
    family.write(bouts("wren", "2025-01-02-meet", "A", "lid"))
    evidence = judged(family, "wren", "B", "mass:lid")
    assert evidence.others == ("count:lid", "text:lid")
    assert "In the same step there also changed" in evidence.text


def test_a_change_after_a_bad_run_says_so_and_one_after_a_good_one_does_not():
    for broke, said in ((("lid", None), True), ((None, None), False)):
        family = InMemory()
        family.record("wren", "A", "2025-01-01", wren())
        family.record("wren", "B", "2025-03-01", wren("mass: 25 g"))
        family.write(bouts("wren", "2025-01-02-early", "A", "lid"))
        family.write(bouts("wren", "2025-02-02-late", "A", *broke))
        family.write(bouts("wren", "2025-03-02-meet", "B", None))
        assert ("bad run" in judged(family, "wren", "B", "mass:lid").text) is said


def test_a_note_says_what_a_change_is_meant_for_in_place_of_its_own_things():
    def with_note(*meant: str) -> InMemory:
        family = InMemory()
        family.record("wren", "A", "2025-01-01", wren())
        family.record("wren", "B", "2025-02-01", wren("mass: 25 g"), notes=[note("lid", for_=meant)])
        family.write(bouts("wren", "2025-01-02-meet", "A", "arm", "arm", "lid"))
        family.write(bouts("wren", "2025-02-02-meet", "B", None, None))
        return family

    assert counts(judged(with_note("arm"), "wren", "B", "mass:lid")) == "2 of 3 → 0 of 2"
    assert counts(judged(with_note("Bent"), "wren", "B", "mass:lid")) == "3 of 3 → 0 of 2"
    assert judged(with_note("snapped"), "wren", "B", "mass:lid") is None


def test_an_unmatched_failure_after_weighs_against_a_better_verdict():
    def with_unmatched(*broke: str | None) -> Evidence:
        family = InMemory()
        family.record("wren", "A", "2025-01-01", wren())
        family.record("wren", "B", "2025-02-01", wren("mass: 25 g"))
        family.write(bouts("wren", "2025-01-02-meet", "A", *(["lid"] * 6), None))
        family.write(bouts("wren", "2025-02-02-meet", "B", *broke))
        return judged(family, "wren", "B", "mass:lid")

    clean = with_unmatched(*[None] * 6)
    assert (clean.judged.verdict, clean.to_settle) == ("helped", 0)
    burdened = with_unmatched("weel", "weel", "weel", None, None, None)
    assert counts(burdened) == "6 of 7 → 0 of 6"
    assert (burdened.judged.verdict, burdened.judged.unmatched) == ("too few to tell", 3)
    assert burdened.to_settle > 0


# --- modules ---------------------------------------------------------------------------------------------

POD = "module: pod\nparts: {{gearbox: {{mass: {} g}}, motor: {{mass: 41 g}}}}\n"


@pytest.fixture(scope="module")
def shared() -> InMemory:
    family = InMemory()
    family.record("pod", "A", "2025-01-01", POD.format(23))
    family.record("pod", "B", "2025-02-01", POD.format(25))
    for robot, gone in (("wren", True), ("owl", True), ("kite", False)):
        text = wren(pod="A").replace("wren", robot)
        family.record(robot, "A", "2025-01-05", text)
        family.record(
            robot, "B", "2025-03-01", text.replace("pod@A", "pod@B") if gone else text.replace("5 g}", "6 g}")
        )
    family.write({
        "bouts/2025-01-06-meet.yaml": "".join(
            bouts(robot, "e", "A", "left.gearbox", "right.gearbox", "left.motor", None)["bouts/e.yaml"] for robot in ("wren", "owl", "kite")
        ),
        "bouts/2025-03-06-meet.yaml": "".join(bouts(robot, "e", "B", None, None, None)["bouts/e.yaml"] for robot in ("wren", "owl", "kite")),
    })  # fmt: skip
    return family


def test_a_module_step_has_one_answer_wherever_it_is_seen(shared):
    answers = [
        judged(shared, robot, "B", f"module moved on:{place}")
        for robot in ("wren", "owl")
        for place in ("left", "right")
    ]
    assert {counts(answer) for answer in answers} == {"4 of 8 → 0 of 6"}
    assert answers[0].judged.comparison.strata == (Stratum(Counts(2, 4), Counts(0, 3)),) * 2
    assert answers[0].designs == ("owl", "wren")
    assert len({answer.judged.comparison.p_value for answer in answers}) == 1


def test_the_same_step_in_another_place_is_not_another_change(shared):
    assert judged(shared, "wren", "B", "module moved on:left").others == ()


def test_a_step_that_is_not_recorded_yet_has_one_answer_for_all_its_places():
    family = InMemory()
    for label, mass in (("A", 23), ("B", 25)):
        family.record("pod", label, "2025-01-01", POD.format(mass))
    family.record("wren", "A", "2025-01-05", wren(pod="A"))
    family.write(bouts("wren", "2025-01-06-meet", "A", "left.gearbox", "right.gearbox", None))
    family.write({"robots/wren.yaml": wren(pod="B")})
    answers = [
        between(family, "wren@A", "wren@now", f"module moved on:{place}") for place in ("left", "right")
    ]
    assert {counts(answer) for answer in answers} == {"2 of 3 → 0 of 0"}


def test_in_the_modules_own_history_its_step_is_that_of_the_robots_that_made_it(shared):
    evidence = judged(shared, "pod", "B", "mass:gearbox")
    assert (counts(evidence), evidence.designs) == ("4 of 8 → 0 of 6", ("owl", "wren"))
    assert evidence.to_settle is None


def test_a_module_in_a_module_has_the_same_answer_in_every_history():
    family = InMemory()
    tray = "module: tray\nparts: {{box: {{mass: 9 g}}}}\nmodules: {{pod: pod@{}}}\n"
    for label, mass, day in (("A", 23, "2025-01-01"), ("B", 25, "2025-02-01")):
        family.record("pod", label, day, POD.format(mass))
        family.record("tray", label, day, tray.format(label))
        family.record("wren", label, day, f"robot: wren\nmodules: {{tray: tray@{label}}}\n")
    family.write(bouts("wren", "2025-01-06-meet", "A", "tray.pod.gearbox", "tray.pod.motor", None))
    family.write(bouts("wren", "2025-03-06-meet", "B", None, None))
    where = (
        ("wren", "module moved on:tray"),
        ("tray", "module moved on:pod"),
        ("pod", "mass:gearbox"),
    )
    assert {counts(judged(family, design, "B", id_)) for design, id_ in where} == {"1 of 3 → 0 of 2"}


def test_a_robot_without_bouts_after_it_is_no_stratum_and_not_in_the_counts():
    family = InMemory()
    family.record("pod", "A", "2025-01-01", POD.format(23))
    family.record("pod", "B", "2025-02-01", POD.format(25))
    for robot in ("wren", "owl"):
        for label, day in (("A", "2025-01-05"), ("B", "2025-03-01")):
            family.record(robot, label, day, wren(pod=label).replace("wren", robot))
    before = [bouts(robot, "e", "A", "left.gearbox", None)["bouts/e.yaml"] for robot in ("wren", "owl")]
    family.write({"bouts/2025-01-06-meet.yaml": "".join(before)})
    family.write(bouts("wren", "2025-03-06-meet", "B", None))
    evidence = judged(family, "wren", "B", "module moved on:left")
    assert (counts(evidence), evidence.designs) == ("1 of 2 → 0 of 1", ("wren",))


def test_a_module_moved_on_in_two_steps_of_one_robot_is_one_stratum_without_the_bouts_between():
    family = InMemory()
    family.record("pod", "A", "2025-01-01", POD.format(23))
    family.record("pod", "B", "2025-02-01", POD.format(25))
    text = wren(pod="A")
    family.record("wren", "A", "2025-01-05", text)
    family.record("wren", "B", "2025-03-01", text.replace("left: pod@A", "left: pod@B"))
    family.record("wren", "C", "2025-04-01", text.replace("pod@A", "pod@B"))
    family.write(bouts("wren", "2025-01-06-meet", "A", "left.gearbox", None))
    family.write(bouts("wren", "2025-03-06-meet", "B", "right.gearbox", None, None))
    family.write(bouts("wren", "2025-04-06-meet", "C", None, None))
    for label, place in (("B", "left"), ("C", "right")):
        assert counts(judged(family, "wren", label, f"module moved on:{place}")) == "1 of 2 → 0 of 2"


def test_inside_a_module_only_what_really_differs_is_owned():
    family = InMemory()
    family.record("pod", "A", "2025-01-01", POD.format("23"))
    family.record(
        "pod",
        "B",
        "2025-02-01",
        POD.format("25").replace("41 g", "41.5 g weighed"),
        notes=[note("motor", described_better=True)],
    )
    for label, day in (("A", "2025-01-05"), ("B", "2025-03-01")):
        family.record("wren", label, day, wren(pod=label))
    family.write(bouts("wren", "2025-01-06-meet", "A", "left.gearbox", "left.motor", "left"))
    family.write(bouts("wren", "2025-03-06-meet", "B", None))
    assert counts(judged(family, "wren", "B", "module moved on:left")) == "1 of 3 → 0 of 1"


# --- working files and steps over several builds ---------------------------------------------------------


def between(family: InMemory, before: str, after: str, id_: str) -> Evidence | None:
    judge = Judge(family.workspace())
    old, new = (family.state(asked, judge.workspace) for asked in (before, after))
    assert isinstance(old, State)
    step = judge.steps.between(old.ref, new.ref)
    return judge.of_change(next(change for change in step.changes if change.id == id_), step)


def test_working_files_have_not_been_tried_and_older_builds_are_not_what_came_after():
    family = InMemory()
    for month, mass in enumerate((20, 25, 30), 1):
        family.record("wren", "ABC"[month - 1], f"2025-0{month}-01", wren(f"mass: {mass} g"))
        family.write(bouts("wren", f"2025-0{month}-02-meet", "ABC"[month - 1], *["lid"] * month))
    family.write({"robots/wren.yaml": wren("mass: 40 g")})
    assert counts(between(family, "wren@C", "wren@now", "mass:lid")) == "3 of 3 → 0 of 0"
    assert counts(between(family, "wren@A", "wren@now", "mass:lid")) == "1 of 1 → 0 of 0"


def test_over_several_builds_the_steps_that_changed_the_thing_are_between():
    family = InMemory()
    for month, (label, mass, x) in enumerate((("A", 20, 1), ("B", 20, 2), ("C", 25, 2), ("D", 25, 3)), 1):
        family.record("wren", label, f"2025-0{month}-01", wren(f"mass: {mass} g", f"settings: {{x: {x}}}\n"))
        family.write(bouts("wren", f"2025-0{month}-02-meet", label, "lid" if month < 3 else None, None))
    assert counts(between(family, "wren@A", "wren@D", "mass:lid")) == "2 of 4 → 0 of 4"


def test_described_better_on_the_way_does_not_hide_a_real_change_after_it():
    family = InMemory()
    family.record("wren", "A", "2025-01-01", wren("mass: 20 g guess"))
    family.record("wren", "B", "2025-02-01", wren("mass: 22 g"), notes=[note("lid", described_better=True)])
    family.record("wren", "C", "2025-03-01", wren("mass: 25 g"))
    family.write(bouts("wren", "2025-01-02-meet", "A", "lid", "lid"))
    family.write(bouts("wren", "2025-03-02-meet", "C", None))
    assert counts(between(family, "wren@A", "wren@C", "mass:lid")) == "2 of 2 → 0 of 1"


def test_a_module_that_was_renamed_inside_is_followed_over_its_own_steps():
    family = InMemory()
    family.record("pod", "A", "2025-01-01", POD.format(23))
    gears = POD.format(25).replace("gearbox", "gears")
    family.record("pod", "B", "2025-02-01", POD.format(25))
    family.record("pod", "C", "2025-03-01", gears, renames={"gearbox": "gears"})
    for label, pod, day in (("A", "A", "2025-01-05"), ("B", "C", "2025-04-01")):
        family.record("wren", label, day, wren(pod=pod))
    family.write(bouts("wren", "2025-01-06-meet", "A", "left.gearbox", None))
    family.write(bouts("wren", "2025-04-06-meet", "B", "right.gears", None, None))
    assert counts(judged(family, "wren", "B", "module moved on:left")) == "1 of 2 → 1 of 3"


def test_a_choice_refitted_in_a_place_owns_what_that_modules_choices_hold():
    gears = "options: {gears: {slow: {parts: {slow-gear: {mass: 5 g}}}, quick: {parts: {quick-gear: {mass: 5 g}}}}}\nfitted: {gears: slow}\n"
    family = InMemory()
    family.record("pod", "A", "2025-01-01", POD.format(23) + gears)
    text = wren(pod="A").replace("left: pod@A", "left: {use: pod@A, fitted: {gears: slow}}")
    family.record("wren", "A", "2025-01-05", text)
    family.record("wren", "B", "2025-02-05", text.replace("fitted: {gears: slow}", "fitted: {gears: quick}"))
    family.write(bouts("wren", "2025-01-06-meet", "A", "left.slow-gear", "left.motor", "right.slow-gear"))
    family.write(bouts("wren", "2025-02-06-meet", "B", None, None))
    assert counts(judged(family, "wren", "B", "option:left.gears")) == "1 of 3 → 0 of 2"


FORKS = (
    "robot: wren\nparts: {{lid: {{mass: 20 g}}}}\n"
    "options: {{fork: {{long: {{parts: {{tine: {{mass: 9 g}}}}}}, short: {{parts: {{stub: {{mass: 5 g}}}}}}}}}}\nfitted: {{fork: {}}}\n"
)


def test_a_refitted_option_counts_only_bouts_with_the_choice_that_is_meant_on_each_side():
    family = InMemory()
    family.record("wren", "A", "2025-01-05", FORKS.format("long"))
    family.record("wren", "B", "2025-02-05", FORKS.format("short"))
    short_before = bouts("wren", "e", "A", "stub", "stub", keys=", fitted: {fork: short}")["bouts/e.yaml"]
    family.write({"bouts/2025-01-05-other.yaml": short_before})
    family.write(bouts("wren", "2025-01-06-meet", "A", "tine", "lid", None))
    family.write(bouts("wren", "2025-02-06-meet", "B", None, "stub"))
    evidence = judged(family, "wren", "B", "option:fork")
    assert counts(evidence) == "1 of 3 → 1 of 2"
    assert (
        "2 bouts with another choice stay out: before is with fork long, after with short." in evidence.text
    )
    assert "Other choices" not in evidence.text


def test_other_choices_and_opponents_on_the_two_sides_are_said():
    family = InMemory()
    family.record("wren", "A", "2025-01-05", FORKS.format("long"))
    family.record("wren", "B", "2025-02-05", FORKS.format("long").replace("20 g", "25 g"))
    family.write(bouts("wren", "2025-01-06-meet", "A", "lid", None, keys=", against: hammer"))
    keys = ", against: wedge, fitted: {fork: short}"
    family.write(bouts("wren", "2025-02-06-meet", "B", None, None, keys=keys))
    evidence = judged(family, "wren", "B", "mass:lid")
    assert evidence.circumstances == (
        "No event is on both sides: what else differs between events is in it too.",
        "Other choices, counted in bouts: fork long 2 of 2 → 0 of 2.",
        "Other opponents, counted in bouts: hammer 2 of 2 → 0 of 2.",
    )
    assert all(said in evidence.text for said in evidence.circumstances)


def three_pods() -> InMemory:
    """Wren goes by B from A to C, owl at once."""
    family = InMemory()
    for label, mass in (("A", 23), ("B", 25), ("C", 27)):
        family.record("pod", label, "2025-01-01", POD.format(mass))
    for label, day in (("A", "2025-01-05"), ("B", "2025-02-05"), ("C", "2025-03-05")):
        family.record("wren", label, day, wren(pod=label))
    for label, pod, day in (("A", "A", "2025-01-05"), ("B", "C", "2025-02-05")):
        family.record("owl", label, day, wren(pod=pod).replace("wren", "owl"))
    family.write({
        "bouts/2025-01-06-meet.yaml": bouts("wren", "e", "A", "left.gearbox", None)["bouts/e.yaml"]
        + bouts("owl", "e", "A", "right.gearbox")["bouts/e.yaml"],
        "bouts/2025-02-06-meet.yaml": bouts("wren", "e", "B", *["left.gearbox"] * 5)["bouts/e.yaml"]
        + bouts("owl", "e", "B", None, None, None)["bouts/e.yaml"],
        "bouts/2025-03-06-meet.yaml": bouts("wren", "e", "C", None)["bouts/e.yaml"],
    })  # fmt: skip
    return family


def test_a_robot_that_went_by_a_build_between_is_a_stratum_of_the_whole_way_without_its_bouts_there():
    family = three_pods()
    answers = [judged(family, "owl", "B", "module moved on:left"), between(family, "wren@A", "wren@C", "module moved on:left")]  # fmt: skip
    assert {counts(answer) for answer in answers} == {"2 of 3 → 0 of 4"}
    assert {answer.designs for answer in answers} == {("owl", "wren")}
    assert {answer.text for answer in answers} == {answers[0].text}


def test_a_robot_that_went_all_the_way_at_once_is_no_stratum_of_a_part_of_it():
    evidence = judged(three_pods(), "wren", "B", "module moved on:left")
    assert (counts(evidence), evidence.designs) == ("1 of 2 → 5 of 5", ("wren",))


def test_what_another_robot_changed_beside_the_same_step_is_said_with_its_name():
    family = InMemory()
    for label, mass in (("A", 23), ("B", 25)):
        family.record("pod", label, "2025-01-01", POD.format(mass))
    for robot in ("wren", "owl"):
        for label, day in (("A", "2025-01-05"), ("B", "2025-03-05")):
            more = "settings: {throttle: soft}\n" if (robot, label) == ("owl", "B") else ""
            text = wren(pod=label, more=more).replace("wren", robot)
            notes = [note("throttle", for_=("left.gearbox",))] if more else []
            family.record(robot, label, day, text, notes=notes)
    for month, label, broke in ((1, "A", "left.gearbox"), (3, "B", None)):
        lines = [bouts(robot, "e", label, broke)["bouts/e.yaml"] for robot in ("wren", "owl")]
        family.write({f"bouts/2025-0{month}-06-meet.yaml": "".join(lines)})
    evidence = judged(family, "wren", "B", "module moved on:left")
    assert evidence.others == ()
    assert "owl: throttle: setting soft added" in evidence.text
    assert "cannot be told apart" in evidence.text


def test_a_mode_that_is_misspelt_after_weighs_against_a_better_verdict_as_well():
    def verdict(mode: str) -> tuple[str, int]:
        family = InMemory()
        family.record("wren", "A", "2025-01-01", wren())
        family.record(
            "wren", "B", "2025-02-01", wren("mass: 25 g"), notes=[note("lid", for_=("lid", "teeth stripped"))]
        )
        before = bouts("wren", "e", "A", *["lid"] * 6, None)["bouts/e.yaml"].replace("bent", "teeth stripped")
        after = bouts("wren", "e", "B", *["lid"] * 3, None, None, None)["bouts/e.yaml"].replace("bent", mode)
        family.write({"bouts/2025-01-02-meet.yaml": before, "bouts/2025-02-02-meet.yaml": after})
        evidence = judged(family, "wren", "B", "mass:lid")
        assert counts(evidence) == "6 of 7 → 0 of 6"
        return evidence.judged.verdict, evidence.judged.unmatched

    assert verdict("teeth striped") == ("too few to tell", 3)
    assert verdict("scratched") == ("helped", 0)
