"""Outlines as SVG path data."""

import re

from lineage.drawings.path import path_data
from tests.drawn import circle, outline_of, polyline, rectangle


def test_lines_with_y_turned_down():
    assert path_data(outline_of(rectangle(20, 10))) == "M0 0L20 0L20 -10L0 -10Z"


def test_arcs_stay_arcs_and_turn_the_other_way():
    """Anticlockwise in the drawing is sweep 0 where y runs down (SVG 2, elliptical arc commands)."""
    assert path_data(outline_of(circle(0, 0, 5))) == "M5 0A5 5 0 0 0 -5 0A5 5 0 0 0 5 0Z"


def test_holes_run_the_other_way():
    holed = path_data(outline_of(rectangle(20, 20), circle(10, 10, 5)))
    assert holed == "M0 0L20 0L20 -20L0 -20Z M15 -10A5 5 0 0 1 5 -10A5 5 0 0 1 15 -10Z"


def test_digits_are_as_many_as_asked_and_no_more():
    outline = outline_of(polyline((0, 0), (1 / 3, 0), (10, 10)))
    assert path_data(outline) == "M0 0L0.33 0L10 -10Z"
    assert path_data(outline, digits=4) == "M0 0L0.3333 0L10 -10Z"
    assert path_data(outline, digits=0) == "M0 0L0 0L10 -10Z"


def test_there_is_no_minus_zero():
    assert not re.search(r"-0(?![.\d])", path_data(outline_of(rectangle(20, 10, x=-1e-9, y=-1e-9))))
