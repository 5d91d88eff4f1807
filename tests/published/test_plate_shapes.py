"""Areas, centroids and second moments of plane shapes against handbook forms and a reference library."""

from math import pi, sin, sqrt

import pytest

from lineage.drawings.moments import circular_segment, measures
from tests.drawn import arc, circle, entity, line, outline_of, polyline, rectangle
from tests.printed import Printed, rows


def about_origin(found):
    """∫y² and ∫x² about the axes of the drawing, by Steiner."""
    x, y = found.centroid
    return found.ixx + found.area_mm2 * y * y, found.iyy + found.area_mm2 * x * x


def test_triangle_by_the_polygon_formula():
    """Computed with a reference library (shapely): area 54, centroid (6, 3), Ix 729, Iy 2268 about the origin axes."""
    found = measures(outline_of(polyline((0, 0), (12, 0), (6, 9))))
    assert Printed("54") == found.area_mm2
    assert found.centroid == pytest.approx((6, 3), abs=1e-12)
    assert about_origin(found) == pytest.approx((729, 2268), rel=1e-12)


def test_angle_section_by_the_polygon_formula():
    """Computed with a reference library (shapely): area 6, centroid (1.5, 1), Ix 10, Iy 22 about the origin axes."""
    found = measures(outline_of(polyline((0, 0), (4, 0), (4, 1), (1, 1), (1, 3), (0, 3))))
    assert Printed("6") == found.area_mm2
    assert found.centroid == pytest.approx((1.5, 1), abs=1e-12)
    assert about_origin(found) == pytest.approx((10, 22), rel=1e-12)


# Handbook forms (from memory: bh³/12, πd⁴/64, π(D⁴ - d⁴)/64, bh³/36), values computed with a reference library.
# shape | ixx | polar
SECTIONS = """
rectangle 10 x 20 | 6666.666667   | -
circle 10         | 490.873852123 | 981.747704247
ring 20/12        | 6836.105614211 | -
triangle 12 x 9   | =243          | -
"""

SHAPES = {
    "rectangle 10 x 20": (rectangle(10, 20),),
    "circle 10": (circle(3, 4, 5),),
    "ring 20/12": (circle(3, 4, 10), circle(3, 4, 6)),
    "triangle 12 x 9": (polyline((0, 0), (12, 0), (6, 9)),),
}


@pytest.mark.parametrize(("shape", "ixx", "polar"), rows(SECTIONS))
def test_second_moments_of_sections(shape, ixx, polar):
    found = measures(outline_of(*SHAPES[shape]))
    assert Printed(ixx) == found.ixx
    if polar != "-":
        assert Printed(polar) == found.polar_mm4


# Mass moments are density × thickness × polar second moment: steel 7850 kg/m³, values computed with a reference library.
# shape | thickness mm | mass kg | moment of inertia kg m²
SPINNING = """
disc | 6 | .3699225350 | 4.624031687e-4
ring | 8 | .3945840373 | 1.0259184970e-3
bar  | 8 | .3768       | 1.28426e-3
"""

ROTORS = {
    "disc": (circle(0, 0, 50),),
    "ring": (circle(7, 7, 60), circle(7, 7, 40)),
    "bar": (rectangle(200, 30),),
}


@pytest.mark.parametrize(("shape", "thickness", "mass", "inertia"), rows(SPINNING))
def test_spinning_plates(shape, thickness, mass, inertia):
    found = measures(outline_of(*ROTORS[shape]))
    per_area = 7850e-9 * float(thickness)
    assert Printed(mass) == found.area_mm2 * per_area
    assert Printed(inertia) == found.polar_mm4 * per_area * 1e-6


def test_corner_of_a_bar_is_what_reaches_farthest():
    """Tip speeds at 6000 rpm 62.831853072 at the middle of the end, 63.534779452 at the corner (reference library)."""
    found = measures(outline_of(rectangle(200, 30)))
    assert Printed("63.534779452") == found.largest_radius_mm / 1000 * 2 * pi * 6000 / 60


@pytest.mark.parametrize("half_turn", [0.001, 0.05, 0.2999, 0.3001, 1.0, pi / 2, 2.5, pi])
def test_circular_segment_area_and_centroid(half_turn):
    """A = r²(2α - sin 2α)/2, centroid 4r sin³α / 3(2α - sin 2α) from the centre: any handbook, from memory."""
    radius = 7.0
    area, height, _, _ = circular_segment(radius, half_turn)
    lens = 2 * half_turn - sin(2 * half_turn)
    assert area == pytest.approx(radius**2 * lens / 2, rel=1e-8)
    from_centre = height / area + radius * (1 - 2 * sin(half_turn / 2) ** 2)
    assert from_centre == pytest.approx(4 * radius * sin(half_turn) ** 3 / (3 * lens), rel=1e-7)


def test_half_circle_second_moments():
    """πr⁴/8 about the diameter, (π/8 - 8/9π) r⁴ about the centroid, centroid 4r/3π: any handbook, from memory."""
    found = measures(outline_of(arc(0, 0, 10, 0, 180), line(-10, 0, 10, 0)))
    assert found.area_mm2 == pytest.approx(50 * pi, rel=1e-14)
    assert found.centroid == pytest.approx((0, 40 / (3 * pi)), abs=1e-13)
    assert found.ixx == pytest.approx((pi / 8 - 8 / (9 * pi)) * 1e4, rel=1e-13)
    assert found.iyy == pytest.approx(pi / 8 * 1e4, rel=1e-13)


def test_slot_is_a_rectangle_and_a_circle():
    """Area 2rl + πr², perimeter 2l + 2πr (common practice: any workshop tables)."""
    found = measures(outline_of(polyline((0, 0, 0), (50, 0, 1), (50, 10, 0), (0, 10, 1))))
    assert found.area_mm2 == pytest.approx(500 + 25 * pi, rel=1e-14)
    assert found.perimeter_mm == pytest.approx(100 + 10 * pi, rel=1e-14)
    assert found.box == pytest.approx((-5, 0, 55, 10), abs=1e-12)


def test_ellipse_within_its_own_limit():
    """πab; second moment about the long axis πab³/4; perimeter by Ramanujan's second form: handbook, from memory."""
    a, b = 50.0, 30.0
    found = measures(outline_of(entity("ELLIPSE", (10, 3), (20, 4), (11, a), (21, 0), (40, b / a))))
    h = ((a - b) / (a + b)) ** 2
    perimeter = pi * (a + b) * (1 + 3 * h / (10 + sqrt(4 - 3 * h)))
    assert 0 < pi * a * b - found.area_mm2 < found.area_limit_mm2
    assert found.area_limit_mm2 == pytest.approx(0.001 * perimeter, rel=1e-4)
    assert found.perimeter_mm == pytest.approx(perimeter, rel=1e-4)
    assert found.ixx == pytest.approx(pi * a * b**3 / 4, rel=1e-4)


def test_regular_hexagon():
    """3√3/2 a² with side a (any handbook, from memory)."""
    corners = [(10.0, 0.0), (5, 75**0.5), (-5, 75**0.5), (-10, 0), (-5, -(75**0.5)), (5, -(75**0.5))]
    assert measures(outline_of(polyline(*corners))).area_mm2 == pytest.approx(150 * sqrt(3), rel=1e-14)
