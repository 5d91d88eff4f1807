"""Cuts of a drawing joined end to end into closed rings."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from math import dist, floor

from msgspec import Struct

from lineage.drawings.outline import Arc, Line, Loop, Point, Segment

GAP = 0.05
"""Ends no farther apart than this, in mm, are taken to meet: half a usual laser kerf (common practice, no source)."""

TOUCH = 1e-4
"""Ends no farther apart than this, in mm, differ by the rounding of the file only and become one point."""

CROWD = 12
"""More ends than this in one spot are looked at no further: two would be right."""

SHORTEST = 3 * TOUCH
"""A segment shorter than this, in mm, cuts nothing and could vanish when its ends are joined."""


class Origin(Struct, frozen=True):
    """Where a cut stands in its drawing."""

    kind: str
    handle: str
    layer: str
    line: int

    def __str__(self) -> str:
        handle = f" {self.handle}" if self.handle else ""
        return f"{self.kind}{handle} on layer {self.layer}"


class Cut(Struct, frozen=True, kw_only=True):
    """What one entity draws: segments end to end."""

    segments: tuple[Segment, ...]
    origin: Origin
    flattened: bool = False

    @property
    def start(self) -> Point:
        """Where it begins."""
        return self.segments[0].start

    @property
    def end(self) -> Point:
        """Where it ends."""
        return self.segments[-1].end

    @property
    def length(self) -> float:
        """Length along it in mm."""
        return sum(segment.length for segment in self.segments)

    def reversed(self) -> "Cut":
        """The same cut the other way along."""
        back = tuple(segment.reversed() for segment in reversed(self.segments))
        return Cut(segments=back, origin=self.origin, flattened=self.flattened)


class Ring(Struct, frozen=True, kw_only=True):
    """A closed loop, the entities it was drawn by, and which of its segments bridge a gap."""

    loop: Loop
    origin: Origin
    bridges: frozenset[int] = frozenset()


class OpenChain(Struct, frozen=True, kw_only=True):
    """Cuts that do not come back to where they begin."""

    start: Point
    start_origin: Origin
    end: Point
    end_origin: Origin


class Branch(Struct, frozen=True, kw_only=True):
    """A point where more than two cuts end."""

    at: Point
    origins: tuple[Origin, ...]


class Joined(Struct, frozen=True, kw_only=True):
    """Rings, and what stands in the way of more."""

    rings: tuple[Ring, ...]
    open_chains: tuple[OpenChain, ...]
    branches: tuple[Branch, ...]
    gaps: tuple[tuple[float, Point], ...]


def join(cuts: Sequence[Cut], gap: float = GAP) -> Joined:
    """Cuts joined where their ends meet, whichever way along each was drawn.

    Ends that meet but for rounding are joined first, then the nearest of those within `gap`, which a short line
    bridges: moving an end instead would tilt a whole side.
    """
    whole = [cut for cut in cuts if _is_closed(cut)]
    loose = [cut for cut in cuts if not _is_closed(cut)]
    links, branches = _touching(loose)
    if not branches:
        _link_across_gaps(loose, links, gap)
    chains = list(_walked(len(loose), links))
    made = [_closed([cut], [0]) for cut in whole]
    made += [_closed(loose, chain) for chain, is_closed in chains if is_closed]
    open_chains = tuple(_open(loose, chain) for chain, is_closed in chains if not is_closed)
    return Joined(
        rings=tuple(ring for ring, _ in made),
        open_chains=open_chains,
        branches=branches,
        gaps=tuple(one for _, gaps in made for one in gaps),
    )


def _is_closed(cut: Cut) -> bool:
    """Whether a cut is a loop by itself: those do not ask who else touches them."""
    return dist(cut.start, cut.end) <= TOUCH and len(cut.segments) > 1


# An end is 2 × the number of its cut, plus 1 for the far end.


def _end_point(cuts: Sequence[Cut], end: int) -> Point:
    cut = cuts[end >> 1]
    return cut.end if end & 1 else cut.start


def _near(points: dict[int, Point], reach: float) -> Iterator[tuple[float, int, int]]:
    """Pairs of ends within reach of each other, by a grid of cells as wide as the reach."""
    cells: defaultdict[tuple[int, int], list[int]] = defaultdict(list)
    for end, (x, y) in points.items():
        cell = floor(x / reach), floor(y / reach)
        around = [
            other
            for i in (-1, 0, 1)
            for j in (-1, 0, 1)
            for other in cells.get((cell[0] + i, cell[1] + j), ())
        ]
        for other in around:
            distance = dist((x, y), points[other])
            if distance <= reach:
                yield distance, other, end
        if len(cells[cell]) < CROWD:
            cells[cell].append(end)


def _touching(cuts: Sequence[Cut]) -> tuple[dict[int, int], tuple[Branch, ...]]:
    """Links between the ends that meet in pairs, and the places where more than two do."""
    points = {end: _end_point(cuts, end) for end in range(2 * len(cuts))}
    meets: defaultdict[int, set[int]] = defaultdict(set)
    for _, one, other in _near(points, TOUCH):
        meets[one].add(other)
        meets[other].add(one)
    links = {one: next(iter(others)) for one, others in meets.items() if len(others) == 1}
    links = {one: other for one, other in links.items() if links.get(other) == one}
    branches: list[Branch] = []
    told: set[int] = set()
    for one in sorted(end for end, others in meets.items() if len(others) > 1):
        if one not in told:
            crowd = sorted({one, *meets[one]})
            told.update(crowd)
            branches.append(Branch(at=points[one], origins=tuple(cuts[end >> 1].origin for end in crowd)))
    return links, tuple(branches)


def _link_across_gaps(cuts: Sequence[Cut], links: dict[int, int], gap: float) -> None:
    """Link ends that are still free, the nearest first."""
    free = {end: _end_point(cuts, end) for end in range(2 * len(cuts)) if end not in links}
    for _, one, other in sorted(_near(free, gap)):
        short_of_itself = one >> 1 == other >> 1 and cuts[one >> 1].length < 4 * gap
        if one not in links and other not in links and not short_of_itself:
            links[one], links[other] = other, one


def _walked(count: int, links: dict[int, int]) -> Iterator[tuple[list[int], bool]]:
    """Chains as the ends at which their cuts are entered, and whether each comes back to its beginning."""
    unseen = dict.fromkeys(range(count))
    loose = [end for end in range(2 * count) if end not in links]
    for first in (*loose, *range(0, 2 * count, 2)):
        if first >> 1 not in unseen:
            continue
        chain, entered = [first], first
        del unseen[first >> 1]
        while (following := links.get(entered ^ 1)) is not None and following != first:
            chain.append(following)
            del unseen[following >> 1]
            entered = following
        yield chain, following is not None


def _open(cuts: Sequence[Cut], chain: list[int]) -> OpenChain:
    first, last = chain[0], chain[-1] ^ 1
    return OpenChain(
        start=_end_point(cuts, first),
        start_origin=cuts[first >> 1].origin,
        end=_end_point(cuts, last),
        end_origin=cuts[last >> 1].origin,
    )


def _closed(cuts: Sequence[Cut], chain: list[int]) -> tuple[Ring, list[tuple[float, Point]]]:
    """One ring from the cuts of a chain, and the gaps that had to be bridged in it."""
    runs = [cuts[end >> 1].reversed() if end & 1 else cuts[end >> 1] for end in chain]
    segments: list[Segment] = []
    bridges: list[int] = []
    gaps: list[tuple[float, Point]] = []
    first = runs[0].start
    for run, following in zip(runs, (*runs[1:], None), strict=True):
        segments += run.segments if not segments else _begun_at(run.segments, segments[-1].end)
        last, goal = segments[-1].end, following.start if following else first
        distance = dist(goal, last)
        if distance > TOUCH:
            bridges.append(len(segments))
            segments.append(Line(last, goal))
            gaps.append((distance, last))
        elif following is None:
            segments[-1] = _with_ends(segments[-1], segments[-1].start, first)
    ring = Ring(loop=Loop(tuple(segments)), origin=cuts[chain[0] >> 1].origin, bridges=frozenset(bridges))
    return ring, gaps


def _begun_at(segments: tuple[Segment, ...], point: Point) -> tuple[Segment, ...]:
    return (_with_ends(segments[0], point, segments[0].end), *segments[1:])


def _with_ends(segment: Segment, start: Point, end: Point) -> Segment:
    if isinstance(segment, Arc):
        return Arc(start, end, segment.bulge)
    return Line(start, end)


def without_doubles(cuts: Sequence[Cut]) -> tuple[list[Cut], list[Cut]]:
    """Cuts without those that lie exactly on an earlier one, and those that were left out.

    A cut is left out whole or not at all; a line that runs along a part of another stays, and the crossing or
    branch that it makes is reported.
    """
    seen: set[object] = set()
    kept: list[Cut] = []
    doubled: list[Cut] = []
    for cut in cuts:
        keys = [_key(segment) for segment in cut.segments]
        if seen.issuperset(keys):
            doubled.append(cut)
        else:
            kept.append(cut)
            seen.update(keys)
    return kept, doubled


def _key(segment: Segment) -> object:
    """The same for a segment and for itself reversed."""
    bulge = segment.bulge if isinstance(segment, Arc) else 0.0
    start, end = _rounded(segment.start), _rounded(segment.end)
    if (end, -bulge) < (start, bulge):
        start, end, bulge = end, start, -bulge
    return (*start, *end, round(bulge, 4) + 0.0)


def _rounded(point: Iterable[float]) -> tuple[float, ...]:
    return tuple(round(number, 3) + 0.0 for number in point)
