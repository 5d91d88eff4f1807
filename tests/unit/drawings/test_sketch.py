"""A refused drawing keeps what could be read of it, and where it is wrong."""

from lineage.drawings.outline import Line
from lineage.drawings.sketch import MOST_DRAWN, Spot, sketch_of
from tests.drawn import circle, line, polyline, read, rectangle


def spots(*entities):
    sketch = read(*entities).sketch
    assert sketch is not None
    return [spot.at for spot in sketch.spots]


def test_a_drawing_that_is_right_needs_no_sketch():
    assert read(rectangle(20, 10)).sketch is None


def test_both_ends_of_an_open_cut_are_marked():
    assert spots(line(0, 0, 20, 0), line(20, 0.2, 20, 10), line(20, 10, 0, 0)) == [(20.0, 0.0), (20.0, 0.2)]


def test_a_crossing_is_marked_where_it_is():
    assert spots(polyline((0, 0), (20, 10), (20, 0), (0, 10))) == [(10.0, 5.0)]


def test_outlines_that_overlap_are_marked_where_they_cross():
    (at,) = spots(rectangle(20, 10), rectangle(20, 10, x=10, y=5))
    assert at in {(10.0, 10.0), (20.0, 5.0)}


def test_a_branch_is_marked():
    assert spots(line(0, 0, 20, 0), line(20, 0, 20, 10), line(20, 10, 0, 0), line(20, 10, 30, 30)) == [
        (20.0, 10.0)
    ]


def test_an_entity_that_is_wrong_is_marked_and_the_others_are_drawn():
    sketch = read(rectangle(20, 10), circle(5, 4, 0)).sketch
    assert sketch is not None
    assert [(spot.at, spot.what.split(": ")[1]) for spot in sketch.spots] == [((5.0, 4.0), "its radius is 0")]
    assert len(sketch.runs) == 1


def test_what_has_no_place_has_no_sketch():
    assert read(rectangle(20, 10), unit=None).sketch is None


def test_of_a_huge_drawing_what_lies_near_is_kept():
    run = tuple(Line((float(n), 0.0), (n + 1.0, 0.0)) for n in range(2 * MOST_DRAWN))
    sketch = sketch_of([run], [Spot(at=(100.0, 0.0), what="open")])
    assert sketch is not None
    assert len(sketch.runs) == MOST_DRAWN
    assert max(segment.end[0] for (segment,) in sketch.runs) == MOST_DRAWN
