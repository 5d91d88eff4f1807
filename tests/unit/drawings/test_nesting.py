"""Loops into pieces with holes."""

from math import pi

import pytest

from lineage.drawings.joining import Origin, Ring
from lineage.drawings.moments import signed_area
from lineage.drawings.nesting import nest
from lineage.drawings.outline import Arc, Line, Loop, circle_segments

ORIGIN = Origin("CIRCLE", "", "0", 1)


def ring(*segments):
    return Ring(loop=Loop(segments), origin=ORIGIN)


def circle(x, y, radius):
    return ring(*circle_segments((float(x), float(y)), float(radius)))


def polygon(*corners):
    return ring(*(Line(one, other) for one, other in zip(corners, [*corners[1:], corners[0]], strict=True)))


def square(size, x=0.0, y=0.0):
    return polygon((x, y), (x + size, y), (x + size, y + size), (x, y + size))


def ways(*rings):
    return [clash.way for clash in nest(rings).clashes]


def test_outsides_run_anticlockwise_and_holes_clockwise():
    backwards = Ring(loop=square(20).loop.reversed(), origin=ORIGIN)
    (piece,) = nest([circle(5, 5, 2), backwards, circle(12, 12, 3)]).pieces
    assert signed_area(piece.outside) == pytest.approx(400)
    assert sorted(signed_area(hole) for hole in piece.holes) == pytest.approx([-9 * pi, -4 * pi])


def test_an_island_in_a_hole_is_a_piece_of_its_own():
    pieces = nest([circle(0, 0, 5), circle(0, 0, 20), circle(0, 0, 15), circle(0, 0, 2)]).pieces
    assert [len(piece.holes) for piece in pieces] == [1, 1]
    assert signed_area(pieces[0].outside) == pytest.approx(400 * pi)
    assert signed_area(pieces[1].holes[0]) == pytest.approx(-4 * pi)


def test_a_hole_that_touches_the_edge_in_a_point_is_a_hole():
    (piece,) = nest([square(20), circle(5, 10, 5)]).pieces
    assert len(piece.holes) == 1


def test_a_hole_that_touches_a_round_edge_is_a_hole():
    (piece,) = nest([circle(0, 0, 20), circle(13, 0, 7)]).pieces
    assert len(piece.holes) == 1


def test_plates_that_touch_in_a_point_are_two():
    assert len(nest([circle(0, 0, 5), circle(10, 0, 5)]).pieces) == 2
    assert len(nest([square(10), square(10, 10, 10)]).pieces) == 2


def test_a_hole_close_to_the_edge_is_no_crossing():
    """A wall of 0.02 mm is for the builder to see, not for the reader to refuse."""
    assert ways(square(20), circle(5, 10, 4.98)) == []


def test_crossings_are_told_with_a_place():
    (clash,) = nest([square(20), circle(0, 10, 5)]).clashes
    assert clash.way == "cross"
    assert clash.at == pytest.approx((0, 5), abs=0.01)


def test_a_loop_that_crosses_itself():
    (clash,) = nest([polygon((0.0, 0.0), (20.0, 10.0), (20.0, 0.0), (0.0, 10.0))]).clashes
    assert clash.way == "crosses itself"
    assert clash.at == pytest.approx((10, 5))


def test_an_arc_through_its_own_chord_crosses():
    inward = ring(
        Line((0.0, 0.0), (10.0, 0.0)),
        Line((10.0, 0.0), (10.0, 3.0)),
        Arc((10.0, 3.0), (0.0, 3.0), -1.0),
        Line((0.0, 3.0), (0.0, 0.0)),
    )
    assert ways(inward) == ["crosses itself"]


def test_edges_that_run_along_each_other():
    assert ways(square(10), square(10, 10)) == ["share an edge"]
    assert ways(square(10), square(4)) == ["share an edge"]
    assert ways(
        circle(0, 0, 5), ring(*reversed(Loop(circle_segments((0.0, 0.0), 5.0)).reversed().segments))
    ) == ["share an edge"]


def test_a_loop_there_and_back_encloses_nothing():
    assert ways(ring(Line((0.0, 0.0), (9.0, 0.0)), Line((9.0, 0.0), (0.0, 0.0)))) == ["encloses nothing"]
    assert ways(polygon((0.0, 0.0), (9.0, 0.0), (4.0, 0.0))) == ["encloses nothing"]
