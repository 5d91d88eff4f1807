"""Distances between cuts, where they can be worked out by hand."""

from itertools import pairwise
from math import inf, pi, sqrt

import pytest

from lineage.drawings.hausdorff import PLENTY, WITHIN, Cuts, apart, stretches
from lineage.drawings.outline import Arc, Line, Loop, circle_segments
from lineage.drawings.placement import Placement, moved
from lineage.drawings.symmetry import turn_by
from tests.drawn import circle, outline_of, polyline, rectangle

ORIGIN = (0.0, 0.0)


def cuts(*entities):
    return Cuts(stretches(outline_of(*entities).loops, ORIGIN))


def test_a_square_moved_aside():
    square = cuts(rectangle(40, 40))
    assert apart(square, square, moved((3, 0))) == pytest.approx(3, abs=0.01)


def test_a_square_turned_by_an_eighth_sticks_out_at_its_corners():
    square = cuts(rectangle(40, 40, x=-20, y=-20))
    assert apart(square, square, turn_by(pi / 4)) == pytest.approx(20 * sqrt(2) - 20, abs=0.01)


def test_circles_of_two_sizes():
    assert apart(cuts(circle(0, 0, 20)), cuts(circle(0, 0, 15)), Placement()) == pytest.approx(5, abs=0.01)
    assert apart(cuts(circle(0, 0, 20)), cuts(circle(2, 0, 20)), Placement()) == pytest.approx(2, abs=0.01)


def test_what_only_one_has_counts_from_both_sides():
    plain, holed = cuts(rectangle(40, 40)), cuts(rectangle(40, 40), circle(20, 20, 5))
    # The points of the hole toward the corners lie farthest from the sides.
    deep = 20 - 5 / sqrt(2)
    assert apart(plain, holed, Placement()) == pytest.approx(deep, abs=0.01)
    assert apart(holed, plain, Placement()) == pytest.approx(deep, abs=0.01)


def test_what_lies_within_a_fifth_of_a_millimetre_is_not_told_apart():
    square = cuts(rectangle(40, 40))
    assert apart(square, square, moved((0.19, 0))) <= WITHIN
    assert apart(square, square, moved((0.22, 0))) > WITHIN


def test_a_search_ends_when_the_limit_is_passed():
    square = cuts(rectangle(40, 40))
    assert apart(square, square, moved((30, 0)), 1.0) > 1.0


def test_loops_of_arcs_about_one_centre_are_circles():
    compass = [(5.0, 0.0), (0.0, 5.0), (-5.0, 0.0), (0.0, -5.0), (5.0, 0.0)]
    quarters = Loop(tuple(Arc(one, other, sqrt(2) - 1) for one, other in pairwise(compass)))
    (one,) = stretches([quarters], ORIGIN)
    (other,) = stretches([Loop(circle_segments(ORIGIN, 5.0))], ORIGIN)
    assert one.is_circle
    assert other.is_circle
    assert one.radius == pytest.approx(other.radius)
    assert one.half == pytest.approx(5 * pi)


def test_distance_to_an_arc_ends_at_its_ends():
    (half, line) = stretches(
        [Loop((Arc((5.0, 0.0), (-5.0, 0.0), 1.0), Line((-5.0, 0.0), (5.0, 0.0))))], ORIGIN
    )
    assert half.distance((0.0, 7.0)) == pytest.approx(2)
    assert half.distance((5.0, -3.0)) == pytest.approx(3)
    assert half.at(0.0) == pytest.approx((0, 5))
    assert half.at(-1.0) == pytest.approx((5, 0))
    assert line.distance((0.0, 7.0)) == 7
    assert half.farthest_on((0.0, 7.0), (0.0, 9.0)) == pytest.approx(4)
    assert half.farthest_on((0.0, 7.0), (0.0, -9.0)) == inf


def test_runs_of_many_chords_are_thinned():
    wavy = polyline(*[(n / 4, (n % 2) / 1000) for n in range(400)], (50, 40))
    outline = outline_of(wavy)
    assert len(list(outline.segments)) > PLENTY
    assert len(stretches(outline.loops, ORIGIN)) < 10
