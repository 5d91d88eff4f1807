"""Area, centroid and second moments of an outline, exact for lines and arcs.

A loop is the polygon of its corners and, on each arc, the circular segment between arc and chord. Outsides run
anticlockwise and holes clockwise, so that everything adds with its sign.
"""

from math import cos, hypot, sin

from msgspec import Struct

from lineage.drawings.outline import Arc, Loop, Outline, Point, Segment

FLAT_HALF_TURN = 0.3
"""Below this half angle (rad) the closed forms of a circular segment lose digits to cancellation."""

# Points and weights of the Gauss-Legendre rule of order 8 (Abramowitz and Stegun 1964, table 25.4), one half.
GAUSS = (
    (0.1834346424956498, 0.3626837833783620),
    (0.5255324099163290, 0.3137066458778873),
    (0.7966664774136267, 0.2223810344533745),
    (0.9602898564975363, 0.1012285362903763),
)

Sums = tuple[float, float, float, float, float, float]
"""∫1, ∫x, ∫y, ∫y², ∫x², ∫xy over an area."""


class Measures(Struct, frozen=True, kw_only=True):
    """What an outline amounts to.

    `ixx` is ∫(y - centroid y)² dA, `iyy` ∫(x - centroid x)² dA and `ixy` ∫(x - …)(y - …) dA, in mm4; `box` is least
    x, least y, greatest x, greatest y; `area_limit_mm2` is by how much flattened curves may have changed the area.
    """

    area_mm2: float
    perimeter_mm: float
    centroid: Point
    ixx: float
    iyy: float
    ixy: float
    polar_mm4: float
    largest_radius_mm: float
    box: tuple[float, float, float, float]
    area_limit_mm2: float


def measures(outline: Outline) -> Measures:
    """Area, centroid, perimeter and second moments of an outline about its centroid.

    area = ½ ∮ (x dy - y dx), ∫x² dA = ⅓ ∮ x³ dy and so on (Green), summed over all loops.

    outline: loops in mm, outsides anticlockwise, holes clockwise.
    Result: mm, mm² and mm⁴; the perimeter is that of all loops, the largest radius is from the centroid to the
    farthest point of any loop, the limit of area the stated error of flattened curves times their length.
    An outline always has an area: the reader makes none without.
    Source: W. H. Beyer, CRC Standard Mathematical Tables, plane areas by Green's theorem; circular segments from
    R. J. Roark and W. C. Young, Formulas for Stress and Strain, table of properties of plane areas (from memory).
    """
    box = bounds(outline)
    origin = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    area, first_x, first_y, ixx, iyy, ixy = _summed([loop_sums(loop, origin) for loop in outline.loops])
    mean_x, mean_y = first_x / area, first_y / area
    centroid = origin[0] + mean_x, origin[1] + mean_y
    ixx, iyy, ixy = ixx - area * mean_y**2, iyy - area * mean_x**2, ixy - area * mean_x * mean_y
    return Measures(
        area_mm2=area,
        perimeter_mm=sum(segment.length for segment in outline.segments),
        centroid=centroid,
        ixx=ixx,
        iyy=iyy,
        ixy=ixy,
        polar_mm4=ixx + iyy,
        largest_radius_mm=max(farthest(segment, centroid)[0] for segment in outline.segments),
        box=box,
        area_limit_mm2=outline.flattening_mm * outline.flattened_mm,
    )


def signed_area(loop: Loop) -> float:
    """Area of a loop in mm², positive when it runs anticlockwise."""
    return loop_sums(loop, loop.segments[0].start)[0]


def _summed(parts: list[Sums]) -> Sums:
    area, first_x, first_y, ixx, iyy, ixy = (sum(column) for column in zip(*parts, strict=True))
    return area, first_x, first_y, ixx, iyy, ixy


def loop_sums(loop: Loop, origin: Point) -> Sums:
    """Integrals over what a loop encloses, about `origin`, negative when it runs clockwise.

    Of the polygon, with c = x0·y1 - x1·y0 for each side: ½Σc, ⅙Σ(x0 + x1)c, 1/12 Σ(y0² + y0·y1 + y1²)c,
    1/24 Σ(x0·y1 + 2x0·y0 + 2x1·y1 + x1·y0)c; to which comes each arc's circular segment.

    loop: in mm; origin: in mm, near the loop, lest digits be lost.
    Result: ∫1, ∫x, ∫y, ∫y², ∫x², ∫xy in mm² to mm⁴; zeros for a loop that encloses nothing.
    Source: C. Steger, On the Calculation of Arbitrary Moments of Polygons, 1996 (formulas from memory, checked
    against handbook shapes).
    """
    left, low = origin
    area = first_x = first_y = ixx = iyy = ixy = 0.0
    bulged: list[Sums] = []
    for segment in loop.segments:
        (x0, y0), (x1, y1) = segment.start, segment.end
        x0, y0, x1, y1 = x0 - left, y0 - low, x1 - left, y1 - low
        cross = x0 * y1 - x1 * y0
        area += cross
        first_x += (x0 + x1) * cross
        first_y += (y0 + y1) * cross
        ixx += (y0 * y0 + y0 * y1 + y1 * y1) * cross
        iyy += (x0 * x0 + x0 * x1 + x1 * x1) * cross
        ixy += (x0 * y1 + 2 * x0 * y0 + 2 * x1 * y1 + x1 * y0) * cross
        if isinstance(segment, Arc):
            bulged.append(_between_arc_and_chord(segment, origin))
    return _summed([(area / 2, first_x / 6, first_y / 6, ixx / 12, iyy / 12, ixy / 24), *bulged])


def _between_arc_and_chord(arc: Arc, origin: Point) -> Sums:
    """Integrals over the circular segment of an arc about `origin`, positive when it runs anticlockwise."""
    chord = arc.chord
    side = 1.0 if arc.bulge > 0 else -1.0
    along = (arc.end[0] - arc.start[0]) / chord, (arc.end[1] - arc.start[1]) / chord
    out = side * along[1], -side * along[0]
    x = (arc.start[0] + arc.end[0]) / 2 - origin[0]
    y = (arc.start[1] + arc.end[1]) / 2 - origin[1]
    area, height, length2, height2 = (side * part for part in circular_segment(arc.radius, abs(arc.turn) / 2))
    return (
        area,
        x * area + out[0] * height,
        y * area + out[1] * height,
        y * y * area + 2 * y * out[1] * height + along[1] ** 2 * length2 + out[1] ** 2 * height2,
        x * x * area + 2 * x * out[0] * height + along[0] ** 2 * length2 + out[0] ** 2 * height2,
        x * y * area
        + (x * out[1] + y * out[0]) * height
        + along[0] * along[1] * length2
        + out[0] * out[1] * height2,
    )


def circular_segment(radius: float, half_turn: float) -> tuple[float, float, float, float]:
    """Integrals over a circular segment, t along its chord from the middle and n from the chord outwards.

    With s = sin α, c = cos α: ∫1 = r²(α - sc), ∫n = ⅔r³s³ - rc∫1, ∫t² = ¼r⁴(α - sc - ⅔s³c),
    ∫n² = ¼r⁴(α - sc + 2s³c) - 4/3·r⁴s³c + r²c²∫1. Where α is small these lose digits; then
    n = r(cos φ - cos α), t = r sin φ, and the integrals over φ are taken by an 8-point Gauss rule.

    radius: r in mm; half_turn: α in radians, from 0 to π.
    Result: ∫1, ∫n, ∫t², ∫n² in mm² to mm⁴.
    Source: R. J. Roark and W. C. Young, Formulas for Stress and Strain, properties of a solid circular segment
    (from memory); M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions, 1964, table 25.4.
    """
    if half_turn < FLAT_HALF_TURN:
        return _flat_circular_segment(radius, half_turn)
    s, c = sin(half_turn), cos(half_turn)
    lens = half_turn - s * c
    cube = s**3 * c
    area = radius**2 * lens
    return (
        area,
        2 / 3 * (radius * s) ** 3 - radius * c * area,
        radius**4 / 4 * (lens - 2 / 3 * cube),
        radius**4 / 4 * (lens + 2 * cube) - 4 / 3 * radius**4 * cube + (radius * c) ** 2 * area,
    )


def _flat_circular_segment(radius: float, half_turn: float) -> tuple[float, float, float, float]:
    area = height = length2 = height2 = 0.0
    for point, weight in GAUSS:
        angle = half_turn * point
        t = radius * sin(angle)
        # cos φ - cos α as a product, which keeps its digits.
        n = 2 * radius * sin((half_turn + angle) / 2) * sin((half_turn - angle) / 2)
        step = 2 * weight * half_turn * radius * cos(angle)
        area += n * step
        height += n * n / 2 * step
        length2 += t * t * n * step
        height2 += n**3 / 3 * step
    return area, height, length2, height2


def bounds(outline: Outline) -> tuple[float, float, float, float]:
    """Least x, least y, greatest x, greatest y of all loops."""
    points = [point for segment in outline.segments for point in extremes(segment)]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def extremes(segment: Segment) -> list[Point]:
    """Points among which are the leftmost, rightmost, lowest and highest of a segment."""
    points = [segment.start, segment.end]
    if isinstance(segment, Arc):
        (x, y), radius = segment.centre, segment.radius
        compass = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))
        points += [(x + dx * radius, y + dy * radius) for dx, dy in compass if segment.passes((dx, dy))]
    return points


def farthest(segment: Segment, origin: Point) -> tuple[float, Point]:
    """How far a segment reaches from a point, and where it does."""
    reach, where = max((hypot(x - origin[0], y - origin[1]), (x, y)) for x, y in (segment.start, segment.end))
    if isinstance(segment, Arc):
        (x, y), radius = segment.centre, segment.radius
        away = x - origin[0], y - origin[1]
        distance = hypot(*away)
        if distance > radius * 1e-12 and segment.passes(away) and distance + radius > reach:
            scale = radius / distance
            return distance + radius, (x + away[0] * scale, y + away[1] * scale)
    return reach, where
