"""What a refused drawing shows: its cuts as far as they could be read, and the places where something is wrong."""

from collections.abc import Sequence

from msgspec import Struct

from lineage.drawings.outline import Point, Segment

MOST_DRAWN = 4_000
"""Segments of a sketch; of a drawing with more those nearest to the places are kept."""


class Spot(Struct, frozen=True, kw_only=True):
    """A place where something is wrong, and what."""

    at: Point
    what: str


class Sketch(Struct, frozen=True, kw_only=True):
    """Runs of segments end to end, whether they close or not, and what is wrong where."""

    runs: tuple[tuple[Segment, ...], ...]
    spots: tuple[Spot, ...]


def sketch_of(runs: Sequence[tuple[Segment, ...]], spots: Sequence[Spot]) -> Sketch | None:
    """A sketch; None where there is no place to show."""
    if not spots:
        return None
    kept = [run for run in runs if run]
    if sum(len(run) for run in kept) > MOST_DRAWN:
        kept = _nearest([(segment,) for run in kept for segment in run], [spot.at for spot in spots])
    return Sketch(runs=tuple(kept), spots=tuple(spots))


def _nearest(runs: list[tuple[Segment, ...]], places: Sequence[Point]) -> list[tuple[Segment, ...]]:
    def distance(run: tuple[Segment, ...]) -> float:
        (x0, y0), (x1, y1) = run[0].start, run[0].end
        x, y = (x0 + x1) / 2, (y0 + y1) / 2
        return min((x - at[0]) ** 2 + (y - at[1]) ** 2 for at in places)

    return sorted(runs, key=distance)[:MOST_DRAWN]
