"""Drawings that were refused: the whole with a numbered ring at every place that is wrong, and each place enlarged."""

from collections.abc import Iterator, Mapping, Sequence
from math import dist

from msgspec import Struct

from lineage.drawings.outline import Arc, Point, Segment
from lineage.drawings.path import run_data
from lineage.drawings.sketch import Sketch, Spot
from lineage.reports.charts.plates import Frame, frame_around

MOST_ENLARGED = 4
_WHOLE_SHARE = 8  # an enlarged place shows an eighth of the drawing, unless two places are closer than that

Box = tuple[float, float, float, float]


class Ring(Struct, frozen=True, kw_only=True):
    """A ring around a place, with its number beside it; y down."""

    x: float
    y: float
    radius: float
    number: int


class SketchPicture(Struct, frozen=True, kw_only=True):
    """One view of a refused drawing."""

    name: str
    title: str
    said: str
    path: str
    rings: tuple[Ring, ...]
    frame: Frame


def sketch_pictures(sketches: Mapping[str, Sketch]) -> tuple[SketchPicture, ...]:
    """Views of all refused drawings, by file."""
    return tuple(
        picture
        for number, (file, sketch) in enumerate(sketches.items(), 1)
        for picture in _views(file, sketch, number)
    )


def _views(file: str, sketch: Sketch, number: int) -> Iterator[SketchPicture]:
    whole = _box(sketch)
    told = "; ".join(f"{n}: {what}" for n, what in enumerate(dict.fromkeys(s.what for s in sketch.spots), 1))
    yield _view(f"refused-{number}", file, told, sketch.runs, sketch.spots, whole)
    near = _apart(sketch.spots)
    for n, spot in enumerate(near[:MOST_ENLARGED], 1):
        side = _side(spot, sketch.spots, max(whole[2] - whole[0], whole[3] - whole[1]))
        x, y = spot.at
        box = (x - side / 2, y - side / 2, x + side / 2, y + side / 2)
        runs = [(segment,) for run in sketch.runs for segment in run if _meets(segment, box)]
        title = f"{file}, enlarged"
        yield _view(f"refused-{number}-{n}", title, spot.what, runs, sketch.spots, box)


def _view(
    name: str, title: str, told: str, runs: Sequence[Sequence[Segment]], spots: Sequence[Spot], box: Box
) -> SketchPicture:
    frame = frame_around(box)
    numbers = {what: n for n, what in enumerate(dict.fromkeys(spot.what for spot in spots), 1)}
    rings = tuple(
        Ring(
            x=round(spot.at[0], 4),
            y=round(-spot.at[1], 4) + 0.0,
            radius=frame.letter * 0.7,
            number=numbers[spot.what],
        )
        for spot in spots
        if box[0] <= spot.at[0] <= box[2] and box[1] <= spot.at[1] <= box[3]
    )
    return SketchPicture(
        name=name, title=title, said=told, path=run_data(runs, digits=4), rings=rings, frame=frame
    )


def _apart(spots: Sequence[Spot]) -> list[Spot]:
    """One place for each thing that is wrong."""
    return list({spot.what: spot for spot in reversed(spots)}.values())[::-1]


def _side(spot: Spot, spots: Sequence[Spot], longest: float) -> float:
    """So much around a place that the other end of a gap is seen to be apart from it."""
    usual = longest / _WHOLE_SHARE
    others = [d for other in spots if other.what == spot.what and (d := dist(other.at, spot.at)) > 0]
    gap = min(others, default=usual)
    return max(min(usual, 8 * gap), longest / 2000)


def _box(sketch: Sketch) -> Box:
    points = [spot.at for spot in sketch.spots]
    points += [point for run in sketch.runs for segment in run for point in _reach(segment)]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    left, low, right, high = min(xs), min(ys), max(xs), max(ys)
    least = max(right - left, high - low, 1.0) / 50  # a frame has a height, also around one line
    return left - least, low - least, right + least, high + least


def _reach(segment: Segment) -> tuple[Point, ...]:
    """Points around a segment: of an arc as far as its circle bulges from its chord, at most."""
    if not isinstance(segment, Arc):
        return segment.start, segment.end
    out = segment.chord / 2 * abs(segment.bulge)
    (x0, y0), (x1, y1) = segment.start, segment.end
    low, high = (min(x0, x1) - out, min(y0, y1) - out), (max(x0, x1) + out, max(y0, y1) + out)
    return low, high


def _meets(segment: Segment, box: Box) -> bool:
    points = _reach(segment)
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs) <= box[2] and max(xs) >= box[0] and min(ys) <= box[3] and max(ys) >= box[1]
