"""Boxes in a box: right-angled turning, nothing on top of anything else, the same answer every time.

Boxes are three numbers each, in the unit of the room. Gaps are the caller's business: a gap of p between boxes and
to the walls is the same as boxes p larger each way in a room p smaller.
"""

from collections.abc import Iterator, Sequence
from itertools import combinations, permutations, product
from math import prod

from msgspec import Struct

Sides = tuple[float, float, float]

EXACT_UP_TO = 3
MOST_CHECKS = 200_000
_SAME = 1e-9
_LARGEST_FOR_PAIRS = 8


class Placed(Struct, frozen=True):
    """One box as placed: its corner nearest the origin, and its sides as turned."""

    at: Sides
    sides: Sides


class Packing(Struct, frozen=True, kw_only=True):
    """Where the boxes go, in the order given; or, with none, why they cannot (None: not found, not proved)."""

    placed: tuple[Placed, ...] | None = None
    no_because: str | None = None


def pack(boxes: Sequence[Sides], room: Sides) -> Packing:
    """Places boxes in a room by right-angled turns.

    Up to three boxes every arrangement is tried: for each pair the axis along which they are apart, for each axis the
    order that takes least, and of all that go in the one with the smallest box around it. More are placed one by
    one at extreme points, largest first by several measures, along several axes, with a bound on the work.
    boxes: sides. room: sides, in the same unit.
    Result: placed, or why it is impossible, or neither where nothing was found.
    Source: T. G. Crainic, G. Perboli, R. Tadei, Extreme point-based heuristics for three-dimensional bin packing,
    2008 (from memory) for more than three; up to three plain enumeration.
    """
    proof = _why_not(boxes, room)
    if proof is not None:
        return Packing(no_because=proof)
    if len(boxes) <= EXACT_UP_TO:
        placed = _by_every_arrangement(boxes, room)
        return Packing(placed=placed, no_because="no arrangement of them goes in" if placed is None else None)
    return Packing(placed=_one_by_one(boxes, room))


def turns(box: Sides) -> list[Sides]:
    """The different ways a box stands by right-angled turns, as given first."""
    return list(dict.fromkeys(_sides(box, axes) for axes in permutations(range(3))))


def goes_through(box: Sides, opening: tuple[float, float]) -> bool:
    """Whether a box goes straight through a rectangular opening by its two shorter sides."""
    shorter, longer = sorted(box)[:2]
    return shorter <= min(opening) + _SAME and longer <= max(opening) + _SAME


def around(placed: Sequence[Placed]) -> Sides:
    """How far the placed boxes reach from the origin along each axis."""
    ends = [[p.at[axis] + p.sides[axis] for p in placed] for axis in range(3)]
    return (max(ends[0], default=0.0), max(ends[1], default=0.0), max(ends[2], default=0.0))


def _sides(box: Sides, axes: Sequence[int]) -> Sides:
    return (box[axes[0]], box[axes[1]], box[axes[2]])


def _within(sides: Sides, room: Sides) -> bool:
    return all(side <= most + _SAME for side, most in zip(sides, room, strict=True))


# --- what cannot be --------------------------------------------------------------------------------------


def _why_not(boxes: Sequence[Sides], room: Sides) -> str | None:
    """A proof that the boxes do not go in, where one is near at hand."""
    if any(not any(_within(turn, room) for turn in turns(box)) for box in boxes):
        return "one alone does not go in"
    if sum(prod(box) for box in boxes) > prod(room) * (1 + _SAME):
        return "together they have more volume"
    if len(boxes) <= EXACT_UP_TO:
        return None
    largest = sorted(boxes, key=prod, reverse=True)
    for pair in dict.fromkeys(combinations(largest[:_LARGEST_FOR_PAIRS], 2)):
        if _by_every_arrangement(pair, room) is None:
            return "two of them do not go in together"
    if _by_every_arrangement(largest[:EXACT_UP_TO], room) is None:
        return "the three largest do not go in together"
    return None


# --- up to three: every arrangement ----------------------------------------------------------------------

Pairs = tuple[tuple[int, int], ...]


def _by_every_arrangement(boxes: Sequence[Sides], room: Sides) -> tuple[Placed, ...] | None:
    """Of all arrangements that go in, the first with the smallest box around it; None where there is none."""
    pairs = tuple(combinations(range(len(boxes)), 2))
    lines: dict[tuple[tuple[float, ...], Pairs], tuple[float, tuple[float, ...]]] = {}

    def line(sides: tuple[float, ...], apart: Pairs) -> tuple[float, tuple[float, ...]]:
        if (sides, apart) not in lines:
            lines[sides, apart] = _shortest_line(sides, apart)
        return lines[sides, apart]

    best: tuple[float, tuple[Placed, ...]] | None = None
    standing = [[turn for turn in turns(box) if _within(turn, room)] for box in boxes]
    for turned in product(*standing):
        for axes in product(range(3), repeat=len(pairs)):
            along = [
                line(
                    tuple(sides[axis] for sides in turned),
                    tuple(pair for pair, apart in zip(pairs, axes, strict=True) if apart == axis),
                )
                for axis in range(3)
            ]
            if any(length > most + _SAME for (length, _), most in zip(along, room, strict=True)):
                continue
            volume = prod(length for length, _ in along)
            if best is None or volume < best[0] * (1 - _SAME):
                starts = zip(*(positions for _, positions in along), strict=True)
                best = (
                    volume,
                    tuple(Placed((x, y, z), sides) for (x, y, z), sides in zip(starts, turned, strict=True)),
                )
    return best[1] if best is not None else None


def _shortest_line(sides: tuple[float, ...], apart: Pairs) -> tuple[float, tuple[float, ...]]:
    """The least length on which those pairs are apart, and where each box begins: orders are all tried."""
    best: tuple[float, tuple[float, ...]] | None = None
    for order in permutations(range(len(sides))):
        starts = [0.0] * len(sides)
        for position, box in enumerate(order):
            before = [e for e in order[:position] if (e, box) in apart or (box, e) in apart]
            starts[box] = max((starts[e] + sides[e] for e in before), default=0.0)
        length = max((start + side for start, side in zip(starts, sides, strict=True)), default=0.0)
        if best is None or length < best[0] - _SAME:
            best = length, tuple(starts)
    assert best is not None
    return best


# --- more: one by one at extreme points ------------------------------------------------------------------


def _one_by_one(boxes: Sequence[Sides], room: Sides) -> tuple[Placed, ...] | None:
    work = _Work(room)
    for order in _orders(boxes):
        for axes in permutations(range(3)):
            placed = work.placed(order, boxes, axes)
            if placed is not None:
                return tuple(placed[number] for number in range(len(boxes)))
            if work.checks > MOST_CHECKS:
                return None
    return None


def _orders(boxes: Sequence[Sides]) -> Iterator[list[int]]:
    """Orders in which to place: by volume, by the longest side, by the largest face, by the middle side."""
    numbers = range(len(boxes))
    ordered = [sorted(box) for box in boxes]
    for measured in (
        [prod(sides) for sides in ordered],
        [sides[2] for sides in ordered],
        [sides[1] * sides[2] for sides in ordered],
        [sides[1] for sides in ordered],
    ):
        yield sorted(numbers, key=lambda number: -measured[number])


class _Work:
    """Places boxes in one room and counts how often it looked whether two are in each other's way."""

    def __init__(self, room: Sides) -> None:
        self.room = room
        self.checks = 0

    def placed(
        self, order: Sequence[int], boxes: Sequence[Sides], axes: Sequence[int]
    ) -> dict[int, Placed] | None:
        """All boxes, each at the first free point along the axes; None where one finds none."""
        placed: dict[int, Placed] = {}
        points: set[Sides] = {(0.0, 0.0, 0.0)}
        for number in order:
            found = self._first_free(boxes[number], points, list(placed.values()), axes)
            if found is None:
                return None
            placed[number] = found
            points.discard(found.at)
            points |= set(_extreme_points(found, list(placed.values())))
        return placed

    def _first_free(
        self, box: Sides, points: set[Sides], placed: Sequence[Placed], axes: Sequence[int]
    ) -> Placed | None:
        """Where the box reaches least far along the first axis, then the second, then the third."""
        self.checks += len(points)
        candidates = [
            Placed(point, turn)
            for point in points
            for turn in turns(box)
            if _within(_far_corner(point, turn), self.room)
        ]
        candidates.sort(key=lambda c: (_sides(_far_corner(c.at, c.sides), axes), c.at, c.sides))
        for candidate in candidates:
            self.checks += len(placed)
            if self.checks > MOST_CHECKS:
                return None
            if not any(_in_the_way(candidate, other) for other in placed):
                return candidate
        return None


def _far_corner(at: Sides, sides: Sides) -> Sides:
    return (at[0] + sides[0], at[1] + sides[1], at[2] + sides[2])


def _in_the_way(one: Placed, other: Placed) -> bool:
    return all(
        one.at[axis] < other.at[axis] + other.sides[axis] - _SAME
        and other.at[axis] < one.at[axis] + one.sides[axis] - _SAME
        for axis in range(3)
    )


def _extreme_points(new: Placed, placed: Sequence[Placed]) -> Iterator[Sides]:
    """Corners beside a new box, pushed back along each other axis until they meet a box or the wall."""
    for axis in range(3):
        corner = list(new.at)
        corner[axis] += new.sides[axis]
        yield (corner[0], corner[1], corner[2])
        for back in range(3):
            if back != axis:
                pushed = list(corner)
                pushed[back] = _pushed_back(corner, back, placed)
                yield (pushed[0], pushed[1], pushed[2])


def _pushed_back(corner: Sequence[float], back: int, placed: Sequence[Placed]) -> float:
    others = [axis for axis in range(3) if axis != back]
    ends = [
        box.at[back] + box.sides[back]
        for box in placed
        if all(box.at[a] - _SAME <= corner[a] < box.at[a] + box.sides[a] - _SAME for a in others)
    ]
    return max((end for end in ends if end <= corner[back] + _SAME), default=0.0)
