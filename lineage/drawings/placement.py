"""Where the coordinates of an entity lie on the plate: unit, mirrored side, and the block that it is in."""

from math import cos, hypot, radians, sin

from msgspec import Struct

from lineage.drawings.outline import Arc, Line, Point, Segment


class Placement(Struct, frozen=True):
    """x' = a·x + c·y + e, y' = b·x + d·y + f: turns, mirrors, moves, and scales alike in every direction."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    @property
    def is_mirrored(self) -> bool:
        """Whether it makes a left hand a right one."""
        return self.a * self.d - self.b * self.c < 0

    @property
    def scale(self) -> float:
        """By how much lengths grow."""
        return hypot(self.a, self.b)

    def point(self, point: Point) -> Point:
        """Where a point lies."""
        x, y = point
        return self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f

    def vector(self, vector: Point) -> Point:
        """Where a direction with a length points."""
        x, y = vector
        return self.a * x + self.c * y, self.b * x + self.d * y

    def segment(self, segment: Segment) -> Segment:
        """Where a segment lies; mirrored arcs turn the other way."""
        start, end = self.point(segment.start), self.point(segment.end)
        if isinstance(segment, Arc):
            return Arc(start, end, -segment.bulge if self.is_mirrored else segment.bulge)
        return Line(start, end)

    def of(self, inner: "Placement") -> "Placement":
        """This placement of what has been placed by `inner`."""
        a, b = self.vector((inner.a, inner.b))
        c, d = self.vector((inner.c, inner.d))
        e, f = self.point((inner.e, inner.f))
        return Placement(a, b, c, d, e, f)


def scaled(factor: float) -> Placement:
    """A change of unit."""
    return Placement(a=factor, d=factor)


def moved(by: Point) -> Placement:
    """A move."""
    return Placement(e=by[0], f=by[1])


def turned(degrees: float) -> Placement:
    """A turn about the origin, anticlockwise; by quarters without rounding."""
    quarters, rest = divmod(degrees, 90)
    c, s = (1.0, 0.0) if rest == 0 else (cos(radians(rest)), sin(radians(rest)))
    for _ in range(int(quarters) % 4):
        c, s = -s, c
    return Placement(a=c, b=s, c=-s, d=c)


SEEN_FROM_BELOW = Placement(a=-1.0)
"""What is drawn with the extrusion (0, 0, -1) runs its x backwards (DXF reference, arbitrary axis algorithm)."""
