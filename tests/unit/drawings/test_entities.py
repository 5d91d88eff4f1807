"""Each kind of entity as it is cut, and the quirks of the programs that write them."""

from math import atan2, hypot, pi, sqrt

import pytest
import shapely

from lineage.drawings.dxf import read_drawing
from lineage.drawings.moments import measures
from lineage.drawings.outline import Arc, Line
from tests.drawn import (
    arc,
    around,
    as_shapes,
    circle,
    entity,
    line,
    new_document,
    outline_of,
    polyline,
    spline,
    written,
)
from tests.drawn import read as read_entities

BELOW = (210, 0), (220, 0), (230, -1)


def area(*entities, **drawing):
    return measures(outline_of(*entities, **drawing)).area_mm2


def box(*entities, **drawing):
    return measures(outline_of(*entities, **drawing)).box


def test_a_polyline_whose_last_point_is_its_first_is_closed():
    assert area(polyline((0, 0), (20, 0), (20, 10), (0, 10), (0, 0), closed=False)) == 200
    assert area(polyline((0, 0), (20, 0), (20, 10), (0, 10), (0, 0), closed=True)) == 200


def test_two_bulges_of_one_are_a_circle():
    found = outline_of(polyline((-5, 0, 1), (5, 0, 1)))
    assert measures(found).area_mm2 == pytest.approx(25 * pi, rel=1e-15)
    clockwise = outline_of(polyline((-5, 0, -1), (5, 0, -1)))
    assert measures(clockwise).area_mm2 == pytest.approx(25 * pi, rel=1e-15)


@pytest.mark.parametrize("bulge", [0.1, 0.5, 1.0, 1.5, 4.0, 20.0])
def test_a_bulge_is_the_tangent_of_a_quarter_of_its_turn(bulge):
    """Chord 10 at the bottom: the arc on it belongs to a circle that three points fix."""
    found = measures(outline_of(polyline((0, 0, bulge), (10, 0))))
    deep = bulge * 5
    radius = (25 + deep * deep) / (2 * deep)
    half = 2 * atan2(deep, 5)
    assert found.area_mm2 == pytest.approx(radius**2 * half - (radius - deep) * 5, rel=1e-9)
    assert found.box[1] == pytest.approx(-deep)


def test_a_turn_of_more_than_half_is_kept_in_two_arcs():
    segments = list(outline_of(polyline((0, 0, 3.0), (10, 0))).segments)
    assert [type(segment) for segment in segments] == [Arc, Arc, Line]
    assert all(abs(segment.bulge) <= 1 for segment in segments if isinstance(segment, Arc))


def test_a_bulge_too_small_to_see_is_a_line():
    assert all(
        isinstance(s, Line) for s in outline_of(polyline((0, 0, 1e-12), (10, 0, 0), (10, 10))).segments
    )


@pytest.mark.parametrize(("start", "end"), [(0, 360), (30, 30), (-90, 270), (360, 0), (45, 405)])
def test_an_arc_all_the_way_round_is_a_circle(start, end):
    found = measures(outline_of(arc(3, 4, 5, start, end)))
    assert found.area_mm2 == pytest.approx(25 * pi, rel=1e-14)
    assert found.centroid == pytest.approx((3, 4), abs=1e-13)


def test_an_arc_runs_anticlockwise_over_zero():
    """From 270 to 90 degrees: the right half."""
    found = measures(outline_of(arc(0, 0, 5, 270, 90), line(0, 5, 0, -5)))
    assert found.centroid[0] == pytest.approx(20 / (3 * pi))


def test_pieces_drawn_in_any_order_and_direction():
    """A slot whose lines and arcs head both ways, which an eager join would tie into a knot."""
    top, bottom = line(10, 10, 0, 10), line(10, 0, 0, 0)
    found = measures(outline_of(top, arc(0, 5, 5, 90, 270), bottom, arc(10, 5, 5, 270, 90)))
    assert found.area_mm2 == pytest.approx(100 + 25 * pi)
    assert found.perimeter_mm == pytest.approx(20 + 10 * pi)


def test_seen_from_below_x_runs_backwards():
    """DXF reference, arbitrary axis algorithm: with extrusion (0, 0, -1) the x of the entity is minus the world's."""
    assert box(circle(10, 3, 2, *BELOW)) == pytest.approx((-12, 1, -8, 5))
    half = outline_of(arc(0, 0, 5, 270, 90, *BELOW), line(0, 5, 0, -5))
    assert measures(half).centroid[0] == pytest.approx(-20 / (3 * pi))
    bulged = entity(
        "LWPOLYLINE",
        (90, 3),
        (70, 1),
        *BELOW,
        (10, 0),
        (20, 0),
        (42, 0.5),
        (10, 8),
        (20, 0),
        (10, 0),
        (20, 5),
    )
    plain = polyline((0, 0, 0.5), (8, 0), (0, 5))
    assert area(bulged) == pytest.approx(area(plain))
    left, low, right, high = box(plain)
    assert box(bulged) == pytest.approx((-right, low, -left, high))


def test_ocs_agrees_with_a_reference_library():
    """Where ezdxf puts the points of an arc that is seen from below."""
    document = new_document()
    drawn = document.modelspace().add_arc((10, 3), 5, 20, 130, dxfattribs={"extrusion": (0, 0, -1)})
    start, end = drawn.start_point, drawn.end_point
    document.modelspace().add_line(start, end)
    outline = read_drawing(written(document), "x.dxf").outline
    assert outline is not None
    corners = sorted(corner for loop in outline.loops for corner in loop.corners)
    assert corners == [pytest.approx(p) for p in sorted([(start.x, start.y), (end.x, end.y)])]


def vertices(*points):
    return "".join(entity("VERTEX", (10, x), (20, y), *more) for x, y, *more in points) + "0\nSEQEND\n"


def test_old_polylines_with_bulges():
    found = entity("POLYLINE", (66, 1), (70, 1)) + vertices((-5, 0, (42, 1)), (5, 0, (42, 1)))
    assert area(found) == pytest.approx(25 * pi)


def test_control_points_of_an_old_fitted_polyline_are_not_cut():
    frame = [(-9, -9, (70, 16)), (9, 9, (70, 16))]
    found = entity("POLYLINE", (66, 1), (70, 5)) + vertices(
        *frame, (0, 0, (70, 8)), (20, 0, (70, 8)), (0, 10, (70, 8))
    )
    assert area(found) == pytest.approx(100)


def test_a_polyline_in_space_is_cut_where_it_is_level():
    level = entity("POLYLINE", (66, 1), (70, 9)) + vertices(
        (0, 0, (30, 5)), (20, 0, (30, 5)), (0, 10, (30, 5))
    )
    assert area(level) == pytest.approx(100)
    tilted = entity("POLYLINE", (66, 1), (70, 9)) + vertices(
        (0, 0, (30, 5)), (20, 0, (30, 6)), (0, 10, (30, 5))
    )
    assert [problem.code for problem in read_entities(tilted).problems] == ["drawing.not-flat"]


def ellipse(x, y, major, ratio, start=0.0, end=2 * pi):
    fields = (10, x), (20, y), (11, major[0]), (21, major[1]), (40, ratio), (41, start), (42, end)
    return entity("ELLIPSE", *fields)


def test_an_ellipse_as_wide_as_high_is_an_exact_circle():
    found = outline_of(ellipse(3, 4, (3, 4), 1.0))
    assert found.flattening_mm == 0
    assert measures(found).area_mm2 == pytest.approx(25 * pi, rel=1e-14)


@pytest.mark.parametrize("ratio", [1.0, 0.5])
@pytest.mark.parametrize("below", [False, True])
def test_part_of_an_ellipse_agrees_with_a_reference_library(ratio, below):
    """Ends as ezdxf gives them; area of a segment of an ellipse ab(t - sin t)/2."""
    turn = 2.0
    document = new_document()
    direction = (0, 0, -1) if below else (0, 0, 1)
    drawn = document.modelspace().add_ellipse(
        (1, 2), (6, 8), ratio, start_param=0.5, end_param=0.5 + turn, dxfattribs={"extrusion": direction}
    )
    start, middle, end = drawn.vertices([0.5, 0.5 + turn / 2, 0.5 + turn])
    document.modelspace().add_line(start, end)
    outline = read_drawing(written(document), "x.dxf").outline
    assert outline is not None
    found = measures(outline)
    assert found.area_mm2 == pytest.approx(100 * ratio * (turn - sqrt(1 - 0.41614683654714**2)) / 2, abs=0.02)
    on_edge = shapely.Point(middle.x, middle.y).distance(as_shapes(outline).boundary)
    assert on_edge < 0.002


def test_a_rational_spline_can_be_a_circle():
    points = [(5, 0), (5, 5), (0, 5), (-5, 5), (-5, 0), (-5, -5), (0, -5), (5, -5), (5, 0)]
    weights = [1, sqrt(0.5)] * 4 + [1]
    found = measures(outline_of(spline(2, [0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4], points, weights)))
    assert 0 < 25 * pi - found.area_mm2 < found.area_limit_mm2
    assert found.largest_radius_mm == pytest.approx(5, abs=0.001)


def test_a_spline_of_degree_one_is_lines_and_exact():
    found = outline_of(spline(1, [0, 0, 1, 2, 3, 3], [(0, 0), (20, 0), (0, 10), (0, 0)]))
    assert found.flattening_mm == 0
    assert measures(found).area_mm2 == pytest.approx(100)


def test_corners_too_close_to_cut_are_left_out():
    assert area(polyline((0, 0), (20, 0), (20, 1e-5), (20, 10), (20, 10), (0, 10))) == pytest.approx(
        200, abs=1e-3
    )


def test_inches_and_flattening():
    """The stated error is of the plate, not of the drawing's unit."""
    found = outline_of(ellipse(0, 0, (2, 0), 0.5), unit=1)
    assert found.flattening_mm == 0.001
    middles = [((a.start[0] + a.end[0]) / 2, (a.start[1] + a.end[1]) / 2) for a in found.segments]
    assert all(0 <= 25.4 - hypot(x / 2, y) < 0.001 for x, y in middles)


def test_a_tiny_gap_in_a_flattened_curve_joins_to_a_line():
    start, end = around(0, 0, 5, 0), around(0, 0, 5, 180)
    found = outline_of(ellipse(0, 0, (5, 0), 0.6, 0, pi), line(*start, *end))
    assert measures(found).area_mm2 == pytest.approx(pi * 15 / 2, abs=0.02)
