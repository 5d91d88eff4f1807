"""Entities of a DXF drawing into cuts: lines and arcs in millimetres, where they lie on the plate.

Group codes are those of the DXF reference (AutoCAD 2018, ENTITIES section). Every number is checked before anything
is worked out from it.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import pairwise
from math import atan2, ceil, cos, dist, hypot, isfinite, pi, radians, sin, tan

from msgspec import Struct

from lineage.drawings.faults import Faulty
from lineage.drawings.flatten import TooFineError, ellipse_points, spline_points
from lineage.drawings.joining import SHORTEST, Cut, Origin
from lineage.drawings.outline import Arc, Line, Point, Segment, arc_pieces, circle_segments
from lineage.drawings.placement import SEEN_FROM_BELOW, Placement
from lineage.values.formatting import count_of

Field = tuple[int, str | float | bytes]

LARGEST_NUMBER = 1e9
LARGEST_COORDINATE_MM = 1e6
FLAT = 1e-3
"""Heights within one entity may differ by this, in units of the drawing, before it counts as tilted."""

NOT_CUT = frozenset(
    {
        "TEXT", "MTEXT", "RTEXT", "ARCALIGNEDTEXT", "ATTDEF", "ATTRIB", "SEQEND", "DIMENSION",
        "ARC_DIMENSION", "LARGE_RADIAL_DIMENSION", "LEADER", "MULTILEADER", "MLEADER", "TOLERANCE",
        "POINT", "HATCH", "VIEWPORT", "IMAGE", "WIPEOUT", "RAY", "XLINE", "ACAD_TABLE", "OLEFRAME",
        "OLE2FRAME", "LIGHT", "SUN", "CAMERA", "SECTIONOBJECT", "PDFUNDERLAY", "DWFUNDERLAY",
        "DGNUNDERLAY", "GEOPOSITIONMARKER",
    }
)  # fmt: skip
"""What explains a drawing; a cutter does not follow it, and it is passed over while the file is read."""


class Entity(Struct, kw_only=True):
    """One entity as it stands in the file; `vertices` are those of an old polyline."""

    kind: str
    line: int
    handle: str = ""
    layer: str = "0"
    fields: list[Field] = []
    vertices: list[list[Field]] = []

    @property
    def origin(self) -> Origin:
        """Where it stands, for what is said of it."""
        return Origin(self.kind, self.handle, self.layer, self.line)


def cuts_of(entity: Entity, placement: Placement) -> list[Cut]:
    """What an entity cuts; nothing where it has no length.

    Raises Faulty for what cannot be cut as it stands, and for what might be a cut and is not known.
    """
    shape = SHAPES.get(entity.kind)
    if shape is None:
        raise Faulty("drawing.unknown-entity", "a kind that may be a cut and is not read")
    segments, flattened = shape(entity, placement)
    for segment in segments:
        _check_bounds(segment)
    long_enough = tuple(_without_short_steps(segments))
    if not long_enough:
        return []
    return [Cut(segments=long_enough, origin=entity.origin, flattened=flattened)]


Shape = tuple[Sequence[Segment], bool]
"""Segments on the plate, and whether they are chords of a curve."""


def _check_bounds(segment: Segment) -> None:
    if any(abs(number) > LARGEST_COORDINATE_MM for number in (*segment.start, *segment.end)):
        x, y = segment.start
        raise Faulty("drawing.out-of-bounds", f"it reaches to ({x:.6g}, {y:.6g}) mm")


def _without_short_steps(segments: Iterable[Segment]) -> Iterator[Segment]:
    """Segments without those too short to cut, their neighbours joined."""
    last: Point | None = None
    for segment in segments:
        start = segment.start if last is None else last
        if dist(start, segment.end) >= SHORTEST:
            last = segment.end
            yield Arc(start, last, segment.bulge) if isinstance(segment, Arc) else Line(start, last)
        elif last is None:
            last = segment.start


# Reading fields


def checked(value: str | float | bytes) -> float:
    """A number of a drawing, known to be finite and of a size that can be reckoned with."""
    try:
        number = float(value)
    except ValueError:
        raise Faulty(
            "drawing.bad-number", f"`{str(value).strip()[:40]}` stands where a number is wanted"
        ) from None
    if not isfinite(number):
        raise Faulty("drawing.bad-number", f"`{str(value).strip()[:40]}` is no finite number")
    if abs(number) > LARGEST_NUMBER:
        raise Faulty("drawing.out-of-bounds", f"the number {number:.6g} is too large")
    return number


def numbers(fields: Iterable[Field], code: int) -> list[float]:
    """Every number of a group code."""
    return [checked(value) for key, value in fields if key == code]


def number(fields: Iterable[Field], code: int, default: float | None = None) -> float:
    """The number of a group code; Faulty where it is missing and there is no default."""
    found = numbers(fields, code)
    if found:
        return found[0]
    if default is None:
        raise Faulty("drawing.bad-number", f"it lacks its group {code}")
    return default


def whole(fields: Iterable[Field], code: int, default: int = 0) -> int:
    """A count or flags."""
    return int(number(fields, code, default))


def point_of(fields: Sequence[Field], code: int, default: float | None = None) -> Point:
    """The point whose x has this group code."""
    return number(fields, code, default), number(fields, code + 10, default)


def side(fields: Sequence[Field]) -> Placement:
    """How the coordinates of an entity lie in the drawing: as they are, or seen from below.

    Raises Faulty for any other extrusion: such an entity is tilted.
    """
    x, y, z = number(fields, 210, 0), number(fields, 220, 0), number(fields, 230, 1)
    if hypot(x, y) >= 1e-6 * abs(z):
        raise Faulty("drawing.not-flat", f"its plane is tilted (extrusion {x:g}, {y:g}, {z:g})")
    return Placement() if z >= 0 else SEEN_FROM_BELOW


def _check_level(heights: Sequence[float]) -> None:
    if heights and max(heights) - min(heights) > FLAT:
        raise Faulty("drawing.not-flat", f"it rises from z {min(heights):g} to z {max(heights):g}")


def _placed(segments: Iterable[Segment], placement: Placement) -> list[Segment]:
    return [placement.segment(segment) for segment in segments]


# One function for each kind


def _line(entity: Entity, placement: Placement) -> Shape:
    fields = entity.fields
    _check_level([number(fields, 30, 0), number(fields, 31, 0)])
    return _placed([Line(point_of(fields, 10), point_of(fields, 11))], placement), False


def _radius(fields: Sequence[Field], placement: Placement) -> float:
    radius = number(fields, 40)
    if radius <= 0:
        raise Faulty("drawing.no-size", f"its radius is {radius:g}")
    if radius * placement.scale > LARGEST_COORDINATE_MM:
        raise Faulty("drawing.out-of-bounds", f"its radius is {radius * placement.scale:.6g} mm")
    return radius


def _circle(entity: Entity, placement: Placement) -> Shape:
    fields = entity.fields
    segments = circle_segments(point_of(fields, 10), _radius(fields, placement))
    return _placed(segments, placement.of(side(fields))), False


def _arc(entity: Entity, placement: Placement) -> Shape:
    fields = entity.fields
    centre, radius = point_of(fields, 10), _radius(fields, placement)
    start = number(fields, 50)
    turn = (number(fields, 51) - start) % 360 or 360.0
    segments = turn_segments(centre, radius, radians(start), radians(turn))
    return _placed(segments, placement.of(side(fields))), False


def turn_segments(centre: Point, radius: float, start: float, turn: float) -> list[Segment]:
    """An arc from an angle over a turn (radians) in steps of at most half a circle; a whole turn closes."""
    steps = max(ceil(abs(turn) / pi - 1e-9), 1)
    angles = [start + turn * step / steps for step in range(steps + 1)]
    points = [(centre[0] + radius * cos(angle), centre[1] + radius * sin(angle)) for angle in angles]
    if abs(abs(turn) - 2 * pi) < 1e-12:
        points[-1] = points[0]
    bulge = tan(turn / steps / 4)
    return [Arc(one, other, bulge) for one, other in pairwise(points)]


def _ellipse(entity: Entity, placement: Placement) -> Shape:
    """Of an ellipse the points are in world coordinates; only its direction follows the extrusion."""
    fields = entity.fields
    centre, major = point_of(fields, 10), point_of(fields, 11)
    _check_level([0.0, number(fields, 31, 0)])
    ratio, start = number(fields, 40), number(fields, 41, 0.0)
    length = hypot(*major)
    if ratio <= 0 or length <= 0:
        raise Faulty("drawing.no-size", f"its half axes are {length:g} and {length * ratio:g}")
    if length * max(ratio, 1.0) * placement.scale > LARGEST_COORDINATE_MM:
        raise Faulty("drawing.out-of-bounds", f"its half axis is {length * placement.scale:.6g} mm")
    turn = (number(fields, 42, 2 * pi) - start) % (2 * pi)
    turn = turn if 1e-9 < turn < 2 * pi - 1e-9 else 2 * pi
    hand = -1.0 if side(fields).is_mirrored else 1.0
    if abs(ratio - 1) < 1e-9:
        first = start * hand + _angle(major)
        return _placed(turn_segments(centre, length, first, turn * hand), placement), False
    minor = -major[1] * ratio * hand, major[0] * ratio * hand
    points = _limited(
        lambda: ellipse_points(
            placement.point(centre), (placement.vector(major), placement.vector(minor)), start, turn
        )
    )
    if turn == 2 * pi:
        points[-1] = points[0]
    return _chords(points), True


def _angle(vector: Point) -> float:
    return atan2(vector[1], vector[0])


def _limited(points: Callable[[], list[Point]]) -> list[Point]:
    try:
        return points()
    except TooFineError:
        raise Faulty("drawing.too-big", "it would take more than 20,000 chords") from None


def _chords(points: Sequence[Point]) -> list[Segment]:
    return [Line(one, other) for one, other in pairwise(points)]


Vertex = tuple[Point, float]
"""A point of a polyline and the bulge of the step from it."""


def _polyline_segments(vertices: Sequence[Vertex], *, is_closed: bool) -> list[Segment]:
    following = [*vertices[1:], *(vertices[:1] if is_closed else [])]
    return [
        segment
        for (start, bulge), (end, _) in zip(vertices, following, strict=False)
        if dist(start, end) > 0
        for segment in arc_pieces(start, end, bulge)
    ]


def _lightweight_polyline(entity: Entity, placement: Placement) -> Shape:
    points: list[list[float]] = []
    for code, value in entity.fields:
        if code == 10:
            points.append([checked(value), 0.0, 0.0])
        elif code in {20, 42} and points:
            points[-1][1 if code == 20 else 2] = checked(value)
    said = whole(entity.fields, 90, len(points))
    if said != len(points) or len(points) < 2:
        raise Faulty("drawing.bad-number", f"it says {count_of(said, 'point')} and has {len(points)}")
    vertices = [((x, y), bulge) for x, y, bulge in points]
    segments = _polyline_segments(vertices, is_closed=bool(whole(entity.fields, 70) & 1))
    return _placed(segments, placement.of(side(entity.fields))), False


def _old_polyline(entity: Entity, placement: Placement) -> Shape:
    """POLYLINE with its VERTEX entities; control points of a fitted curve are left out, its points are cut."""
    flags = whole(entity.fields, 70)
    if flags & (16 | 64):
        raise Faulty("drawing.unknown-entity", "a mesh")
    is_free_in_space = bool(flags & 8)
    cut = [fields for fields in entity.vertices if not whole(fields, 70) & 16]
    if len(cut) < 2:
        raise Faulty("drawing.bad-number", f"it has {count_of(len(cut), 'point')}")
    _check_level([number(fields, 30, 0) for fields in cut])
    vertices = [
        (point_of(fields, 10), 0.0 if is_free_in_space else number(fields, 42, 0.0)) for fields in cut
    ]
    segments = _polyline_segments(vertices, is_closed=bool(flags & 1))
    lies = placement if is_free_in_space else placement.of(side(entity.fields))
    return _placed(segments, lies), False


class _Spline(Struct, frozen=True, kw_only=True):
    degree: int
    knots: list[float]
    weights: list[float]
    xs: list[float]
    ys: list[float]


def _spline(entity: Entity, placement: Placement) -> Shape:
    fields = entity.fields
    spline = _Spline(
        degree=whole(fields, 71),
        knots=numbers(fields, 40),
        weights=numbers(fields, 41),
        xs=numbers(fields, 10),
        ys=numbers(fields, 20),
    )
    wrong = _what_is_wrong(spline, fields)
    if wrong:
        raise Faulty("drawing.bad-curve", wrong)
    _check_level(numbers(fields, 30))
    controls = [placement.point(point) for point in zip(spline.xs, spline.ys, strict=True)]
    for point in controls:
        _check_bounds(Line(point, point))
    points = _limited(lambda: spline_points(spline.degree, spline.knots, controls, spline.weights or None))
    return _chords(points), spline.degree > 1


def _what_is_wrong(spline: _Spline, fields: Sequence[Field]) -> str | None:
    """None when a spline has as many points, knots and weights as it needs."""
    degree, count, knots = spline.degree, len(spline.xs), len(spline.knots)
    if not count and any(code == 11 for code, _ in fields):
        return "it has fit points alone, which every program joins in its own way"
    if not 1 <= degree <= 5:
        return f"its degree is {degree}"
    if count <= degree or count != len(spline.ys):
        return f"it has {count_of(count, 'control point')} for degree {degree}"
    if knots != count + degree + 1:
        wanted = f"{count + degree + 1} belong to {count_of(count, 'control point')}"
        return f"it has {count_of(knots, 'knot')} where {wanted}"
    said = whole(fields, 72, knots), whole(fields, 73, count)
    if said != (knots, count):
        return f"it says {count_of(said[0], 'knot')} and {count_of(said[1], 'point')} and has {knots} and {count}"
    weights = spline.weights
    if weights and len(weights) != count:
        return f"it has {count_of(len(weights), 'weight')} for {count_of(count, 'control point')}"
    if weights and not 0 < max(weights) <= 1e6 * min(weights):
        return f"its weights run from {min(weights):g} to {max(weights):g}"
    return _what_is_wrong_with_knots(spline.knots, degree, count)


def _what_is_wrong_with_knots(knots: Sequence[float], degree: int, count: int) -> str | None:
    if any(one > other for one, other in pairwise(knots)):
        return "its knots fall"
    length = knots[count] - knots[degree]
    if length <= 0 or any(0 < other - one < 1e-9 * length for one, other in pairwise(knots)):
        return "its knots lie on top of each other"
    inner = knots[degree + 1 : count]
    if any(one == other for one, other in zip(inner, inner[degree:], strict=False)):
        return "it is torn: a knot repeats more often than its degree"
    return None


SHAPES: dict[str, Callable[[Entity, Placement], Shape]] = {
    "LINE": _line,
    "CIRCLE": _circle,
    "ARC": _arc,
    "ELLIPSE": _ellipse,
    "LWPOLYLINE": _lightweight_polyline,
    "POLYLINE": _old_polyline,
    "SPLINE": _spline,
}
"""kind → what it cuts."""
