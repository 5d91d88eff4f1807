"""Six small robots taken apart by hand, and what was worked out on paper for each.

An M3x10 screw and an M5x16 screw both take 20 turns to come out (10/0.5 and 16/0.8), so each takes
3 + 20 × 0.6 = 15 s; a tool 4 s, a part 3 s, a clip 4 s; everything twice, off and back on.
"""

from collections.abc import Mapping

import pytest

from lineage.figures.service import (
    Timing,
    WayIn,
    chance_in_time,
    fits_turnaround,
    rings,
    service_load,
    timing_from,
    ways_in,
)
from lineage.spec.assembly import Assembly
from lineage.spec.records import Choice, Times
from tests.hand_built import assembled, mm, module, option, part, place, robot, screws, way

SMALL, LARGE = "M3x10 cap", "M5x16 cap"
HEX_SMALL, HEX_LARGE = "2.5 mm hex key", "4 mm hex key"


def worked_out(assembly: Assembly, times: Times | None = None) -> Mapping[str, WayIn]:
    return ways_in(assembly, times or Times(), timing_from([]))


def seconds_of(way_in: WayIn) -> float | None:
    return None if way_in.seconds is None else way_in.seconds.value


# --- 1. a thing behind two others ------------------------------------------------------------------------


def behind_two() -> Assembly:
    return assembled(
        robot(
            parts={
                "base": part(),
                "lid": part(),
                "guard": part(),
                "battery": part("lid", "guard"),
            },
            fasteners={
                "lid-screws": screws(SMALL, 4, "lid", "base"),
                "guard-screws": screws(LARGE, 2, "guard", "base"),
            },
        )
    )


def test_what_is_in_front_comes_off_first_as_typed():
    battery = worked_out(behind_two())["battery"]
    assert battery.off == ("lid", "guard")
    assert battery.undo == ("lid-screws", "guard-screws")
    assert battery.screws == 6
    assert battery.tools == (HEX_SMALL, HEX_LARGE)
    assert seconds_of(battery) == pytest.approx(2 * (2 * 4 + 6 * 15 + 3 * 3))
    assert (battery.ways, battery.blocked_by, battery.over_budget) == (1, None, False)


def test_a_thing_that_screws_go_into_has_them_undone():
    base = worked_out(behind_two())["base"]
    assert base.off == ()
    assert base.undo == ("lid-screws", "guard-screws")
    assert seconds_of(base) == pytest.approx(2 * (2 * 4 + 6 * 15 + 3))


# --- 2. a group that goes into three ---------------------------------------------------------------------


def into_three() -> Assembly:
    return assembled(
        robot(
            parts={"deck": part(), "left": part(), "right": part(), "rear": part()},
            fasteners={
                "rear-screws": screws(LARGE, 2, "rear", "left", "right"),
                "deck-screws": screws(SMALL, 8, "deck", "left", "right", "rear"),
            },
        )
    )


@pytest.mark.parametrize("ref", ["left", "right", "rear"])
def test_a_group_is_undone_for_each_of_the_three_it_goes_into(ref):
    found = worked_out(into_three())[ref]
    assert found.undo == ("deck-screws", "rear-screws")  # by tool, then name
    assert found.screws == 10
    assert found.off == ()
    assert seconds_of(found) == pytest.approx(2 * (2 * 4 + 10 * 15 + 3))


def test_what_it_holds_needs_that_group_alone():
    deck = worked_out(into_three())["deck"]
    assert (deck.undo, deck.screws, deck.tools) == (("deck-screws",), 8, (HEX_SMALL,))
    assert seconds_of(deck) == pytest.approx(2 * (4 + 8 * 15 + 3))


# --- 3. a module in two places ---------------------------------------------------------------------------


def pod(**keys):
    return module(
        "pod",
        parts={"frame": part(), "wheel": part(joined="clipped on"), "gearbox": part("wheel")},
        fasteners={"gear-screws": screws(SMALL, 3, "gearbox", "frame")},
        **keys,
    )


def two_pods(**keys) -> Assembly:
    design = robot(
        parts={"side": part(), "skirt": part()},
        modules={"pod-left": place("pod", "skirt"), "pod-right": place("pod")},
        fasteners={
            "skirt-screws": screws(SMALL, 2, "skirt", "side"),
            "left-mount": screws(LARGE, 2, "pod-left", "side"),
            "right-mount": screws(LARGE, 2, "pod-right", "side"),
        },
        **keys,
    )
    return assembled(design, pod())


def test_the_free_place_needs_nothing_of_its_host():
    gearbox = worked_out(two_pods())["pod-right.gearbox"]
    assert gearbox.off == ("pod-right.wheel",)
    assert gearbox.undo == ("pod-right.gear-screws",)
    assert seconds_of(gearbox) == pytest.approx(2 * (4 + 3 * 15 + 4 + 3))


def test_what_a_place_is_behind_comes_off_for_everything_in_it():
    gearbox = worked_out(two_pods())["pod-left.gearbox"]
    assert gearbox.off == ("skirt", "pod-left.wheel")
    assert gearbox.undo == ("skirt-screws", "pod-left.gear-screws")
    assert gearbox.screws == 5
    assert seconds_of(gearbox) == pytest.approx(2 * (4 + 5 * 15 + 3 + 4 + 3))


def test_a_place_comes_off_without_undoing_what_is_inside_it():
    found = worked_out(two_pods())
    assert found["pod-right"].undo == ("right-mount",)
    assert found["pod-left"].undo == ("skirt-screws", "left-mount")
    assert found["pod-left"].off == ("skirt",)
    assert seconds_of(found["pod-left"]) == pytest.approx(2 * (2 * 4 + 4 * 15 + 2 * 3))


def test_a_screw_of_the_host_into_something_inside_holds_the_place_too():
    design = robot(
        parts={"strap": part()},
        modules={"pod-left": place("pod")},
        fasteners={"strap-screws": screws(SMALL, 1, "strap", "pod-left.frame")},
    )
    found = worked_out(assembled(design, pod()))
    assert found["pod-left"].undo == ("strap-screws",)
    assert found["pod-left.frame"].undo == ("pod-left.gear-screws", "strap-screws")


# --- 4. a ring of behind ---------------------------------------------------------------------------------


def ring(**keys) -> Assembly:
    return assembled(
        robot(
            parts={
                "base": part(),
                "lid": part("handle"),
                "handle": part("lid"),
                "battery": part("lid"),
            },
            fasteners={"handle-screws": screws(SMALL, 2, "handle", "base")},
            **keys,
        )
    )


def test_a_ring_leaves_no_way_and_is_named():
    found = worked_out(ring())
    for ref in ("lid", "handle", "battery"):
        assert (found[ref].screws, found[ref].seconds, found[ref].ways) == (None, None, 0)
        assert found[ref].blocked_by == ("lid", "handle")
        assert not found[ref].over_budget
    assert found["base"].screws == 2
    (found_ring,) = rings(ring())
    assert (found_ring.refs, found_ring.at, found_ring.level) == (("lid", "handle"), "lid", "error")


def test_a_ring_with_another_way_open_is_a_warning():
    opened = ring(access={"handle": (way("lid", undo=("handle-screws",)), way(undo=("handle-screws",)))})
    found = worked_out(opened)
    assert found["handle"].ways == 1
    assert found["handle"].off == ()
    assert found["battery"].off == ("handle", "lid")
    assert seconds_of(found["battery"]) == pytest.approx(2 * (4 + 2 * 15 + 3 * 3))
    (found_ring,) = rings(opened)
    assert (found_ring.refs, found_ring.level) == (("lid", "handle"), "warning")


def test_screws_that_are_behind_what_they_hold_are_a_ring():
    assembly = assembled(
        robot(parts={"lid": part()}, fasteners={"lid-screws": screws(SMALL, 1, "lid", behind=("lid",))})
    )
    assert worked_out(assembly)["lid"].blocked_by == ("lid", "lid-screws")


# --- 5. two ways in --------------------------------------------------------------------------------------


def two_ways(**keys) -> Assembly:
    return assembled(
        robot(
            parts={
                "base": part(),
                "top": part(),
                "bottom": part(),
                "belt": part("top"),
                "motor": part(),
                "pulley": part("belt", "motor"),
            },
            fasteners={
                "top-screws": screws(SMALL, 6, "top", "base"),
                "bottom-screws": screws(SMALL, 4, "bottom", "base"),
                "motor-screws": screws(SMALL, 4, "motor", "base"),
            },
            access={
                "motor": (way("top", undo=("motor-screws",)), way("bottom", undo=("motor-screws",))),
            },
            **keys,
        )
    )


def test_the_cheapest_way_counts():
    motor = worked_out(two_ways())["motor"]
    assert motor.ways == 2
    assert motor.off == ("bottom",)
    assert motor.undo == ("bottom-screws", "motor-screws")
    assert seconds_of(motor) == pytest.approx(2 * (4 + 8 * 15 + 2 * 3))


def test_what_is_off_anyway_makes_the_other_way_the_cheapest():
    pulley = worked_out(two_ways())["pulley"]
    assert pulley.off == ("top", "belt", "motor")
    assert pulley.undo == ("top-screws", "motor-screws")
    assert pulley.screws == 10
    assert seconds_of(pulley) == pytest.approx(2 * (4 + 10 * 15 + 4 * 3))


def motor_by(*ways):
    """Two screws of 12 turns hold b, one of 20 turns holds a; c and d are plugged; a turn takes a second."""
    design = robot(
        parts={
            "motor": part(),
            "a": part(),
            "b": part(),
            "c": part(joined="plugged"),
            "d": part(joined="plugged"),
        },
        fasteners={
            "two": screws(SMALL, 2, "b", grip=mm(4), depth=mm(6)),
            "one": screws(SMALL, 1, "a"),
        },
        access={"motor": ways},
    )
    return worked_out(assembled(design), Times(tool=0, screw=0, turn=1, part=3, plug=4))["motor"]


def test_equal_seconds_are_decided_by_screws():
    assert seconds_of(motor_by(way("b"))) == seconds_of(motor_by(way("a", "c"))) == 2 * (24 + 3 + 3)
    assert motor_by(way("b"), way("a", "c")).off == ("a", "c")


def test_equal_screws_are_decided_by_names_whatever_was_typed_first():
    assert motor_by(way("d"), way("c")).off == ("c",)
    assert motor_by(way("c", tools=("pliers",)), way("c", tools=("a hook",))).tools == ("a hook",)


# --- 6. a choice that blocks a way -----------------------------------------------------------------------


def with_front(front: str) -> Assembly:
    return assembled(
        robot(
            parts={"base": part(), "hatch": part("front-plate"), "lid": part(), "battery": part()},
            fasteners={
                "hatch-screws": screws(SMALL, 2, "hatch", "base"),
                "lid-screws": screws(SMALL, 6, "lid", "base"),
            },
            options={
                "front": option(
                    plate=Choice(
                        parts={"front-plate": part()},
                        fasteners={
                            "plate-screws": screws(SMALL, 2, "front-plate", "base", behind=("battery",))
                        },
                    ),
                    bare=Choice(),
                )
            },
            fitted={"front": "bare"},
            access={"battery": (way("hatch"), way("lid"))},
        ),
        choices={"front": front},
    )


def test_without_the_plate_the_hatch_is_the_way_in():
    battery = worked_out(with_front("bare"))["battery"]
    assert (battery.ways, battery.off, battery.undo) == (2, ("hatch",), ("hatch-screws",))
    assert seconds_of(battery) == pytest.approx(2 * (4 + 2 * 15 + 2 * 3))
    assert rings(with_front("bare")) == ()


def test_a_plate_with_its_screws_under_the_battery_blocks_the_hatch():
    found = worked_out(with_front("plate"))
    assert (found["battery"].ways, found["battery"].off) == (1, ("lid",))
    assert seconds_of(found["battery"]) == pytest.approx(2 * (4 + 6 * 15 + 2 * 3))
    assert found["hatch"].off == ("lid", "battery", "front-plate")
    assert found["hatch"].undo == ("lid-screws", "plate-screws", "hatch-screws")
    assert seconds_of(found["hatch"]) == pytest.approx(2 * (4 + 10 * 15 + 4 * 3))
    (found_ring,) = rings(with_front("plate"))
    assert found_ring.refs == ("hatch", "front-plate", "plate-screws", "battery")
    assert found_ring.level == "warning"


# --- access lists ----------------------------------------------------------------------------------------


def test_the_outermost_list_wins_and_takes_no_place_along():
    listed = two_pods(access={"pod-left.gearbox": (way(undo=("pod-left.gear-screws",)),)})
    gearbox = worked_out(listed)["pod-left.gearbox"]
    assert gearbox.off == ()
    assert gearbox.undo == ("pod-left.gear-screws",)


def test_a_list_of_the_module_itself_keeps_what_its_place_is_behind():
    own = pod(access={"gearbox": (way(undo=("gear-screws",), tools=("tweezers",)),)})
    design = robot(parts={"skirt": part()}, modules={"pod-left": place("pod", "skirt")})
    gearbox = worked_out(assembled(design, own))["pod-left.gearbox"]
    assert gearbox.off == ("skirt",)
    assert gearbox.undo == ("pod-left.gear-screws",)
    assert set(gearbox.tools) == {HEX_SMALL, "tweezers"}
    assert seconds_of(gearbox) == pytest.approx(2 * (2 * 4 + 3 * 15 + 2 * 3))


def test_what_is_undone_and_is_no_group_comes_off_like_what_is_in_front():
    design = robot(
        parts={"lid": part(), "strap": part(joined="clipped"), "battery": part()},
        fasteners={"lid-screws": screws(SMALL, 1, "lid")},
        access={"battery": (way("lid", undo=("strap",)),)},
    )
    battery = worked_out(assembled(design))["battery"]
    assert battery.off == ("lid", "strap")
    assert seconds_of(battery) == pytest.approx(2 * (4 + 15 + 3 + 4 + 3))


def test_screws_named_in_front_are_undone():
    design = robot(
        parts={"lid": part(), "battery": part("lid-screws")},
        fasteners={"lid-screws": screws(SMALL, 1, "lid")},
    )
    battery = worked_out(assembled(design))["battery"]
    assert (battery.off, battery.undo) == ((), ("lid-screws",))


def test_a_place_behind_one_of_its_own_parts_does_not_hide_that_part():
    design = robot(modules={"pod-left": place("pod", "pod-left.wheel")})
    found = worked_out(assembled(design, pod()))
    assert found["pod-left.wheel"].off == ()
    assert found["pod-left"].off == ("pod-left.wheel",)
    assert found["pod-left.frame"].off == ("pod-left.wheel",)


# --- seconds ---------------------------------------------------------------------------------------------


def test_turns_count_the_engaged_length_where_it_is_known():
    assembly = assembled(
        robot(
            parts={"lid": part()},
            fasteners={"lid-screws": screws(SMALL, 2, "lid", grip=mm(4), depth=mm(8))},
        )
    )
    # engaged: min(10 − 4, 8) = 6 mm, 12 turns
    assert seconds_of(worked_out(assembly)["lid"]) == pytest.approx(2 * (4 + 2 * (3 + 12 * 0.6) + 3))


def test_several_pieces_of_one_ref_come_off_as_one():
    assembly = assembled(robot(parts={"lid": part(count=4)}))
    assert seconds_of(worked_out(assembly)["lid"]) == pytest.approx(2 * 3)


def test_the_family_has_its_own_times():
    assembly = assembled(robot(parts={"plug": part(joined="plugged"), "lid": part()}))
    found = worked_out(assembly, Times(part=5, plug=1))
    assert (seconds_of(found["plug"]), seconds_of(found["lid"])) == (2, 10)


def unpitched(**keys) -> Assembly:
    return assembled(
        robot(
            parts={"lid": part(), "hatch": part(), "battery": part()},
            fasteners={
                "lid-rivets": screws("blind rivet", 1, "lid", mass=part().mass),
                "hatch-screws": screws(SMALL, 9, "hatch"),
            },
            **keys,
        )
    )


def test_without_a_pitch_seconds_are_not_known_and_screws_are():
    lid = worked_out(unpitched())["lid"]
    assert (lid.screws, lid.seconds, lid.ways, lid.undo) == (1, None, 1, ("lid-rivets",))


def test_a_way_without_seconds_ranks_after_timed_ones():
    found = worked_out(unpitched(access={"battery": (way("lid"), way("hatch"))}))
    assert found["battery"].off == ("hatch",)


def test_more_than_4096_combinations_are_not_searched_and_said():
    parts = {f"p{i}": part() for i in range(13)} | {"left": part(), "right": part()}
    access = {f"p{i}": (way("left"), way("right")) for i in range(13)}
    both = {
        "few": part(*(f"p{i}" for i in range(12))),
        "many": part(*(f"p{i}" for i in range(13))),
    }
    found = worked_out(assembled(robot(parts=parts | both, access=access)))
    assert found["few"].screws == 0
    assert not found["few"].over_budget
    assert (found["many"].screws, found["many"].seconds, found["many"].over_budget) == (None, None, True)
    assert found["many"].ways == 1
    assert found["many"].blocked_by is None


def test_twelve_choices_that_touch_nothing_in_common_are_each_the_cheapest():
    parts, groups, access = {}, {}, {}
    for n in range(12):
        parts |= {f"lid{n}": part(), f"near{n}": part(), f"far{n}": part()}
        access[f"lid{n}"] = (way(f"near{n}"), way(f"far{n}"))
        if n % 2:
            groups[f"s{n}"] = screws(SMALL, 1, f"far{n}")
    parts["deep"] = part(*(f"lid{n}" for n in range(12)))
    found = worked_out(assembled(robot(parts=parts, fasteners=groups, access=access)))["deep"]
    by_screws_then_names = {f"near{n}" if n % 2 else f"far{n}" for n in range(12)}
    assert {ref for ref in found.off if not ref.startswith("lid")} == by_screws_then_names
    assert (found.screws, seconds_of(found)) == (0, 2 * 25 * 3.0)


def test_names_of_all_that_goes_decide_where_choices_bear_on_each_other():
    untimed = {"lid-rivets": screws("a rivet of our own", 1, "lid")}
    parts = {
        "lid": part(),
        "a": part("lid"),
        "b": part("lid"),
        "wire": part(),
        "clamp": part(),
        "deep": part("a", "b"),
    }
    access = {"a": (way("lid"), way("lid", "wire")), "b": (way("lid", "wire"), way("lid", "clamp"))}
    found = worked_out(assembled(robot(parts=parts, fasteners=untimed, access=access)))["deep"]
    assert found.seconds is None
    assert found.off == ("lid", "a", "clamp", "b")


def test_steps_are_in_the_order_in_which_they_go():
    parts = {"deck": part(), "strap": part("deck"), "battery": part("strap")}
    groups = {"deck-screws": screws(SMALL, 2, "deck"), "strap-screws": screws(SMALL, 1, "strap")}
    found = worked_out(assembled(robot(parts=parts, fasteners=groups)))["battery"]
    assert found.steps == ("deck-screws", "deck", "strap-screws", "strap")
    assert (found.undo, found.off) == (("deck-screws", "strap-screws"), ("deck", "strap"))


# --- timing ----------------------------------------------------------------------------------------------


def test_without_a_timed_service_the_factor_is_one_and_the_spread_30_percent():
    assert timing_from([]) == Timing(factor=1.0, spread=0.30, timed=0)
    assert timing_from([1.5, 2.5]) == Timing(factor=2.0, spread=0.30, timed=2)


def test_from_three_on_the_spread_is_that_of_the_ratios_and_at_least_15_percent():
    assert timing_from([1.0, 2.0, 4.0]) == Timing(factor=2.0, spread=pytest.approx(1.4826 * 0.5), timed=3)
    assert timing_from([2.0, 2.0, 2.0]) == Timing(factor=2.0, spread=0.15, timed=3)


def test_the_factor_multiplies_seconds_and_the_spread_is_their_u():
    found = ways_in(behind_two(), Times(), Timing(factor=1.5, spread=0.2, timed=5))["lid"]
    assert seconds_of(found) == pytest.approx(1.5 * 134)
    assert found.seconds is not None
    assert found.seconds.u == pytest.approx(0.2 * 1.5 * 134)


def test_whether_a_job_fits_the_turnaround_is_not_said_before_one_was_timed():
    lid = worked_out(behind_two())["lid"]
    assert fits_turnaround(lid, 600.0, timing_from([])) is None
    timed = timing_from([1.0])
    assert fits_turnaround(lid, 600.0, timed) is True
    assert fits_turnaround(lid, 100.0, timed) is False
    assert fits_turnaround(lid, None, timed) is None
    assert chance_in_time(lid, 134.0, timed) == pytest.approx(0.5)
    assert chance_in_time(lid, 134.0 * 1.3, timed) == pytest.approx(0.8413447460685429)


# --- expected load ---------------------------------------------------------------------------------------


def test_the_service_load_is_the_sum_of_share_times_seconds_and_names_what_dominates():
    found = worked_out(behind_two())
    load = service_load(found, {"lid": 0.5, "battery": 0.25, "nowhere": 0.1})
    assert load.seconds_per_bout == pytest.approx(0.5 * 134 + 0.25 * 214)
    assert [item.ref for item in load.items] == ["lid", "battery"]
    assert load.items[0].part_of_load == pytest.approx(67 / 120.5)
    assert load.dominant == "lid"
    assert load.not_known == ("nowhere",)


def test_a_load_of_nothing_known_is_not_known():
    load = service_load({}, {"lid": 0.5})
    assert (load.seconds_per_bout, load.dominant, load.not_known) == (None, None, ("lid",))


@pytest.mark.parametrize("module_count", [200])
def test_all_ways_of_a_large_robot_are_found(module_count):
    parts = {"lid": part(), "hatch": part()} | {
        f"p{i}": part(*([f"p{i - 1}"] if i % 10 else ["lid"])) for i in range(module_count)
    }
    fasteners = {f"s{i}": screws(SMALL, 2, f"p{i}", "lid") for i in range(40)}
    found = worked_out(
        assembled(robot(parts=parts, fasteners=fasteners, access={"lid": (way("hatch"), way())}))
    )
    assert len(found) == module_count + 2
    assert found["p199"].off[0] == "lid"
