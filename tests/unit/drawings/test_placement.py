"""Where coordinates lie."""

import pytest

from lineage.drawings.outline import Arc, Line
from lineage.drawings.placement import SEEN_FROM_BELOW, Placement, moved, scaled, turned


def test_the_inner_placement_comes_first():
    assert moved((10, 0)).of(turned(90)).point((1, 0)) == pytest.approx((10, 1))
    assert turned(90).of(moved((10, 0))).point((1, 0)) == pytest.approx((0, 11))


def test_quarter_turns_leave_no_rounding():
    assert turned(90).point((3, 4)) == (-4, 3)
    assert turned(-90).point((3, 4)) == (4, -3)
    assert turned(540).point((3, 4)) == (-3, -4)


def test_a_vector_is_turned_and_scaled_but_not_moved():
    place = moved((100, 100)).of(scaled(25.4))
    assert place.vector((1, 2)) == pytest.approx((25.4, 50.8))
    assert place.scale == pytest.approx(25.4)


def test_an_arc_in_the_mirror_turns_the_other_way():
    arc = Arc((1.0, 0.0), (0.0, 1.0), 0.4)
    assert SEEN_FROM_BELOW.is_mirrored
    assert SEEN_FROM_BELOW.segment(arc) == Arc((-1.0, 0.0), (0.0, 1.0), -0.4)
    assert Placement(a=-1, d=-1).segment(arc).turn == arc.turn


def test_a_line_goes_along():
    assert scaled(2).segment(Line((1.0, 0.0), (0.0, 1.0))) == Line((2.0, 0.0), (0.0, 2.0))
