"""Whether the things of a bay go in, how, and how much room is left."""

from collections.abc import Mapping
from math import fsum, prod

from msgspec import Struct

from lineage.figures.packing import Placed, Sides, around, goes_through, pack
from lineage.spec.assembly import Assembly, Thing
from lineage.spec.records import Bay
from lineage.values.quantity import Size


class Piece(Struct, frozen=True, kw_only=True):
    """One piece as placed: its corner nearest the bay's own and its sides as turned, mm; pieces count from 1."""

    ref: str
    piece: int
    at_mm: Sides
    size_mm: Sides


class BayFigure(Struct, frozen=True, kw_only=True):
    """Whether everything goes into a bay: yes as placed, no for a reason, else None, not found.

    `fill` is the volume of the things over that of the bay, None while a size is not typed (`no_size`); `spare_mm` is
    what is left beside the box around the placement, with its padding to the walls.
    """

    goes_in: bool | None
    why: str
    spare_mm: Sides | None = None
    fill: float | None = None
    placement: tuple[Piece, ...] | None = None
    no_size: tuple[str, ...] = ()


def work_out_bays(assembly: Assembly) -> Mapping[str, BayFigure]:
    """Every bay of the design itself, with what its choices hold."""
    return {name: work_out_bay(bay, assembly) for name, bay in assembly.design.bays.items()}


def work_out_bay(bay: Bay, assembly: Assembly) -> BayFigure:
    """Whether boxes go into a box, by their nominal sizes, every piece of a ref one box.

    Padding p is kept between boxes along one axis, and to each wall: boxes p larger in a room p smaller.
    fill = Σ volumes ÷ volume of the bay; spare = inside − box around the placement − 2·p.
    bay: inside, padding and opening, mm. assembly: gives what is held, and its sizes.
    Result: yes with a placement; no where one thing alone, one through the opening, the volume, or every
    arrangement of two or three says so; else not found. None too while a size is not typed, unless what has one
    does not go in.
    Source: packing as in `pack`; rules of plain geometry.
    """
    refs = dict.fromkeys(ref for name in bay.holds for ref in assembly.resolve(name))
    held = [assembly.things[ref] for ref in refs]
    boxes = [(thing.ref, n, box) for thing in held if (box := _box(thing)) for n in _pieces(thing)]
    no_size = tuple(thing.ref for thing in held if _box(thing) is None)
    inside = _sides(bay.inside)
    if inside is None:
        return BayFigure(goes_in=None, why="the bay has no height", no_size=no_size)
    fill = None if no_size else fsum(prod(box) for _, _, box in boxes) / prod(inside)
    stuck = _stuck_at_the_opening(bay, boxes)
    if stuck is not None:
        return BayFigure(
            goes_in=False, why=f"{stuck} does not go through the opening", fill=fill, no_size=no_size
        )
    return _packed(boxes, inside, bay.padding.value if bay.padding else 0.0, fill, no_size)


def _packed(
    boxes: list[tuple[str, int, Sides]],
    inside: Sides,
    padding: float,
    fill: float | None,
    no_size: tuple[str, ...],
) -> BayFigure:
    room = _each(inside, -padding)
    found = pack([_each(box, padding) for _, _, box in boxes], room)
    if found.no_because is not None:
        return BayFigure(goes_in=False, why=found.no_because, fill=fill, no_size=no_size)
    if no_size:
        return BayFigure(goes_in=None, why=f"no size: {', '.join(no_size)}", no_size=no_size)
    if found.placed is None:
        return BayFigure(goes_in=None, why="not found", fill=fill)
    reach = around(found.placed)
    return BayFigure(
        goes_in=True,
        why="as placed",
        spare_mm=(room[0] - reach[0], room[1] - reach[1], room[2] - reach[2]) if boxes else inside,
        fill=fill,
        placement=tuple(
            _piece(ref, piece, placed, padding)
            for (ref, piece, _), placed in zip(boxes, found.placed, strict=True)
        ),
    )


def _piece(ref: str, piece: int, placed: Placed, padding: float) -> Piece:
    return Piece(ref=ref, piece=piece, at_mm=_each(placed.at, padding), size_mm=_each(placed.sides, -padding))


def _stuck_at_the_opening(bay: Bay, boxes: list[tuple[str, int, Sides]]) -> str | None:
    if bay.opening is None:
        return None
    opening = (bay.opening.length.value, bay.opening.width.value)
    return next((ref for ref, _, box in boxes if not goes_through(box, opening)), None)


def _pieces(thing: Thing) -> range:
    return range(1, thing.part.count + 1)


def _box(thing: Thing) -> Sides | None:
    """The sides of a part; None where it has no size (places and groups have none)."""
    if thing.kind != "part" or thing.part.size is None:
        return None
    return _sides(thing.part.size)


def _sides(size: Size) -> Sides | None:
    if size.height is None:
        return None
    return (size.length.value, size.width.value, size.height.value)


def _each(sides: Sides, more: float) -> Sides:
    return (sides[0] + more, sides[1] + more, sides[2] + more)
