"""Curves as chords that keep to their error."""

from itertools import pairwise
from math import cos, pi, sin

import numpy as np
import pytest
import shapely
from scipy.interpolate import BSpline

from lineage.drawings.flatten import (
    MOST_CHORDS,
    TooFineError,
    arc_points,
    ellipse_points,
    loop_points,
    spline_points,
    thinned_points,
)
from lineage.drawings.outline import Arc, Line

CLAMPED = [0, 0, 0, 0, 1, 2, 3, 3, 3, 3]
CONTROLS = [(0, 0), (10, 30), (40, 30), (60, -10), (80, 5), (100, 0)]


def farthest_off(points, curve):
    """How far the true points of a curve lie from the chords."""
    return float(shapely.distance(shapely.LineString(points), shapely.points(curve)).max())


@pytest.mark.parametrize("error", [0.1, 0.01, 0.001])
def test_an_ellipse_keeps_to_its_error_and_wastes_little(error):
    points = ellipse_points((3, 4), ((50, 0), (0, 20)), 0.0, 2 * pi, error)
    true = [(3 + 50 * cos(t), 4 + 20 * sin(t)) for t in np.linspace(0, 2 * pi, 20_001)]
    assert error / 10 < farthest_off(points, true) <= error
    assert farthest_off(true, points) < 1e-6


@pytest.mark.parametrize(
    ("degree", "knots", "count"),
    [(3, CLAMPED, 6), (2, [0, 1, 2, 3, 4, 5, 6, 7, 8], 6), (5, [0] * 6 + [1] * 6, 6)],
)
@pytest.mark.parametrize("error", [0.1, 0.001])
def test_a_spline_agrees_with_a_reference_library(degree, knots, count, error):
    """scipy evaluates the same spline."""
    points = spline_points(degree, knots, CONTROLS, error=error)
    true = BSpline(knots, np.array(CONTROLS), degree)(np.linspace(knots[degree], knots[count], 20_001))
    assert farthest_off(points, true) <= error
    assert farthest_off(true, points) < 1e-5
    assert points[0] == pytest.approx(true[0])
    assert points[-1] == pytest.approx(true[-1])


def test_a_rational_spline_agrees_with_a_reference_library():
    """scipy evaluates numerator and denominator."""
    weights = [1, 5, 0.2, 3, 1, 2]
    points = spline_points(3, CLAMPED, CONTROLS, weights, 0.001)
    heavy = np.array([(x * w, y * w, w) for (x, y), w in zip(CONTROLS, weights, strict=True)])
    true = BSpline(CLAMPED, heavy, 3)(np.linspace(0, 3, 20_001))
    true = true[:, :2] / true[:, 2:]
    assert farthest_off(points, true) <= 0.001
    assert farthest_off(true, points) < 1e-5


def test_a_curve_that_takes_too_many_chords_is_refused_before_it_is_made():
    with pytest.raises(TooFineError):
        ellipse_points((0, 0), ((1e6, 0), (0, 1e6)), 0, 2 * pi, 1e-6)
    with pytest.raises(TooFineError):
        spline_points(3, [0, 0, 0, 0, 1, 1, 1, 1], [(0, 0), (1e6, 1e6), (-1e6, 1e6), (0, 0)], error=1e-6)
    assert MOST_CHORDS == 20_000


@pytest.mark.parametrize("bulge", [1.0, -1.0, 0.3, -1e-5])
def test_an_arc_keeps_to_its_error(bulge):
    arc = Arc((0.0, 0.0), (30.0, 10.0), bulge)
    points = arc_points(arc, 0.01)
    (x, y), radius = arc.centre, arc.radius
    assert points[0] == arc.start
    assert points[-1] == arc.end
    assert all(abs(np.hypot(px - x, py - y) - radius) < 1e-9 * radius for px, py in points)
    middles = [((a + c) / 2, (b + d) / 2) for (a, b), (c, d) in pairwise(points)]
    assert all(radius - np.hypot(px - x, py - y) <= 0.01 + 1e-9 * radius for px, py in middles)


def test_a_loop_does_not_repeat_its_first_point():
    points = loop_points([Line((0.0, 0.0), (10.0, 0.0)), Arc((10.0, 0.0), (0.0, 0.0), 1.0)], 1.0)
    assert points[:2] == [(0.0, 0.0), (10.0, 0.0)]
    assert len(set(points)) == len(points)


def test_thinning_leaves_out_what_lies_near_the_line():
    wave = [(x / 10, 0.001 * sin(x)) for x in range(200)]
    kept = thinned_points([*wave, (20, 5)], 0.02)
    assert kept[0] == wave[0]
    assert kept[-1] == (20, 5)
    assert len(kept) < 6
    teeth = [(x, x % 2) for x in range(2000)]
    assert thinned_points(teeth, 0.02) == teeth
