"""Measures of an outline where no handbook has the shape."""

from math import pi

import pytest

from lineage.drawings.moments import (
    bounds,
    circular_segment,
    extremes,
    farthest,
    loop_sums,
    measures,
    signed_area,
)
from lineage.drawings.outline import Arc, Line, Loop, Outline, Piece, circle_segments
from tests.drawn import outline_of, polyline, rectangle


def test_a_hole_takes_away_and_its_edge_counts():
    outside = Loop(circle_segments((0.0, 0.0), 10.0))
    hole = Loop(circle_segments((4.0, 0.0), 2.0)).reversed()
    found = measures(Outline(pieces=(Piece(outside=outside, holes=(hole,)),)))
    assert found.area_mm2 == pytest.approx(96 * pi)
    assert found.perimeter_mm == pytest.approx(24 * pi)
    assert found.centroid == pytest.approx((-16 / 96, 0), abs=1e-14)
    assert found.largest_radius_mm == pytest.approx(10 + 16 / 96)
    assert found.polar_mm4 == found.ixx + found.iyy


@pytest.mark.parametrize("half_turn", [0.2999999, 0.3000001])
def test_closed_forms_and_quadrature_meet(half_turn):
    """Either side of the change: both agree with a broken line of very many chords."""
    closed = circular_segment(7.0, 0.3000001)
    assert circular_segment(7.0, half_turn) == pytest.approx(closed, rel=5e-6)


def test_far_from_the_origin_no_digits_are_lost():
    near, far = (
        measures(outline_of(rectangle(20, 10))),
        measures(outline_of(rectangle(20, 10, x=9e5, y=-9e5))),
    )
    assert far.area_mm2 == pytest.approx(near.area_mm2, rel=1e-12)
    assert far.ixx == pytest.approx(near.ixx, rel=1e-9)


def test_an_arc_reaches_beyond_its_ends():
    arc = Arc((5.0, 0.0), (-5.0, 0.0), 1.0)
    assert max(y for _, y in extremes(arc)) == pytest.approx(5)
    assert min(y for _, y in extremes(arc)) == 0
    reach, where = farthest(arc, (0.0, -20.0))
    assert reach == pytest.approx(25)
    assert where == pytest.approx((0, 5))
    assert farthest(arc, (0.0, 20.0)) == (pytest.approx(425**0.5), (5.0, 0.0))


def test_a_line_reaches_to_its_ends():
    assert farthest(Line((0.0, 0.0), (3.0, 4.0)), (0.0, 0.0)) == (5.0, (3.0, 4.0))


def test_the_sense_of_a_loop_is_the_sign_of_its_area():
    loop = Loop(circle_segments((3.0, 3.0), 2.0))
    assert signed_area(loop) == pytest.approx(4 * pi)
    assert signed_area(loop.reversed()) == pytest.approx(-4 * pi)


def test_first_moments_about_another_point():
    sums = loop_sums(Loop(circle_segments((3.0, 4.0), 1.0)), (1.0, 1.0))
    assert sums[1] == pytest.approx(2 * pi)
    assert sums[2] == pytest.approx(3 * pi)
    assert sums[5] == pytest.approx(6 * pi)


def test_a_scallop_takes_away():
    """A square with a half circle bitten out of each side."""
    bitten = outline_of(polyline((0, 0, -1), (4, 0, 0), (6, 0, 0), (10, 0, 0), (10, 10, 0), (0, 10, 0)))
    assert measures(bitten).area_mm2 == pytest.approx(100 - 2 * pi)
    assert bounds(bitten) == pytest.approx((0, 0, 10, 10))
