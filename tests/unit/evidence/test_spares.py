"""Pieces that bouts took, over items in all their places, and how many to pack."""

from datetime import date

import pytest

from lineage.evidence.bouts import Failure, RobotBout
from lineage.evidence.gamma_poisson import Demand, chance_short
from lineage.evidence.spares import chance_box_short, family_demand, items_of, pieces_used, spare
from tests.hand_built import assembled, module, part, place, robot, screws


def bout(*failures: Failure) -> RobotBout:
    return RobotBout(
        robot="wren", event="e", day=date(2025, 3, 1), bout="1", label="A", is_certain=True, was_fought=True,
        outcome="won", ran_s=None, failures=failures,
    )  # fmt: skip


def broke(at: str, severity: str = "weakened", **keys) -> Failure:
    return Failure(at=at, things=(at,), mode="bent", severity=severity, **keys)


POD = module("pod", parts={"gearbox": part(), "motor": part(item="22 mm  motor")})
WREN = robot(
    parts={"lid": part(), "spin-motor": part(item="22 mm motor", count=2)},
    fasteners={"lid-screws": screws("M3x10 cap", 4, "lid")},
    modules={"left": place("pod"), "right": place("pod")},
)


def test_an_item_is_what_it_was_bought_as_or_its_module_and_name_in_all_places_together():
    items = items_of(assembled(WREN, POD))
    assert {item: found.refs for item, found in items.items()} == {
        "wren.lid": ("lid",),
        "22 mm motor": ("spin-motor", "left.motor", "right.motor"),
        "pod.gearbox": ("left.gearbox", "right.gearbox"),
    }


@pytest.mark.parametrize(
    ("failures", "pieces"),
    [
        ([broke("lid"), broke("lid", "disabling")], 2),
        ([broke("lid", "cosmetic")], 0),
        ([broke("lid", was_found=True)], 0),
        ([broke("lid", used={"lid": 3})], 3),
        ([broke("lid", used={"lid": 0})], 0),
        ([broke("lid", used={"arm": 2})], 1),
        ([broke("arm", used={"lid": 2})], 2),
        ([broke("arm")], 0),
    ],
)
def test_demand_is_what_used_says_of_it_else_one_a_damage(failures, pieces):
    assert pieces_used([bout(*failures)], ["lid"]) == pieces


def test_the_family_sums_items_over_robot_bouts_and_counts_each_items_own_demand():
    assembly = assembled(WREN, POD)
    bouts = [bout(broke("left.gearbox", used={"lid": 2})), bout(broke("left")), bout()]
    # the gearbox itself one, two lids, a place none; three items in each of three bouts
    assert family_demand((b, assembly) for b in bouts) == Demand(3, 9)


def test_assemblies_that_nobody_keeps_are_not_mixed_up():
    def fresh():
        for parts in ({"lid": part()}, {"a": part(), "b": part(), "c": part()}) * 20:
            yield bout(), assembled(robot(parts=parts))

    assert family_demand(fresh()).bouts == 20 * (1 + 3)


def test_the_quantity_is_the_least_whose_chance_of_running_short_is_at_most_one_in_twenty():
    item = items_of(assembled(WREN, POD))["pod.gearbox"]
    own, family = Demand(2, 20), Demand(9, 300)
    found = spare(item, own, family, 10)
    assert found.quantity is not None
    assert found.chance_short == chance_short(own, family, 10, found.quantity) <= 0.05
    assert chance_short(own, family, 10, found.quantity - 1) > 0.05
    assert (found.ref, found.used, found.bouts) == ("left.gearbox", 2, 20)


def test_without_any_demand_in_the_family_nothing_is_known():
    found = spare(items_of(assembled(WREN, POD))["wren.lid"], Demand(0, 5), Demand(0, 300), 10)
    assert (found.quantity, found.chance_short) == (None, None)
    assert chance_box_short([found]) is None


def test_the_box_runs_short_when_any_item_does():
    item = items_of(assembled(WREN, POD))["wren.lid"]
    one = spare(item, Demand(1, 20), Demand(9, 300), 10)
    assert chance_box_short([one, one]) == pytest.approx(1 - (1 - one.chance_short) ** 2)
