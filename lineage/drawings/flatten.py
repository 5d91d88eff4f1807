"""Curves that are neither lines nor arcs, as chords to a stated error, and arcs as chords for checks.

Ellipses and splines become points so close that no chord lies farther from the curve than the error. Arcs stay arcs
in an outline; they are flattened only where loops are laid over each other.
"""

from collections.abc import Sequence
from itertools import pairwise
from math import acos, ceil, cos, dist, hypot, pi, sin, sqrt

from lineage.drawings.outline import Arc, Point, Segment

FLATTENING = 0.001
"""How far, in mm, a chord may lie from its ellipse or spline."""

MOST_CHORDS = 20_000
"""No single curve of a plate needs more."""

RUN = 256

Weighted = tuple[float, float, float]
"""A control point times its weight, and the weight."""


class TooFineError(ValueError):
    """A curve that would need more than `MOST_CHORDS`."""


def ellipse_points(
    centre: Point, axes: tuple[Point, Point], start: float, turn: float, error: float = FLATTENING
) -> list[Point]:
    """Points along centre + cos t · u + sin t · v, t from `start` over `turn`, both ends included.

    A chord over a step h of the parameter lies within h²/8 · max|C''| of its curve, and |C''| is at most the longer
    half axis, so n = |turn| · √(longer / 8e) steps are enough.

    centre, axes: in mm, u and v the half axes as vectors; start, turn: in radians; error: e in mm.
    Result: points in mm, the first and last on the ends of the curve.
    Raises TooFineError where that takes too many chords.
    Source: C. de Boor, A Practical Guide to Splines, 1978, error of broken-line interpolation, chapter III.
    """
    major, minor = axes
    longer = max(hypot(*major), hypot(*minor))
    # Whole quarters, so that the chords of an ellipse are as even as it is.
    steps = 4 * ceil(abs(turn) * sqrt(longer / (8 * error)) / 4)
    if steps > MOST_CHORDS:
        raise TooFineError
    points = []
    for step in range(steps + 1):
        angle = start + turn * step / steps
        c, s = cos(angle), sin(angle)
        points.append((centre[0] + c * major[0] + s * minor[0], centre[1] + c * major[1] + s * minor[1]))
    return points


def spline_points(
    degree: int,
    knots: Sequence[float],
    controls: Sequence[Point],
    weights: Sequence[float] | None = None,
    error: float = FLATTENING,
) -> list[Point]:
    """Points along a B-spline, rational with weights, from its first to its last knot that counts.

    Each span between knots becomes a Bézier curve by de Boor's blossom and is halved until its control points lie
    within the error of the chord; a curve with positive weights does not leave the hull of its control points.

    degree: p; knots: n + p + 1 numbers that do not fall; controls: n points in mm; weights: n positive numbers, all
    1 when None; error: in mm.
    Result: points in mm, both ends included.
    Raises TooFineError where that takes too many chords.
    Source: L. Ramshaw, Blossoms are polar forms, Computer Aided Geometric Design 6, 1989; L. Piegl and W. Tiller,
    The NURBS Book, 1997, chapters 4 and 5 (from memory).
    """
    heavy = [
        (x * weight, y * weight, weight)
        for (x, y), weight in zip(controls, weights or [1.0] * len(controls), strict=True)
    ]
    points: list[Point] = []
    for span in range(degree, len(controls)):
        if knots[span] < knots[span + 1]:
            bezier = _bezier_of_span(degree, knots, heavy, span)
            points += [_flat(bezier[0])] if not points else []
            _halve(bezier, error, points)
    return points


def _bezier_of_span(
    degree: int, knots: Sequence[float], heavy: Sequence[Weighted], span: int
) -> list[Weighted]:
    """Control points of the Bézier curve between two knots: the blossom at j times the upper one."""
    low, high = knots[span], knots[span + 1]
    return [
        _blossom(degree, knots, heavy, span, [low] * (degree - j) + [high] * j) for j in range(degree + 1)
    ]


def _blossom(
    degree: int, knots: Sequence[float], heavy: Sequence[Weighted], span: int, at: Sequence[float]
) -> Weighted:
    """De Boor's scheme with a parameter of its own at every level."""
    points = list(heavy[span - degree : span + 1])
    for level, parameter in enumerate(at, start=1):
        for j in range(degree, level - 1, -1):
            low = knots[j + span - degree]
            share = (parameter - low) / (knots[j + 1 + span - level] - low)
            points[j] = _between(points[j - 1], points[j], share)
    return points[degree]


def _between(one: Weighted, other: Weighted, share: float) -> Weighted:
    rest = 1 - share
    return (
        rest * one[0] + share * other[0],
        rest * one[1] + share * other[1],
        rest * one[2] + share * other[2],
    )


def _flat(point: Weighted) -> Point:
    return point[0] / point[2], point[1] / point[2]


def _halve(bezier: list[Weighted], error: float, points: list[Point]) -> None:
    """Append the points of a curve after its first, in order."""
    waiting = [bezier]
    while waiting:
        curve = waiting.pop()
        flat = [_flat(point) for point in curve]
        if _is_flat(flat, error):
            points.append(flat[-1])
            if len(points) > MOST_CHORDS:
                raise TooFineError
            continue
        left, right = _halves(curve)
        waiting += [right, left]


def _halves(curve: list[Weighted]) -> tuple[list[Weighted], list[Weighted]]:
    """De Casteljau's scheme at the middle."""
    left, right, row = [curve[0]], [curve[-1]], curve
    while len(row) > 1:
        row = [_between(one, other, 0.5) for one, other in pairwise(row)]
        left.append(row[0])
        right.append(row[-1])
    return left, right[::-1]


def _is_flat(points: list[Point], error: float) -> bool:
    return all(distance_to_line(point, points[0], points[-1]) <= error for point in points[1:-1])


def distance_to_line(point: Point, start: Point, end: Point) -> float:
    """Distance from a point to the straight line between two others, its ends included."""
    along = end[0] - start[0], end[1] - start[1]
    length2 = along[0] ** 2 + along[1] ** 2
    if length2 == 0:
        return dist(point, start)
    share = ((point[0] - start[0]) * along[0] + (point[1] - start[1]) * along[1]) / length2
    share = min(max(share, 0.0), 1.0)
    return hypot(point[0] - start[0] - share * along[0], point[1] - start[1] - share * along[1])


def arc_points(arc: Arc, error: float) -> list[Point]:
    """Points along an arc, both ends included, no chord farther than the error (mm) from it."""
    radius, turn = arc.radius, arc.turn
    step = 2 * acos(1 - error / radius) if error < radius else pi
    steps = max(ceil(abs(turn) / step), 1)
    points = [arc.start]
    (x0, y0), (x1, y1) = arc.start, arc.end
    half = turn / 2
    for number in range(1, steps):
        angle = half * (2 * number / steps - 1)
        # Along and out from the chord, in shares of it; written so that flat arcs keep their digits.
        along = sin(angle) / (2 * sin(half))
        out = sin((half + angle) / 2) * sin((half - angle) / 2) / sin(half)
        points.append(
            (
                (x0 + x1) / 2 + along * (x1 - x0) + out * (y1 - y0),
                (y0 + y1) / 2 + along * (y1 - y0) - out * (x1 - x0),
            )
        )
    points.append(arc.end)
    return points


def loop_points(segments: Sequence[Segment], error: float) -> list[Point]:
    """Corners of a loop with its arcs as chords; the first is not repeated at the end."""
    points: list[Point] = []
    for segment in segments:
        points += arc_points(segment, error)[:-1] if isinstance(segment, Arc) else [segment.start]
    return points


def thinned_points(points: Sequence[Point], error: float) -> list[Point]:
    """A broken line without the points that lie within the error (mm) of the line past them; its ends stay.

    Source: D. Douglas and T. Peucker, Algorithms for the reduction of the number of points required to represent a
    digitized line or its caricature, Cartographica 10, 1973.
    """
    # A point here and there stays in any case, lest many equal teeth take a time that grows with their square.
    stays = [*range(0, len(points) - 1, RUN), len(points) - 1]
    kept = set(stays)
    waiting = list(pairwise(stays))
    while waiting:
        first, last = waiting.pop()
        if last - first < 2:
            continue
        away, where = max(
            (distance_to_line(points[number], points[first], points[last]), number)
            for number in range(first + 1, last)
        )
        if away > error:
            kept.add(where)
            waiting += [(first, where), (where, last)]
    return [points[number] for number in sorted(kept)]
