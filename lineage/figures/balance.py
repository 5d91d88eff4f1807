"""Where the centre of mass is, of what has a place to be."""

from collections.abc import Iterable, Mapping
from math import cos, radians, sin

from msgspec import Struct

from lineage.spec.assembly import Assembly
from lineage.spec.records import Turn
from lineage.values.quantity import Position
from lineage.values.uncertain import Uncertain, total

Vector = tuple[float, float, float]

_AXES = ("x", "y", "z")
_QUARTERS: Mapping[float, tuple[float, float]] = {
    0: (1.0, 0.0),
    90: (0.0, 1.0),
    180: (-1.0, 0.0),
    270: (0.0, -1.0),
}


class Balance(Struct, frozen=True, kw_only=True):
    """Centre of mass in mm, x forward, y left, z up, and the mass in g of what it is of."""

    centre: tuple[Uncertain, Uncertain, Uncertain]
    known_mass: Uncertain


def balance(assembly: Assembly, masses: Mapping[str, Uncertain]) -> Balance | None:
    """Centre of mass of everything that has a `centre`, in a place that has one.

    X = Σ m·x/Σ m; the contribution of a mass's error is (x − X)/Σ m; positions are taken as exact.
    assembly: whose parts and places have centres. masses: by reference, g, of all pieces.
    Result: mm and g; None where nothing with a mass has a centre, or their masses add up to 0.
    Source: centre of mass of particles; JCGM 100:2008 (GUM), 5.1.2.
    """
    located = [
        (masses[thing.ref], where)
        for thing in assembly.parts
        if thing.ref in masses and (where := position(assembly, thing.ref)) is not None
    ]
    known = total(mass for mass, _ in located)
    if not known.value:
        return None
    x, y, z = (_mean([(mass, where[axis]) for mass, where in located], known) for axis in range(3))
    return Balance(centre=(x, y, z), known_mass=known)


def _mean(located: Iterable[tuple[Uncertain, float]], known: Uncertain) -> Uncertain:
    pairs = list(located)
    mean = sum(mass.value * where for mass, where in pairs) / known.value
    spread = total(mass.scaled((where - mean) / known.value) for mass, where in pairs)
    return Uncertain(mean, spread.parts, spread.unknown)


def position(assembly: Assembly, ref: str) -> Vector | None:
    """Where a part's centre is in the design: turned and moved by each place around it, from the inside out.

    A place's `centre` is where the origin of its module lies.
    assembly: that has it. ref: of a part.
    Result: mm; None where the part or a place around it has no centre.
    Source: rotation matrices, right-handed about each axis; a mirrored axis changes its sign.
    """
    centre = assembly.things[ref].part.centre
    if centre is None:
        return None
    point = _vector(centre)
    for place in assembly.around(ref):
        use = assembly.things[place].use
        if use.centre is None:
            return None
        for turn in use.turned:
            point = turned(point, turn)
        origin = _vector(use.centre)
        point = (point[0] + origin[0], point[1] + origin[1], point[2] + origin[2])
    return point


def _vector(centre: Position) -> Vector:
    return centre.x, centre.y, centre.z


def turned(point: Vector, turn: Turn) -> Vector:
    """A point after one step: right-handed about an axis by degrees, or its sign on that axis changed.

    About x: y' = y·cos − z·sin, z' = y·sin + z·cos, and so on in turn.
    point: mm. turn: the step, degrees None for a mirror.
    Result: mm.
    Source: rotation matrices of any textbook of mechanics; quarter turns are exact.
    """
    axis = _AXES.index(turn.axis)
    moved = list(point)
    if turn.degrees is None:
        moved[axis] = -moved[axis]
        return moved[0], moved[1], moved[2]
    first, second = (axis + 1) % 3, (axis + 2) % 3
    c, s = _QUARTERS.get(turn.degrees % 360) or (cos(radians(turn.degrees)), sin(radians(turn.degrees)))
    moved[first] = c * point[first] - s * point[second]
    moved[second] = s * point[first] + c * point[second]
    return moved[0], moved[1], moved[2]
