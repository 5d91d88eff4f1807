"""Closed loops into pieces with holes; loops that cross are refused. The only door to shapely.

Arcs are laid over each other as fine chords, which serves the check only: what is kept are the exact loops.
"""

import re
from collections.abc import Sequence
from typing import Any, Literal

from msgspec import Struct

from lineage.drawings.faults import Faulty
from lineage.drawings.flatten import loop_points
from lineage.drawings.joining import Ring
from lineage.drawings.moments import signed_area
from lineage.drawings.outline import Loop, Piece, Point

CHECKED_TO = 0.002
"""How far, in mm, the chords of the check lie from their arcs."""

CLEAR = 0.01
"""Loops that reach into each other by less than this, in mm, touch: the chords cannot tell."""

SHARED = 1.0
"""Loops that run along each other for more than this, in mm, share an edge; less is a round touching a flat."""

MOST_LOOPS = 5_000
MOST_CORNERS = 300_000
MOST_PAIRS = 50_000
MOST_WORK = 1_000_000
"""Corners of all pairs of loops that have to be looked at closely."""

Way = Literal["crosses itself", "cross", "share an edge", "encloses nothing"]


class Clash(Struct, frozen=True, kw_only=True):
    """A loop that crosses itself, or two loops that cross or share an edge, and where."""

    way: Way
    at: Point
    rings: tuple[Ring, ...]


class Nested(Struct, frozen=True, kw_only=True):
    """Pieces, the one with the largest outside first, or what stands in the way of them."""

    pieces: tuple[Piece, ...]
    clashes: tuple[Clash, ...]


def nest(rings: Sequence[Ring]) -> Nested:
    """Loops by how many others they lie in: even ones are outsides, odd ones holes of the loop next around them.

    Raises Faulty where so many loops lie around each other that no plate can be meant.
    """
    if len(rings) > MOST_LOOPS:
        raise Faulty("drawing.too-big", f"{len(rings):,} closed outlines")
    outlines: list[list[Point]] = []
    corners = 0
    for ring in rings:
        outlines.append(_check_points(ring))
        corners += len(outlines[-1])
        if corners > MOST_CORNERS:
            raise Faulty("drawing.too-big", "arcs so large that they take too many chords")
    shapely = _shapely()
    hulls = [shapely.multipoints(points).convex_hull for points in outlines]
    clashes = [
        Clash(way="encloses nothing", at=ring.loop.segments[0].start, rings=(ring,))
        for ring, hull in zip(rings, hulls, strict=True)
        if hull.area < CLEAR**2
    ]
    if clashes:
        return Nested(pieces=(), clashes=tuple(clashes))
    shapes = [shapely.polygons(points) for points in outlines]
    clashes = [
        Clash(way="crosses itself", at=_place_in(reason), rings=(ring,))
        for ring, reason in zip(rings, shapely.is_valid_reason(shapes).tolist(), strict=True)
        if reason != "Valid Geometry"
    ]
    if clashes:
        return Nested(pieces=(), clashes=tuple(clashes))
    return _laid_over_each_other(rings, shapes)


def _laid_over_each_other(rings: Sequence[Ring], shapes: Sequence[Any]) -> Nested:
    clashes: list[Clash] = []
    around: list[list[int]] = [[] for _ in rings]
    corners = _shapely().get_num_coordinates(shapes).tolist()
    work = 0
    for small, large in _pairs(shapes):
        if shapes[large].contains_properly(shapes[small]):
            around[small].append(large)
        elif shapes[large].intersects(shapes[small]):
            work += corners[small] + corners[large]
            if work > MOST_WORK:
                raise Faulty("drawing.too-big", "too many outlines touch each other")
            how = _how_it_touches(shapes[small], shapes[large])
            if how == "inside":
                around[small].append(large)
            elif not isinstance(how, str):
                clashes.append(Clash(way=how[0], at=how[1], rings=(rings[small], rings[large])))
    return Nested(pieces=() if clashes else _pieces(rings, around), clashes=tuple(clashes))


def _pairs(shapes: Sequence[Any]) -> list[tuple[int, int]]:
    """Pairs whose boxes meet, the smaller first, each larger one made ready to be asked often."""
    shapely = _shapely()
    tree = shapely.STRtree(shapes)
    areas = shapely.area(shapes).tolist()
    pairs: list[tuple[int, int]] = []
    for number, shape in enumerate(shapes):
        others = [int(other) for other in tree.query(shape)]
        pairs += [(number, other) for other in others if (areas[number], number) < (areas[other], other)]
        if len(pairs) > MOST_PAIRS:
            raise Faulty("drawing.too-big", "too many outlines lie around each other")
    shapely.prepare([shapes[large] for _, large in pairs])
    return pairs


def _shapely() -> Any:
    """The library, heavy to load and wanted only when a drawing is read; it is but half annotated."""
    import shapely  # noqa: PLC0415

    return shapely


def _check_points(ring: Ring) -> list[Point]:
    """Corners and chords of a ring without the far ends of its bridges, where overshooting cuts would cross."""
    segments = [segment for i, segment in enumerate(ring.loop.segments) if i not in ring.bridges]
    return loop_points(segments, CHECKED_TO)


def _place_in(reason: str) -> Point:
    """The coordinates in a reason such as `Self-intersection[10 5]`."""
    x, y = re.findall(r"-?\d+\.?\d*(?:e[-+]?\d+)?", reason[reason.index("[") :])[:2]
    return float(x), float(y)


def _how_it_touches(small: Any, large: Any) -> Literal["inside", "beside"] | tuple[Way, Point]:
    """On which side of the larger of two polygons the smaller one touches it, or how and where they clash."""
    sticks_out = small.difference(large).buffer(-CLEAR / 2)
    reaches_in = small.intersection(large).buffer(-CLEAR / 2)
    if not sticks_out.is_empty and not reaches_in.is_empty:
        return "cross", _first_point(small.boundary.intersection(large.boundary))
    shared = small.boundary.intersection(large.boundary.buffer(CLEAR / 10))
    if shared.length > SHARED:
        return "share an edge", _first_point(shared)
    return "inside" if sticks_out.is_empty else "beside"


def _first_point(shape: Any) -> Point:
    shapely = _shapely()
    x, y = min(shapely.get_coordinates(shape).tolist())
    return x, y


def _pieces(rings: Sequence[Ring], around: Sequence[Sequence[int]]) -> tuple[Piece, ...]:
    outsides = [number for number, others in enumerate(around) if len(others) % 2 == 0]
    holes: dict[int, list[Loop]] = {number: [] for number in outsides}
    for number, others in enumerate(around):
        if len(others) % 2 == 1:
            next_around = max(others, key=lambda other: len(around[other]))
            holes[next_around].append(_run(rings[number].loop, anticlockwise=False))
    pieces = [
        Piece(outside=_run(rings[number].loop, anticlockwise=True), holes=tuple(holes[number]))
        for number in outsides
    ]
    return tuple(sorted(pieces, key=lambda piece: -signed_area(piece.outside)))


def _run(loop: Loop, *, anticlockwise: bool) -> Loop:
    return loop if (signed_area(loop) > 0) == anticlockwise else loop.reversed()
