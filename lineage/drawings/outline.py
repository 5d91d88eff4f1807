"""The outline of a flat plate: closed loops of lines and arcs, in millimetres, x to the right and y up."""

from collections.abc import Iterator
from math import atan, hypot

from msgspec import Struct

Point = tuple[float, float]

STRAIGHT = 1e-8
"""A step that bulges less is a line: no point of it is moved by more than a hundred-millionth of its length."""


class Line(Struct, frozen=True, array_like=True, tag="line"):
    """A straight cut."""

    start: Point
    end: Point

    @property
    def length(self) -> float:
        """Length in mm."""
        return hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])

    def reversed(self) -> "Line":
        """The same cut the other way along."""
        return Line(self.end, self.start)


class Arc(Struct, frozen=True, array_like=True, tag="arc"):
    """A round cut of at most half a circle.

    `bulge` is the tangent of a quarter of the angle it turns through, positive anticlockwise: 1 is half a circle.
    Ends are stored and the centre is worked out, so that neighbours meet exactly.
    """

    start: Point
    end: Point
    bulge: float

    @property
    def turn(self) -> float:
        """Angle from start to end in radians, positive anticlockwise."""
        return 4 * atan(self.bulge)

    @property
    def chord(self) -> float:
        """Straight distance between the ends in mm."""
        return hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])

    @property
    def radius(self) -> float:
        """Radius in mm."""
        bulge = abs(self.bulge)
        return self.chord * (1 + bulge * bulge) / (4 * bulge)

    @property
    def centre(self) -> Point:
        """Centre of its circle."""
        reach = (1 - self.bulge * self.bulge) / (4 * self.bulge)
        (x0, y0), (x1, y1) = self.start, self.end
        return (x0 + x1) / 2 - (y1 - y0) * reach, (y0 + y1) / 2 + (x1 - x0) * reach

    @property
    def length(self) -> float:
        """Length along the arc in mm."""
        return self.radius * abs(self.turn)

    def reversed(self) -> "Arc":
        """The same cut the other way along."""
        return Arc(self.end, self.start, -self.bulge)

    def passes(self, direction: Point) -> bool:
        """Whether the ray from its centre in this direction meets it.

        The arc lies on one side of its chord, so the point of the circle in that direction belongs to it when it
        is on that side.
        """
        (x0, y0), (x1, y1) = self.start, self.end
        centre_x, centre_y = self.centre
        scale = self.radius / hypot(*direction)
        x, y = centre_x + direction[0] * scale, centre_y + direction[1] * scale
        side = (x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)
        return side * self.bulge < 0


Segment = Line | Arc


class Loop(Struct, frozen=True):
    """Segments, each beginning where the one before ends, the first where the last ends."""

    segments: tuple[Segment, ...]

    def reversed(self) -> "Loop":
        """The same loop, run the other way round."""
        return Loop(tuple(segment.reversed() for segment in reversed(self.segments)))

    @property
    def corners(self) -> tuple[Point, ...]:
        """Where the segments meet."""
        return tuple(segment.start for segment in self.segments)


class Piece(Struct, frozen=True, kw_only=True):
    """One piece of material: its outside anticlockwise, its holes clockwise."""

    outside: Loop
    holes: tuple[Loop, ...] = ()


class Outline(Struct, frozen=True, kw_only=True):
    """What a drawing cuts.

    `flattening_mm` is how far a chord that stands for an ellipse or spline may lie from the curve, and
    `flattened_mm` the length of all such chords; both are 0 where a drawing has lines and arcs only.
    """

    pieces: tuple[Piece, ...]
    flattening_mm: float = 0.0
    flattened_mm: float = 0.0

    @property
    def loops(self) -> tuple[Loop, ...]:
        """Every loop, an outside before its holes."""
        return tuple(loop for piece in self.pieces for loop in (piece.outside, *piece.holes))

    @property
    def segments(self) -> Iterator[Segment]:
        """Every segment of every loop."""
        return (segment for loop in self.loops for segment in loop.segments)


def arc_pieces(start: Point, end: Point, bulge: float) -> tuple[Segment, ...]:
    """One bulged step of a polyline as segments of at most half a circle each."""
    if abs(bulge) < STRAIGHT:
        return (Line(start, end),)
    if abs(bulge) <= 1:
        return (Arc(start, end, bulge),)
    (x0, y0), (x1, y1) = start, end
    # The middle of the arc lies off the middle of the chord by the bulge times half the chord.
    middle = (x0 + x1) / 2 + bulge * (y1 - y0) / 2, (y0 + y1) / 2 - bulge * (x1 - x0) / 2
    half = halved(bulge)
    return Arc(start, middle, half), Arc(middle, end, half)


def halved(bulge: float) -> float:
    """The bulge of half an arc: the tangent of half the angle."""
    return bulge / (1 + hypot(1, bulge))


def circle_segments(centre: Point, radius: float) -> tuple[Arc, Arc]:
    """A whole circle, anticlockwise, as two half ones."""
    right, left = (centre[0] + radius, centre[1]), (centre[0] - radius, centre[1])
    return Arc(right, left, 1.0), Arc(left, right, 1.0)
