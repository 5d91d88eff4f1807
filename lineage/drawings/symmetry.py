"""The ways round in which a plate goes in, by how much the nearest wrong one misses, and left and right plates."""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import atan2, cos, dist, hypot, inf, pi, sin

from msgspec import Struct

from lineage.drawings.hausdorff import WITHIN, Cuts, apart, stretches
from lineage.drawings.moments import Measures, farthest, measures, signed_area
from lineage.drawings.outline import Arc, Loop, Outline, Point, Segment
from lineage.drawings.placement import Placement

TURNS = tuple(sorted({Fraction(k, n) for n in range(2, 13) for k in range(1, n)}))
"""k/n of a whole turn for n from 2 to 12."""

MOST_FARTHEST = 48
"""More farthest points than this lie on what is nearly a circle; the first of them stand for all."""

AS_PLACED = Placement()
MIRRORED = Placement(d=-1.0)


class Symmetry(Struct, frozen=True, kw_only=True):
    """In how many ways a plate goes in, the right one counted, and by how much the nearest other way misses.

    Both are None for what every turn leaves alone: a disc or a ring.
    """

    orientations: int | None
    nearest_mm: float | None


def ways_round(outline: Outline) -> Symmetry:
    """Turns and flips about the centroid that leave all loops as they were within 0.2 mm.

    Looked at are the turns by k/n of a whole one, n from 2 to 12, and the flips about the lines through the centroid
    that pass through a farthest point of the loops or bisect two; for the nearest other way also the flips about the
    principal axes. Where the farthest points are whole circles about the centroid, every line passes through one, and
    the farthest points of the other loops stand for them.

    outline: in mm.
    Result: `orientations`, 4 for a plain rectangle, 8 for a square, 1 for a plate without symmetry; `nearest_mm`, the
    least Hausdorff distance between the loops and themselves so moved, over what does not leave them alone, to 0.01 mm
    (0.05 mm for drawings of more than 150 segments, whose chords are thinned).
    None for both where every turn leaves the loops alone.
    Source: F. Hausdorff, Grundzüge der Mengenlehre, 1914, distance of point sets (from memory); the angles tried and
    the 0.2 mm are this project's choice.
    """
    about = measures(outline)
    loops = [loop for loop in outline.loops if not _is_round_about(loop, about.centroid)]
    if not loops:
        return Symmetry(orientations=None, nearest_mm=None)
    trial = _Trial(Cuts(stretches(outline.loops, about.centroid)))
    for line in _principal_axes(about):
        trial.leaves_alone(flip_about(line))
    same = 1
    for turn in TURNS:
        if 2 * turn <= 1 and trial.leaves_alone(turn_by(2 * pi * float(turn))):
            # What a turn leaves alone, the turn back does too.
            same += 1 if 2 * turn == 1 else 2
    lines = _lines_of_flips(farthest_points(loops, about.centroid))
    same += trial.different([line for line in lines if trial.leaves_alone(flip_about(line))])
    return Symmetry(orientations=same, nearest_mm=trial.nearest if trial.nearest < inf else None)


class _Trial:
    """Tries ways round, and remembers by how much the nearest that does not fit misses."""

    def __init__(self, cuts: Cuts) -> None:
        self.cuts = cuts
        self.nearest = inf

    def leaves_alone(self, placement: Placement) -> bool:
        distance = apart(self.cuts, self.cuts, placement, self.nearest)
        if distance <= WITHIN:
            return True
        self.nearest = min(self.nearest, distance)
        return False

    def different(self, lines: Sequence[float]) -> int:
        """How many flips about these lines, in order, are not the same one found twice.

        Two lines that are one axis, each a little off, have between them a line that leaves the cuts alone too.
        """
        following = [*lines[1:], *(line + pi for line in lines[:1])]
        middles = [(one + other) / 2 for one, other in zip(lines, following, strict=True)]
        breaks = sum(apart(self.cuts, self.cuts, flip_about(middle), WITHIN) > WITHIN for middle in middles)
        return max(breaks, min(len(lines), 1))


def turn_by(angle: float) -> Placement:
    """A turn about the origin, in radians anticlockwise."""
    c, s = cos(angle), sin(angle)
    return Placement(a=c, b=s, c=-s, d=c)


def flip_about(line: float) -> Placement:
    """The flip about the line through the origin in this direction, in radians."""
    c, s = cos(2 * line), sin(2 * line)
    return Placement(a=c, b=s, c=s, d=-c)


def _is_round_about(loop: Loop, centre: Point) -> bool:
    """Whether every turn about a point leaves a loop alone: it runs around it at one distance, within 0.2 mm."""
    around = stretches([loop], centre)
    least = min(stretch.distance((0.0, 0.0)) for stretch in around)
    most = max(farthest(segment, centre)[0] for segment in loop.segments)
    return most - least <= WITHIN and abs(signed_area(loop)) >= 0.9 * pi * least**2


def _principal_axes(about: Measures) -> tuple[float, ...]:
    """Directions of the axes of least and greatest second moment; none where all are alike."""
    across, shear = about.iyy - about.ixx, 2 * about.ixy
    if hypot(across, shear) < 1e-9 * about.polar_mm4:
        return ()
    axis = atan2(shear, across) / 2
    return axis, axis + pi / 2


def farthest_points(loops: Iterable[Loop], centre: Point) -> list[Point]:
    """Points of the loops that lie farthest from a point, within 0.2 mm, seen from there.

    Of an arc about that point its ends and middle: where a flip takes it, it takes them.
    """
    found = [
        (reach, (x - centre[0], y - centre[1])) for loop in loops for reach, (x, y) in _peaks(loop, centre)
    ]
    most = max(reach for reach, _ in found)
    points: dict[tuple[float, float], Point] = {}
    for reach, (x, y) in found:
        if reach >= most - WITHIN:
            points.setdefault((round(x, 3), round(y, 3)), (x, y))
    return list(points.values())[:MOST_FARTHEST]


def _peaks(loop: Loop, centre: Point) -> list[tuple[float, Point]]:
    """Points of a loop from which no cut leads farther away from a point, and how far away they lie."""
    peaks: list[tuple[float, Point]] = []
    for before, segment in zip((loop.segments[-1], *loop.segments[:-1]), loop.segments, strict=True):
        corner = segment.start
        if not (_leads_away(before.reversed(), centre) or _leads_away(segment, centre)):
            peaks.append((dist(corner, centre), corner))
        if isinstance(segment, Arc):
            middle = stretches([Loop((segment,))], (0.0, 0.0))[0].middle
            if dist(segment.centre, centre) <= WITHIN / 2:
                peaks += [(dist(point, centre), point) for point in (segment.start, middle, segment.end)]
            reach, where = farthest(segment, centre)
            if where not in {segment.start, segment.end}:
                peaks.append((reach, where))
    return peaks


def _leads_away(segment: Segment, centre: Point) -> bool:
    """Whether the distance from a point grows where a segment begins."""
    (x, y), (ahead_x, ahead_y) = segment.start, segment.end
    along = ahead_x - x, ahead_y - y
    if isinstance(segment, Arc):
        middle_x, middle_y = segment.centre
        sense = 1.0 if segment.bulge > 0 else -1.0
        along = -sense * (y - middle_y), sense * (x - middle_x)
    out = x - centre[0], y - centre[1]
    return out[0] * along[0] + out[1] * along[1] > 1e-9 * hypot(*out) * hypot(*along)


def _lines_of_flips(points: Sequence[Point]) -> list[float]:
    """Directions of lines through the origin that pass through one of the points or bisect two, each once, in order."""
    angles = [atan2(y, x) for x, y in points]
    lines = [(one + other) / 2 % pi for number, one in enumerate(angles) for other in angles[number:]]
    return sorted({round(line, 9) % round(pi, 9): line for line in lines}.values())


def is_mirror_of(one: Outline, other: Outline) -> bool:
    """Whether one plate turned over is the other, within 0.2 mm, wherever each stands in its drawing.

    one, other: in mm.
    Result: True for a left and a right plate; a plate that is its own mirror image is that of its double too.
    Plates with different numbers of loops are no pair.
    Source: as `ways_round`.
    """
    first, second = measures(one), measures(other)
    if len(one.loops) != len(other.loops) or not _may_be_one(first, second):
        return False
    cuts, target = Cuts(stretches(one.loops, first.centroid)), Cuts(stretches(other.loops, second.centroid))
    return any(
        apart(cuts, target, turn_by(angle).of(MIRRORED), WITHIN) <= WITHIN
        for angle in _turns_between(one, first.centroid, other, second.centroid)
    )


def _may_be_one(first: Measures, second: Measures) -> bool:
    """Whether two plates could lie on each other within 0.2 mm."""
    return (
        abs(first.area_mm2 - second.area_mm2) <= WITHIN * max(first.perimeter_mm, second.perimeter_mm)
        and abs(first.largest_radius_mm - second.largest_radius_mm) <= 2 * WITHIN
    )


def _turns_between(one: Outline, centre: Point, other: Outline, other_centre: Point) -> list[float]:
    """Turns that bring a farthest point of the mirrored plate onto each of the other's."""
    loops = [loop for loop in one.loops if not _is_round_about(loop, centre)]
    others = [loop for loop in other.loops if not _is_round_about(loop, other_centre)]
    if not loops or not others:
        return [0.0]
    x, y = farthest_points(loops, centre)[0]
    return [atan2(v, u) + atan2(y, x) for u, v in farthest_points(others, other_centre)]
