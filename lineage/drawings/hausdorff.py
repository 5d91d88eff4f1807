"""How far the cuts of one plate lie from those of another, or from their own when the plate is turned."""

from collections import defaultdict, deque
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby, pairwise, product
from math import cos, dist, floor, hypot, inf, pi, sin, sqrt

from msgspec import Struct

from lineage.drawings.flatten import distance_to_line, thinned_points
from lineage.drawings.outline import Arc, Line, Loop, Point, Segment
from lineage.drawings.placement import Placement, moved

WITHIN = 0.2
"""Cuts no farther apart than this, in mm, are the same to a builder who puts the plate in."""

FINE = 0.01
"""Distances above that are found to this, in mm."""

PLENTY = 150
"""Of more segments than this, corners are left out that lie within THIN of the line past them."""

THIN = 0.02
"""In mm: distances of thinned cuts are right to twice this."""

SAME_CIRCLE = 1e-3
"""Arcs are of one circle when their centres and radii differ by no more than this, in mm."""


class Stretch(Struct, frozen=True, kw_only=True):
    """A line, an arc, or a whole circle, which begins nowhere.

    `middle` lies half way along, on a circle it is the centre; `half` is half the length; `half_turn` that of the
    angle, positive anticlockwise, π for a circle; `centre` is None for a line.
    """

    start: Point
    end: Point
    middle: Point
    half: float
    centre: Point | None = None
    radius: float = 0.0
    half_turn: float = 0.0

    @property
    def is_circle(self) -> bool:
        """Whether it is a whole circle."""
        return self.half_turn == pi

    def distance(self, point: Point) -> float:
        """From a point to the nearest of this stretch."""
        if self.centre is None:
            return distance_to_line(point, self.start, self.end)
        if self.is_circle or self._is_beside(point):
            return abs(dist(point, self.centre) - self.radius)
        return min(dist(point, self.start), dist(point, self.end))

    def at(self, share: float) -> Point:
        """The point at a share of the way, -1 at the start and 1 at the end."""
        if self.centre is None:
            return (
                self.middle[0] + share * (self.end[0] - self.middle[0]),
                self.middle[1] + share * (self.end[1] - self.middle[1]),
            )
        angle = share * self.half_turn
        c, s = cos(angle), sin(angle)
        begin = self.start if self.is_circle else self.middle
        x, y = begin[0] - self.centre[0], begin[1] - self.centre[1]
        return self.centre[0] + c * x - s * y, self.centre[1] + s * x + c * y

    def farthest_on(self, start: Point, end: Point) -> float:
        """At most so far from this stretch is any point of a straight line.

        The distance to a line does not bend down between two points (a convex function); beside an arc it is the
        difference between the radius and a distance that does not; beyond its ends nothing is said.
        """
        if self.centre is None:
            return max(self.distance(start), self.distance(end))
        if not self.is_circle and not (self._is_beside(start) and self._is_beside(end)):
            return inf
        least = distance_to_line(self.centre, start, end)
        most = max(dist(self.centre, start), dist(self.centre, end))
        return max(abs(most - self.radius), abs(least - self.radius))

    def _is_beside(self, point: Point) -> bool:
        """Whether a point lies in the sector of an arc, which for half a circle or less has no dent."""
        assert self.centre is not None
        x, y = point[0] - self.centre[0], point[1] - self.centre[1]
        toward = (self.middle[0] - self.centre[0]) * x + (self.middle[1] - self.centre[1]) * y
        return toward >= hypot(x, y) * self.radius * cos(self.half_turn)

    def bow(self, half: float) -> float:
        """How far a piece of this stretch, of this half length, may lie from its chord."""
        if self.centre is None:
            return 0.0
        return self.radius * (1 - cos(min(half / self.radius, pi)))


def stretches(loops: Iterable[Loop], origin: Point) -> list[Stretch]:
    """The cuts of a plate, seen from `origin`."""
    here = moved((-origin[0], -origin[1]))
    moved_loops = [[here.segment(segment) for segment in loop.segments] for loop in loops]
    if sum(map(len, moved_loops)) > PLENTY:
        moved_loops = [_thinned(segments) for segments in moved_loops]
    found: list[Stretch] = []
    for segments in moved_loops:
        circle = _circle(segments)
        found += [circle] if circle else [_stretch(segment) for segment in segments]
    return found


def _thinned(segments: Sequence[Segment]) -> list[Segment]:
    """Arcs as they are, runs of lines with fewer corners."""
    thinned: list[Segment] = []
    for is_run, run in groupby(segments, key=lambda segment: isinstance(segment, Line)):
        cuts = list(run)
        if is_run:
            points = thinned_points([cuts[0].start, *(cut.end for cut in cuts)], THIN)
            thinned += [Line(start, end) for start, end in pairwise(points)]
        else:
            thinned += cuts
    return thinned


def _circle(segments: Sequence[Segment]) -> Stretch | None:
    """A loop as a circle, where it is one."""
    arcs = [segment for segment in segments if isinstance(segment, Arc)]
    if len(arcs) < len(segments):
        return None
    centre, radius = arcs[0].centre, arcs[0].radius
    for arc in arcs:
        if dist(arc.centre, centre) > SAME_CIRCLE or abs(arc.radius - radius) > SAME_CIRCLE:
            return None
    start = arcs[0].start
    return Stretch(
        start=start, end=start, middle=centre, half=pi * radius, centre=centre, radius=radius, half_turn=pi
    )


def _stretch(segment: Segment) -> Stretch:
    (x0, y0), (x1, y1) = segment.start, segment.end
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    half = segment.length / 2
    if not isinstance(segment, Arc):
        return Stretch(start=segment.start, end=segment.end, middle=(x, y), half=half)
    bulge = segment.bulge
    return Stretch(
        start=segment.start,
        end=segment.end,
        middle=(x + bulge * (y1 - y0) / 2, y - bulge * (x1 - x0) / 2),
        half=half,
        centre=segment.centre,
        radius=segment.radius,
        half_turn=segment.turn / 2,
    )


class Cuts:
    """The cuts of a plate, laid out in square cells so that the nearest is found without asking all."""

    def __init__(self, stretches: Sequence[Stretch]) -> None:
        # Those that a turn moves most come first: a wrong way then shows early.
        self.stretches = sorted(stretches, key=lambda stretch: -hypot(*stretch.start))
        points = [stretch.at(share) for stretch in stretches for share in (-1.0, -0.5, 0.0, 0.5, 1.0)]
        self.left, self.low = min(x for x, _ in points), min(y for _, y in points)
        width, height = max(x for x, _ in points) - self.left, max(y for _, y in points) - self.low
        self.size = max(sqrt(width * height / (2 * len(stretches))), (width + height) / 200)
        self.columns, self.rows = int(width / self.size) + 1, int(height / self.size) + 1
        self.cells: defaultdict[tuple[int, int], list[Stretch]] = defaultdict(list)
        self.middles: defaultdict[tuple[int, int], list[Stretch]] = defaultdict(list)
        for stretch in stretches:
            for cell in self._touched(stretch):
                self.cells[cell].append(stretch)
            self.middles[floor(stretch.middle[0]), floor(stretch.middle[1])].append(stretch)

    def _cell(self, point: Point) -> tuple[int, int]:
        """The cell of a point, for one outside the cell next to it."""
        column, row = int((point[0] - self.left) / self.size), int((point[1] - self.low) / self.size)
        return min(max(column, 0), self.columns - 1), min(max(row, 0), self.rows - 1)

    def _touched(self, stretch: Stretch) -> set[tuple[int, int]]:
        """The cells of points along a stretch, a quarter of a cell from one to the next."""
        steps = int(2 * stretch.half / (self.size / 4)) + 1
        return {self._cell(stretch.at(2 * step / steps - 1)) for step in range(steps + 1)}

    def nearest(self, point: Point) -> tuple[float, Stretch]:
        """The distance from a point to the nearest cut, and which that is.

        A cut that is not in the cells within k of the point's own is at least k cells away, but for the eighth of a
        cell by which it may cut a corner between the points along it.
        """
        column, row = self._cell(point)
        least, which = inf, self.stretches[0]
        for ring in range(max(self.columns, self.rows) + 1):
            if least <= (ring - 1.125) * self.size:
                break
            for cell in _square(column, row, ring):
                for stretch in self.cells.get(cell, ()):
                    distance = stretch.distance(point)
                    if distance < least:
                        least, which = distance, stretch
        return least, which

    def has_like(self, stretch: Stretch, placement: Placement) -> bool:
        """Whether one of these cuts lies along a placed one from end to end.

        Lines whose ends agree agree between them; arcs whose ends and middles agree to half as much do.
        """
        start, middle, end = (
            placement.point(point) for point in (stretch.start, stretch.middle, stretch.end)
        )
        column, row = floor(middle[0]), floor(middle[1])
        for i, j in product((column - 1, column, column + 1), (row - 1, row, row + 1)):
            for other in self.middles.get((i, j), ()):
                if dist(other.middle, middle) > WITHIN / 2 or abs(other.radius - stretch.radius) > WITHIN / 2:
                    continue
                if stretch.is_circle or other.is_circle:
                    if stretch.is_circle and other.is_circle:
                        return True
                    continue
                own_ends = other.start, other.end
                if all(min(dist(point, own) for own in own_ends) <= WITHIN / 2 for point in (start, end)):
                    return True
        return False


def _square(column: int, row: int, ring: int) -> Iterator[tuple[int, int]]:
    """Cells at a distance of `ring` from one."""
    if ring == 0:
        yield column, row
        return
    for step in range(-ring, ring):
        yield column + step, row - ring
        yield column + ring, row + step
        yield column - step, row + ring
        yield column - ring, row - step


def apart(one: Cuts, other: Cuts, placement: Placement, limit: float = inf) -> float:
    """The Hausdorff distance between the cuts of one plate, placed, and those of another, in mm.

    Exact to FINE above WITHIN; what is no more than WITHIN comes back as any number up to it, and the search ends
    with some number above `limit` as soon as the distance must be.
    """
    there = _reach(one, other, placement, limit)
    # A flip is its own way back: of one plate both distances are the same.
    if there > limit or (one is other and placement.is_mirrored):
        return there
    return max(there, _reach(other, one, _back(placement), limit))


def _back(placement: Placement) -> Placement:
    """The way back of a turn or flip about the origin: its matrix the other way over."""
    return Placement(a=placement.a, b=placement.c, c=placement.b, d=placement.d)


def _reach(source: Cuts, target: Cuts, placement: Placement, limit: float) -> float:
    """The farthest that any point of the placed source lies from the target.

    Ends come first. Then a piece of a stretch is halved as long as it may hold a point farther than those known: it
    holds none farther than half its length beyond its middle (the distance is Lipschitz with constant 1), and none
    farther than it can lie from the one cut that is nearest to its middle.
    """
    loose = [stretch for stretch in source.stretches if not target.has_like(stretch, placement)]
    farthest = 0.0
    for stretch in loose:
        farthest = max(farthest, target.nearest(placement.point(stretch.start))[0])
        if farthest > limit:
            return farthest
    waiting = deque((stretch, -1.0, 1.0) for stretch in loose)
    while waiting:
        stretch, low, high = waiting.popleft()
        middle = (low + high) / 2
        half = stretch.half * (high - low) / 2
        distance, nearest = target.nearest(placement.point(stretch.at(middle)))
        farthest = max(farthest, distance)
        if farthest > limit:
            break
        enough = max(farthest + FINE, WITHIN)
        if distance + half > enough:
            ends = placement.point(stretch.at(low)), placement.point(stretch.at(high))
            if nearest.farthest_on(*ends) + stretch.bow(half) > enough:
                waiting += [(stretch, low, middle), (stretch, middle, high)]
    return farthest
