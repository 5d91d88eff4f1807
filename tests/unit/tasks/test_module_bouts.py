"""The card of a module counts the robot-bouts that it was in, and what failed inside it under its own names."""

from lineage.tasks.card import card
from tests.in_memory import InMemory

POD = "module: pod\nparts: {{gearbox: {{mass: {} g}}, motor: {{mass: 41 g}}}}\n"


def robot(name, build, front="pod@A"):
    return f"robot: {name}\nparts: {{lid: {{mass: 20 g}}}}\nmodules: {{left: pod@{build}, right: {front}}}\n"


def bout(name, number, build, *broke, rest=""):
    damage = "".join(f"{{at: {at}, mode: stripped}}," for at in broke)
    return f"- {{robot: {name}, bout: {number}, build: {build}, outcome: won, ran: 60 s, broke: [{damage}]{rest}}}\n"


def family():
    made = InMemory()
    for label, mass in (("A", 23), ("B", 25), ("C", 27)):
        made.record("pod", label, "2025-01-01", POD.format(mass))
    for name in ("wren", "owl"):
        made.record(name, "A", "2025-01-05", robot(name, "A"))
        made.record(name, "B", "2025-02-05", robot(name, "B"))
    made.write({
        "bouts/2025-01-06-meet.yaml": bout("wren", 1, "A", "left.gearbox", "right.gearbox", "lid")
        + bout("wren", 2, "A", "weel") + bout("owl", 1, "A") + bout("owl", 2, "A", rest=", fought: no"),
        "bouts/2025-02-06-meet.yaml": bout("wren", 1, "B", "left.gearbox") + bout("owl", 1, "B", "right") + bout("owl", 2, "Z", "left.motor"),
    })  # fmt: skip
    return made


def failures(label):
    return card(family().state(f"pod@{label}")).failures


def test_one_that_is_in_two_places_is_in_a_robot_bout_once_and_fails_in_it_once():
    found = failures("A")
    assert (found.bouts, found.minutes) == (5, 5.0)
    assert [(item.at, item.count) for item in found.items] == [("gearbox", 1), ("pod", 1)]
    assert found.items[0].share.value == 1 / 5


def test_only_the_place_that_holds_the_build_counts_where_another_holds_another():
    found = failures("B")
    assert found.bouts == 2
    assert [(item.at, item.count) for item in found.items] == [("gearbox", 1)]


def test_a_build_that_was_in_no_bout_has_none():
    assert failures("C").bouts == 0


def test_whose_bouts_they_are_and_what_is_left_out_is_said():
    assert failures("A").left_out == (
        "bouts of wren 3, owl 2; one with it in several places is one bout",
        "damage at a place that nobody knows in 1 of them may be its own",
        "1 bout of its robots whose build is not certain: left out",
        "1 won or lost without a fight: counted as won or lost, not as a bout of its things",
    )


def test_a_module_inside_another_counts_as_one_at_any_depth():
    made = family()
    made.record("tray", "A", "2025-01-02", "module: tray\nmodules: {pod: pod@C}\n")
    made.record("kite", "A", "2025-01-05", "robot: kite\nmodules: {tray: tray@A}\n")
    made.write({"bouts/2025-03-06-meet.yaml": bout("kite", 1, "A", "tray.pod.motor")})
    inner, outer = (card(made.state(asked)).failures.items for asked in ("pod@C", "tray@A"))
    assert [[item.at for item in items] for items in (inner, outer)] == [["motor"], ["pod.motor"]]
