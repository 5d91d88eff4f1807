"""Where the centre of mass lies, with modules turned and mirrored in their places."""

from math import sqrt

import pytest

from lineage.figures.balance import balance, position, turned
from lineage.figures.weight import weigh
from lineage.spec.records import Turn
from lineage.values.quantity import Position
from lineage.values.uncertain import Uncertain
from tests.hand_built import assembled, module, place, robot
from tests.weighing_bench import piece


def point(x, y, z):
    return Position(text="", x=float(x), y=float(y), z=float(z))


def at(x, y, z, grams="10 g ± 0 g"):
    return piece(mass=grams, centre=point(x, y, z))


def balance_of(assembly):
    return balance(assembly, weigh(assembly, {}).masses)


def values(found):
    return tuple(axis.value for axis in found.centre)


# Right-handed: about x, y goes to z; about y, z to x; about z, x to y.
@pytest.mark.parametrize(
    "axis, degrees, start, end",
    [
        ("x", 90, (0, 1, 0), (0, 0, 1)),
        ("y", 90, (0, 0, 1), (1, 0, 0)),
        ("z", 90, (1, 0, 0), (0, 1, 0)),
        ("z", -90, (1, 0, 0), (0, -1, 0)),
        ("z", 180, (1, 2, 3), (-1, -2, 3)),
        ("z", 450, (1, 0, 0), (0, 1, 0)),
        ("y", None, (1, 2, 3), (1, -2, 3)),
    ],
)
def test_a_step_turns_right_handed_or_mirrors(axis, degrees, start, end):
    assert turned(start, Turn(axis, degrees)) == end


def test_other_angles_turn_too():
    assert turned((1, 0, 0), Turn("z", 45)) == pytest.approx((sqrt(0.5), sqrt(0.5), 0))


def test_the_centre_lies_between_by_mass():
    found = balance_of(assembled(robot(parts={"a": at(0, 0, 0), "b": at(40, 20, -8, "30 g ± 0 g")})))
    assert values(found) == (30, 15, -6)
    assert found.known_mass.value == 40


def test_what_has_no_centre_is_not_counted_in():
    found = balance_of(assembled(robot(parts={"a": at(5, 0, 0), "b": piece(mass="500 g")})))
    assert values(found) == (5, 0, 0)
    assert found.known_mass.value == 10


def test_a_module_lies_where_its_place_says_turned_in_the_order_typed():
    gear = module("gear", parts={"pin": at(1, 0, 0)})
    pod = module("pod", modules={"gear": place("gear", centre=point(10, 0, 0), turned=(Turn("z", 90.0),))})
    wren = robot(
        modules={"left": place("pod", centre=point(0, 100, 0), turned=(Turn("z", 90.0), Turn("y", None)))}
    )
    assembly = assembled(wren, pod, gear)
    # in the gear (1, 0, 0) → turned (0, 1, 0) → in the pod (10, 1, 0) → turned (-1, 10, 0) → mirrored (-1, -10, 0)
    assert position(assembly, "left.gear.pin") == (-1, 90, 0)
    assert values(balance_of(assembly)) == (-1, 90, 0)


def test_a_mirrored_pair_balances_in_the_middle():
    pod = module("pod", parts={"motor": at(10, 5, 2)})
    pair = {
        "left": place("pod", centre=point(0, 30, 0)),
        "right": place("pod", centre=point(0, -30, 0), turned=(Turn("y", None),)),
    }
    assert values(balance_of(assembled(robot(modules=pair), pod))) == (10, 0, 2)


def test_a_place_without_a_centre_leaves_what_is_in_it_out():
    pod = module("pod", parts={"motor": at(10, 5, 2)})
    assert balance_of(assembled(robot(modules={"left": place("pod")}), pod)) is None


def test_an_error_of_a_mass_moves_the_centre_by_its_lever():
    found = balance_of(
        assembled(robot(parts={"a": at(0, 0, 0, "10 g ± 2 g"), "b": at(40, 0, 0, "30 g ± 0 g")}))
    )
    assert found.centre[0].u == pytest.approx(30 / 40 * 1)
    assert found.centre[1].u == 0


def test_an_unknown_error_leaves_the_centres_not_known():
    assembly = assembled(robot(parts={"a": at(0, 0, 0), "b": at(40, 0, 0)}))
    masses = {"a": Uncertain(10.0, {}, frozenset(("thickness",))), "b": Uncertain(10.0)}
    assert balance(assembly, masses).centre[0].u is None
