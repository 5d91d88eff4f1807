"""Ways that a thing goes in."""

from types import SimpleNamespace

import pytest

from lineage.figures.wrong_ways import NEAR_MM, WrongWay, wrong_ways
from lineage.spec.records import Part
from tests.hand_built import assembled, module, part, place, robot

DRAWINGS = {
    "plates/lid.dxf": "1d",
    "plates/disc.dxf": "d15c",
    "plates/near.dxf": "nea7",
    "plates/far.dxf": "fa7",
}
SYMMETRY = {
    "1d": SimpleNamespace(orientations=4, nearest_mm=0.7),
    "1d  REF": SimpleNamespace(orientations=1, nearest_mm=9.0),
    "d15c": SimpleNamespace(orientations=None, nearest_mm=None),
    "nea7": SimpleNamespace(orientations=1, nearest_mm=NEAR_MM),
    "fa7": SimpleNamespace(orientations=1, nearest_mm=NEAR_MM + 0.01),
}


def plate(drawing: str = "plates/lid.dxf", **keys) -> Part:
    return Part(stock="pc-3", outline=drawing, **keys)


def found(**parts) -> dict[str, WrongWay]:
    return dict(wrong_ways(assembled(robot(parts=parts), drawings=DRAWINGS), SYMMETRY))


def test_an_outline_says_it_whatever_is_typed():
    lid = found(lid=plate(orientations=1))["lid"]
    assert (lid.orientations, lid.nearest_mm, lid.can_go_wrong) == (4, 0.7, True)


def test_a_mark_clears_the_warning_and_keeps_the_count():
    lid = found(lid=plate(marked="yes"))["lid"]
    assert (lid.orientations, lid.marked, lid.can_go_wrong) == (4, "yes", False)
    assert found(lid=plate(marked="no"))["lid"].can_go_wrong


def test_a_plate_that_is_nearly_the_same_another_way_round_looks_right_and_is_warned_of():
    near, far = found(near=plate("plates/near.dxf"), far=plate("plates/far.dxf")).values()
    assert (near.orientations, near.looks_right, near.can_go_wrong) == (1, True, True)
    assert (far.orientations, far.looks_right, far.can_go_wrong) == (1, False, False)
    assert not found(near=plate("plates/near.dxf", marked="yes"))["near"].can_go_wrong


def test_a_left_plate_can_be_taken_for_the_right_one_unless_it_is_marked():
    pair = {"left": plate("plates/far.dxf"), "right": plate("plates/far.dxf", marked="yes")}
    assembly = assembled(robot(parts=pair), drawings=DRAWINGS)
    left, right = wrong_ways(assembly, SYMMETRY, {"left": ("right",), "right": ("left",)}).values()
    assert (left.mirror_of, left.can_go_wrong) == (("right",), True)
    assert (right.mirror_of, right.can_go_wrong) == (("left",), False)


def test_one_drawing_without_one_of_its_layers_is_another_outline():
    both = found(lid=plate(), slim=plate(ignore=("REF",)))
    assert [way.orientations for way in both.values()] == [4, 1]


def test_what_every_turn_leaves_alone_has_no_count_and_no_warning():
    disc = found(disc=plate("plates/disc.dxf"))["disc"]
    assert (disc.orientations, disc.can_go_wrong) == (None, False)


def test_a_drawing_that_could_not_be_read_says_nothing():
    lost = found(lost=plate("plates/lost.dxf", orientations=2))["lost"]
    assert (lost.orientations, lost.nearest_mm) == (None, None)


@pytest.mark.parametrize(("typed", "warned"), [(1, False), (2, True)])
def test_without_an_outline_what_is_typed_counts(typed, warned):
    motor = found(motor=part(orientations=typed))["motor"]
    assert (motor.orientations, motor.nearest_mm, motor.can_go_wrong) == (typed, None, warned)


def test_parts_of_which_nobody_said_anything_are_left_out():
    assert found(motor=part()) == {}


def test_a_place_goes_in_as_its_host_says():
    pod = module("pod", parts={"cap": part(orientations=2, marked="yes")})
    design = robot(modules={"left": place("pod", orientations=2), "right": place("pod")})
    places = wrong_ways(assembled(design, pod), {})
    assert list(places) == ["left", "left.cap", "right.cap"]
    assert places["left"].can_go_wrong
    assert not places["left.cap"].can_go_wrong
