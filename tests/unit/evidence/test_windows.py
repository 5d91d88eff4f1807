"""Before and after: from the last change of the same things to the next, counted while the things were in."""

from datetime import date

from lineage.evidence.bouts import Failure, RobotBout
from lineage.evidence.windows import Side, Step, Touched, side, window


def steps(*touched: set[str]) -> list[Step]:
    """A → B → C …, each touching what is said."""
    labels = "ABCDEFGH"
    return [
        Step(before=labels[n], after=labels[n + 1], touched=frozenset(refs)) for n, refs in enumerate(touched)
    ]


def at(*refs: str, modes: tuple[str, ...] = ()) -> Touched:
    return Touched(refs=frozenset(refs), modes=frozenset(modes))


def bout(label: str, *failures: Failure, **keys) -> RobotBout:
    plain = {
        "robot": "wren",
        "event": "e",
        "day": date(2025, 3, 1),
        "bout": "1",
        "is_certain": True,
        "was_fought": True,
    }
    return RobotBout(**{**plain, "outcome": "won", "ran_s": None, **keys}, label=label, failures=failures)


def broke(*things: str, mode: str = "bent", severity: str = "weakened") -> Failure:
    return Failure(at="typed", things=things, mode=mode, severity=severity)


def always(_bout: RobotBout) -> bool:
    return True


def test_a_window_reaches_from_the_last_change_of_the_same_things_to_the_next():
    found = window(steps({"lid"}, {"arm"}, {"lid"}, {"arm"}, {"lid"}), 2, at("lid"))
    assert (found.before, found.after) == (("B", "C"), ("D", "E"))


def test_without_other_changes_of_it_a_window_is_all_builds():
    found = window(steps({"arm"}, {"lid"}, {"arm"}), 1, at("lid"))
    assert (found.before, found.after) == (("A", "B"), ("C", "D"))


def test_a_change_inside_a_place_or_around_a_thing_is_one_of_the_same_things():
    line = steps({"left"}, {"left.gearbox"}, {"left.gearbox.pinion"})
    assert window(line, 1, at("left.gearbox")).before == ("B",)
    assert window(line, 1, at("left.gearbox")).after == ("C",)
    assert window(steps({"left-rear"}, {"left"}), 1, at("left")).before == ("A", "B")


def test_a_change_over_several_steps_leaves_the_builds_between_out():
    found = window(steps({"arm"}, {"lid"}, {"lid"}, {"arm"}), 1, at("lid"), 2)
    assert (found.before, found.after) == (("A", "B"), ("D", "E"))


def test_a_step_that_touched_nothing_is_no_edge():
    assert window(steps(set(), {"lid"}, set()), 1, at("lid")).after == ("C", "D")


def test_a_thing_fails_at_most_once_in_a_robot_bout_a_module_in_two_places_too():
    bouts = [
        bout("A", broke("left.gearbox"), broke("right.gearbox")),
        bout("A"),
        bout("B", broke("left.gearbox")),
    ]
    assert side(bouts, ["A"], at("left.gearbox", "right.gearbox"), always) == Side(
        failures=1, exposure=2, unmatched=0
    )


def test_cosmetic_damage_and_bouts_that_were_not_fought_or_not_certain_do_not_count():
    bouts = [
        bout("A", broke("lid", severity="cosmetic")),
        bout("A", broke("lid"), was_fought=False),
        bout("A", broke("lid"), is_certain=False),
    ]
    assert side(bouts, ["A"], at("lid"), always) == Side(failures=0, exposure=1, unmatched=0)


def test_exposure_is_only_while_the_thing_was_in():
    bouts = [bout("A", fitted={"fork": "long"}), bout("A", fitted={"fork": "short"})]
    assert side(bouts, ["A"], at("tine-long"), lambda b: b.fitted["fork"] == "long").exposure == 1


def test_an_unmatched_failure_burdens_a_bout_without_one_of_its_own():
    bouts = [
        bout("A", broke()),
        bout("A", broke(), broke("lid")),
        bout("A", broke(severity="cosmetic")),
        bout("A"),
    ]
    assert side(bouts, ["A"], at("lid"), always) == Side(failures=1, exposure=4, unmatched=1)


def test_a_mode_narrows_what_is_owned_and_a_mode_alone_owns_it_everywhere():
    bouts = [
        bout("A", broke("lid", mode="Bent")),
        bout("A", broke("arm", mode="bent")),
        bout("A", broke("lid", mode="lost")),
    ]
    assert side(bouts, ["A"], at("lid", modes=("bent",)), always).failures == 1
    assert side(bouts, ["A"], at(modes=("bent",)), always).failures == 2


def test_nothing_named_touches_nothing_of_another_step():
    assert not at(modes=("bent",)).overlaps({"lid"})
