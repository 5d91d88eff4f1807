"""Laws of outlines: what moves a plate about leaves its figures alone, and no file breaks the reader."""

import numpy as np
import pytest
import shapely
from ezdxf.path import make_path
from hypothesis import given, settings
from hypothesis import strategies as st

from lineage.drawings.dxf import read_drawing
from lineage.drawings.hausdorff import Cuts, apart, stretches
from lineage.drawings.moments import measures
from lineage.drawings.outline import Arc, Line
from lineage.drawings.path import path_data
from lineage.drawings.placement import Placement, moved, scaled, turned
from lineage.drawings.symmetry import is_mirror_of, turn_by, ways_round
from tests.drawn import (
    VERSIONS,
    arc,
    as_shapes,
    dxf,
    entity,
    line,
    moved_outline,
    new_document,
    outline_of,
    read,
    spline,
    written,
)
from tests.properties.strategies_drawings import plates, shifts, turns_in_degrees

quick = settings(max_examples=20, deadline=None)


def polygon_moments(polygon):
    """Area, ∫x, ∫y, ∫x², ∫y² of a polygon from a triangle fan, by numpy."""
    sums = np.zeros(5)
    for number, ring in enumerate((polygon.exterior, *polygon.interiors)):
        points = np.asarray(ring.coords)
        (x0, y0), (x1, y1) = points[:-1].T, points[1:].T
        twice = x0 * y1 - x1 * y0
        parts = np.array(
            [
                (twice / 2).sum(),
                ((x0 + x1) * twice / 6).sum(),
                ((y0 + y1) * twice / 6).sum(),
                ((x0**2 + x0 * x1 + x1**2) * twice / 12).sum(),
                ((y0**2 + y0 * y1 + y1**2) * twice / 12).sum(),
            ]
        )
        sums += np.sign(parts[0]) * parts * (-1 if number else 1)
    return sums


@quick
@given(plates())
def test_measures_agree_with_fine_polygons(plate):
    """shapely and numpy on chords of 1/300 of each arc, which are right to some 1e-5 of the whole."""
    outline = outline_of(*plate)
    found = measures(outline)
    (polygon,) = as_shapes(outline, 300).geoms
    area, first_x, first_y, second_x, second_y = polygon_moments(polygon)
    assert found.area_mm2 == pytest.approx(polygon.area, rel=1e-5)
    assert found.perimeter_mm == pytest.approx(polygon.length, rel=1e-5)
    assert found.centroid == pytest.approx((first_x / area, first_y / area), abs=1e-3)
    assert found.iyy == pytest.approx(second_x - first_x**2 / area, rel=5e-5)
    assert found.ixx == pytest.approx(second_y - first_y**2 / area, rel=5e-5)
    assert found.box == pytest.approx(polygon.bounds, abs=1e-3)
    centre = shapely.Point(found.centroid)
    assert found.largest_radius_mm == pytest.approx(polygon.hausdorff_distance(centre), abs=1e-3)


@quick
@given(plates(), shifts, shifts, turns_in_degrees, st.booleans())
def test_moving_turning_and_mirroring_change_nothing(plate, x, y, degrees, mirrored):
    outline = outline_of(*plate)
    there = moved((x, y)).of(turned(degrees)).of(Placement(a=-1) if mirrored else Placement())
    one, other = measures(outline), measures(moved_outline(outline, there))
    assert other.area_mm2 == pytest.approx(one.area_mm2, rel=1e-11)
    assert other.perimeter_mm == pytest.approx(one.perimeter_mm, rel=1e-11)
    assert other.polar_mm4 == pytest.approx(one.polar_mm4, rel=1e-10)
    assert other.largest_radius_mm == pytest.approx(one.largest_radius_mm, rel=1e-10)
    assert other.centroid == pytest.approx(there.point(one.centroid), abs=1e-8)


@quick
@given(plates(), st.sampled_from([0.1, 10, 25.4]))
def test_another_unit_scales_every_figure_by_its_power(plate, factor):
    outline = outline_of(*plate)
    one, other = measures(outline), measures(moved_outline(outline, scaled(factor)))
    assert other.area_mm2 == pytest.approx(one.area_mm2 * factor**2, rel=1e-11)
    assert other.perimeter_mm == pytest.approx(one.perimeter_mm * factor, rel=1e-11)
    assert other.ixx == pytest.approx(one.ixx * factor**4, rel=1e-10)


@quick
@given(plates(), st.randoms(use_true_random=False))
def test_a_plate_in_loose_pieces_is_the_same_plate(plate, shuffled):
    """Every segment an entity of its own, in any order, each drawn either way."""
    outline = outline_of(*plate)
    segments = list(outline.segments)
    shuffled.shuffle(segments)
    loose = []
    for segment in segments:
        way = segment if shuffled.random() < 0.5 else segment.reversed()
        (x0, y0), (x1, y1) = way.start, way.end
        if isinstance(way, Line):
            loose.append(line(x0, y0, x1, y1))
        else:
            loose.append(_arc_entity(way))
    found = read(*loose)
    assert found.problems == ()
    assert found.outline is not None
    assert measures(found.outline).area_mm2 == pytest.approx(measures(outline).area_mm2, rel=1e-9)


def _arc_entity(segment: Arc) -> str:
    (x, y), ends = segment.centre, (segment.start, segment.end)
    start, end = (float(np.degrees(np.arctan2(v - y, u - x))) for u, v in ends)
    start, end = (start, end) if segment.bulge > 0 else (end, start)
    return arc(x, y, segment.radius, start, end)


@settings(max_examples=12, deadline=None)
@given(plates(), st.sampled_from(VERSIONS[1:]), st.booleans())
def test_what_a_reference_library_writes_is_read_back(plate, version, binary):
    """ezdxf writes the loops with their bulges, and measures them by its own Béziers, which are off by some 3e-4."""
    outline = outline_of(*plate)
    document = new_document(version)
    areas = []
    for loop in outline.loops:
        corners = [(*segment.start, getattr(segment, "bulge", 0.0)) for segment in loop.segments]
        drawn = document.modelspace().add_lwpolyline(corners, format="xyb", close=True)
        areas.append(shapely.Polygon([(p.x, p.y) for p in make_path(drawn).flattening(0.01)]).area)
    found = read_drawing(written(document, binary=binary), "x.dxf").outline
    assert found is not None
    assert measures(found).area_mm2 == pytest.approx(measures(outline).area_mm2, rel=1e-12)
    assert measures(found).area_mm2 == pytest.approx(2 * max(areas) - sum(areas), rel=1e-3)


@quick
@given(plates(), st.floats(0, 6.3))
def test_distances_agree_with_a_reference_library(plate, angle):
    """shapely's distance of points on one line from the other; ours is to 0.01 mm above 0.2 mm.

    The farthest place may lie between two of its points: then it is farther by at most half their spacing.
    """
    spacing = 0.25
    outline = outline_of(*plate)
    centre = measures(outline).centroid
    cuts = Cuts(stretches(outline.loops, centre))
    here = as_shapes(moved_outline(outline, moved((-centre[0], -centre[1]))), 60).boundary.segmentize(spacing)
    there = shapely.affinity.rotate(here, np.degrees(angle), origin=(0, 0))
    true = max(_reach(here, there), _reach(there, here))
    found = apart(cuts, cuts, turn_by(angle))
    if true > 0.25:
        assert true - 0.05 < found < true + spacing / 2 + 0.05
    else:
        assert found <= 0.3


def _reach(one, other):
    return float(shapely.distance(shapely.points(shapely.get_coordinates(one)), other).max())


@quick
@given(plates(), turns_in_degrees, shifts)
def test_the_ways_round_do_not_depend_on_where_a_plate_lies(plate, degrees, x):
    outline = outline_of(*plate)
    there = moved_outline(outline, moved((x, -x)).of(turned(degrees)))
    one, other = ways_round(outline), ways_round(there)
    assert one.orientations == other.orientations
    assert one.nearest_mm == pytest.approx(other.nearest_mm, abs=0.03)


@quick
@given(plates(), turns_in_degrees, shifts)
def test_a_mirror_image_is_one_from_both_sides(plate, degrees, x):
    outline = outline_of(*plate)
    right = moved_outline(outline, moved((x, x)).of(turned(degrees)).of(Placement(a=-1)))
    assert is_mirror_of(outline, right)
    assert is_mirror_of(right, outline)


@quick
@given(plates())
def test_path_data_goes_through_every_corner(plate):
    outline = outline_of(*plate)
    data = path_data(outline, digits=3)
    assert data == path_data(outline, digits=3)
    assert data.count("M") == data.count("Z") == len(outline.loops)
    assert data.count("A") == sum(isinstance(segment, Arc) for segment in outline.segments)


def _bait() -> list[bytes]:
    curve = spline(3, [0, 0, 0, 0, 1, 1, 1, 1], [(0, 0), (5, 10), (15, 10), (20, 0)])
    text = dxf(
        curve,
        line(20, 0, 0, 0),
        arc(10, 3, 1, 0, 360),
        entity("ELLIPSE", (10, 5), (20, 2), (11, 1), (21, 0), (40, 0.5)),
    )
    document = new_document("R12")
    document.modelspace().add_polyline2d([(0, 0), (20, 0), (20, 10)], close=True)
    return [text, written(document, binary=True)]


BAIT = _bait()


@settings(max_examples=80, deadline=None)
@given(st.sampled_from(BAIT), st.data())
def test_no_spoilt_file_breaks_the_reader(data, choose):
    """Bytes changed, left out or put in anywhere: an outline or a problem, never anything else."""
    spoilt = bytearray(data)
    for _ in range(choose.draw(st.integers(1, 4))):
        start = choose.draw(st.integers(0, len(spoilt) - 1))
        length = choose.draw(st.integers(0, 4))
        spoilt[start : start + length] = choose.draw(
            st.binary(max_size=4) | st.sampled_from([b"9", b"-", b"e9", b"\n"])
        )
    reading = read_drawing(bytes(spoilt), "x.dxf", unit="mm")
    assert (reading.outline is None) == any(problem.level == "error" for problem in reading.problems)
    if reading.outline is not None:
        assert measures(reading.outline).area_mm2 > 0


NUMBERS = ["nan", "inf", "-1e300", "1e300", "1e-300", "0", "-1", "1e9", "", "x", "1_0", "0x10"]


@settings(max_examples=80, deadline=None)
@given(st.data())
def test_no_odd_number_breaks_the_reader(choose):
    """Any value of a drawing replaced by one that nobody should write."""
    lines = BAIT[0].decode().split("\n")
    for _ in range(choose.draw(st.integers(1, 3))):
        where = choose.draw(st.integers(20, len(lines) // 2 - 6)) * 2 + 1
        lines[where] = choose.draw(st.sampled_from(NUMBERS))
    reading = read_drawing("\n".join(lines).encode(), "x.dxf", unit="mm")
    assert (reading.outline is None) == any(problem.level == "error" for problem in reading.problems)
