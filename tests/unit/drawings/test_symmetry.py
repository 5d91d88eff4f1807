"""Ways round, and left and right plates."""

from math import pi, sqrt

import pytest

from lineage.drawings.placement import Placement, moved, turned
from lineage.drawings.symmetry import is_mirror_of, ways_round
from tests.drawn import around, circle, entity, moved_outline, outline_of, polyline, rectangle

RECTANGLE = rectangle(100, 50)


def regular(count, radius=30.0, start=7.0):
    return polyline(*(around(0, 0, radius, start + 360 * n / count) for n in range(count)))


def holes(count, radius, start=0.0, size=2.0):
    return [circle(*around(0, 0, radius, start + 360 * n / count), size) for n in range(count)]


PLATES = {
    "rectangle": (4, [RECTANGLE]),
    "square": (8, [rectangle(50, 50)]),
    "triangle": (6, [regular(3)]),
    "pentagon": (10, [regular(5)]),
    "hexagon": (12, [regular(6)]),
    "twelve corners": (24, [regular(12)]),
    "parallelogram": (2, [polyline((0, 0), (60, 0), (80, 40), (20, 40))]),
    "kite": (2, [polyline((0, 0), (20, 15), (60, 0), (20, -15))]),
    "angle with even legs": (2, [polyline((0, 0), (40, 0), (40, 10), (10, 10), (10, 40), (0, 40))]),
    "angle with odd legs": (1, [polyline((0, 0), (40, 0), (40, 10), (10, 10), (10, 30), (0, 30))]),
    "slot": (4, [polyline((0, 0, 0), (50, 0, 1), (50, 10, 0), (0, 10, 1))]),
    "disc with flats": (4, [polyline((-12, -16, 0), (12, -16, 0.5), (12, 16, 0), (-12, 16, 0.5))]),
    "rectangle with a hole off its centre": (1, [RECTANGLE, circle(20, 20, 3)]),
    "rectangle with a hole on one axis": (2, [RECTANGLE, circle(20, 25, 3)]),
    "disc with one hole": (2, [circle(0, 0, 20), circle(8, 3, 3)]),
    "disc with two holes": (4, [circle(0, 0, 20), circle(8, 3, 3), circle(-8, -3, 3)]),
    "disc with six holes": (12, [circle(0, 0, 20), *holes(6, 14, 11)]),
    "ring with a ring of holes turned against another": (
        8,
        [circle(0, 0, 50), *holes(4, 40, 3), *holes(4, 20, 48)],
    ),
    "pinwheel of holes": (4, [circle(0, 0, 50), *holes(4, 40, 3), *holes(4, 20, 30)]),
    "ellipse": (4, [entity("ELLIPSE", (10, 0), (20, 0), (11, 30), (21, 40), (40, 0.6))]),
}


@pytest.mark.parametrize("plate", PLATES)
def test_in_how_many_ways_a_plate_goes_in(plate):
    ways, entities = PLATES[plate]
    assert ways_round(outline_of(*entities)).orientations == ways


@pytest.mark.parametrize(
    "entities",
    [[circle(3, 4, 20)], [circle(0, 0, 20), circle(0, 0, 8)], [regular(90, 50)]],
    ids=["disc", "ring", "90 corners"],
)
def test_what_every_turn_leaves_alone(entities):
    found = ways_round(outline_of(*entities))
    assert (found.orientations, found.nearest_mm) == (None, None)


def test_a_ring_whose_hole_is_off_the_centre_is_told_from_a_ring():
    assert ways_round(outline_of(circle(0, 0, 20), circle(0.05, 0, 8))).orientations is None
    assert ways_round(outline_of(circle(0, 0, 20), circle(0.5, 0, 8))).orientations == 2


@pytest.mark.parametrize(("off", "ways"), [(0.08, 4), (0.15, 2)])
def test_a_hole_counts_as_off_from_a_tenth(off, ways):
    """Turned over, a hole 0.08 mm off lands 0.16 mm from where it was, one 0.15 mm off 0.3 mm."""
    assert ways_round(outline_of(RECTANGLE, circle(50 + off, 25, 3))).orientations == ways


def test_the_nearest_other_way_of_a_nearly_symmetric_plate():
    """A hole 0.3 mm off the middle lands 0.6 mm from where it was, less what the centroid gives way."""
    shift = 0.3 * 9 * pi / (5000 - 9 * pi)
    found = ways_round(outline_of(RECTANGLE, circle(50.3, 25, 3)))
    assert found.nearest_mm == pytest.approx(2 * (0.3 + shift), abs=0.011)


def test_the_nearest_other_way_of_a_square():
    """Turned by 1/12: corner (25√2 at 45°) to the square at 15° off: 25(√2 cos 15° - 1) off, out beyond the edge.

    Of the turns tried 1/12 and 2/12 are alike for a square, the others near a quarter: 3/11 and 2/9 miss by less.
    """
    found = ways_round(outline_of(rectangle(50, 50)))
    least = min(
        25 * (sqrt(2) * max(abs(c), abs(s)) - 1)
        for n in range(2, 13)
        for k in range(1, n)
        for c, s in [around(0, 0, 1, 45 + 360 * k / n)]
        if 4 * k % n
    )
    assert found.nearest_mm == pytest.approx(least, abs=0.011)


def test_a_flip_about_a_principal_axis_is_tried_too():
    """A parallelogram is farthest from its own flips about its diagonals; about its principal axis it comes near."""
    leaning = polyline((0, 0), (100, 0), (101, 20), (1, 20))
    found = ways_round(outline_of(leaning))
    assert found.orientations == 2
    assert found.nearest_mm is not None
    assert found.nearest_mm < 1.1


def test_a_plate_drawn_in_many_pieces_is_found_as_even():
    """Corners along the sides on one half only: nothing lines up but the cuts themselves."""
    pieces = polyline((0, 0), (13, 0), (29, 0), (100, 0), (100, 50), (0, 50), (0, 31))
    assert ways_round(outline_of(pieces)).orientations == 4


def test_a_plate_with_many_holes_goes_in_one_way():
    plate = outline_of(RECTANGLE, *(circle(10 + n % 7 * 13, 8 + n // 7 * 11 + n % 3, 2) for n in range(28)))
    assert len(list(plate.segments)) == 60
    assert ways_round(plate).orientations == 1


LEFT = [polyline((0, 0), (80, 0), (80, 30, 0.4), (30, 50), (0, 40)), circle(12, 10, 3), circle(60, 15, 5)]


@pytest.mark.parametrize(
    "placement", [Placement(a=-1), Placement(d=-1), moved((30, -9)).of(turned(37)).of(Placement(a=-1))]
)
def test_left_and_right_plates_are_mirror_images_wherever_they_lie(placement):
    left = outline_of(*LEFT)
    right = moved_outline(left, placement)
    assert is_mirror_of(left, right)
    assert is_mirror_of(right, left)


def test_two_left_plates_are_no_pair():
    left = outline_of(*LEFT)
    assert not is_mirror_of(left, left)
    assert not is_mirror_of(left, moved_outline(left, turned(90)))


def test_a_pair_with_one_hole_moved_is_none():
    right = moved_outline(outline_of(*LEFT[:2], circle(60, 16, 5)), Placement(a=-1))
    assert not is_mirror_of(outline_of(*LEFT), right)
    assert not is_mirror_of(outline_of(*LEFT), moved_outline(outline_of(*LEFT[:2]), Placement(a=-1)))


def test_an_even_plate_is_the_mirror_image_of_its_double():
    assert is_mirror_of(outline_of(RECTANGLE), outline_of(rectangle(50, 100, x=7)))
    assert is_mirror_of(outline_of(circle(0, 0, 5)), outline_of(circle(9, 9, 5)))
    assert not is_mirror_of(outline_of(circle(0, 0, 5)), outline_of(circle(9, 9, 6)))
