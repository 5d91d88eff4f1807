"""One figure over the builds of a design: a small panel, its points in the order of the builds."""

from collections.abc import Sequence

from msgspec import Struct

from lineage.reports.charts.pictures import LETTER, sentence, shortened
from lineage.reports.charts.scales import Scale

WIDTH, HEIGHT = 360.0, 132.0
LEFT, RIGHT = 34.0, 326.0
TOP, BOTTOM = 34.0, 98.0


class Point(Struct, frozen=True, kw_only=True):
    """One build: where it stands, its figure, and whether there is room to write that; None where not known."""

    x: float
    y: float | None
    label: str
    figure: str
    is_said: bool = True


class Panel(Struct, frozen=True, kw_only=True):
    """A figure over builds; `said` is what it shows, in a sentence. `path` joins what is known."""

    name: str
    title: str
    said: str
    points: tuple[Point, ...]
    path: str


def over_builds(
    name: str, title: str, labels: Sequence[str], values: Sequence[float | None], figures: Sequence[str]
) -> Panel | None:
    """A panel where two builds or more have the figure; the axis spans what is there and does not begin at 0."""
    known = [value for value in values if value is not None]
    if len(known) < 2:
        return None
    low, high = min(known), max(known)
    spread = high - low or 1.0
    # Upside down, as drawings count downward: more stands higher.
    up = Scale(low=low, high=low + spread, left=BOTTOM, right=TOP)
    step = (RIGHT - LEFT) / max(len(labels) - 1, 1)
    words = _worded(values, figures, step)
    points = [
        Point(
            x=round(LEFT + step * at, 1),
            y=None if value is None else (up.at(value) if high > low else (TOP + BOTTOM) / 2),
            label=shortened(label, max(2, int(step / LETTER))),
            figure=figure,
            is_said=at in words,
        )
        for at, (label, value, figure) in enumerate(zip(labels, values, figures, strict=True))
    ]
    told = [f"{label} {figure}" for label, figure in zip(labels, figures, strict=True)]
    return Panel(name=name, title=title, said=sentence(told), points=tuple(points), path=_path(points))


def _worded(values: Sequence[float | None], figures: Sequence[str], step: float) -> set[int]:
    """All where they have room beside each other, else the first, the last, the least and the most."""
    if max(len(figure) for figure in figures) * LETTER < step + 4:
        return set(range(len(figures)))
    known = [(value, at) for at, value in enumerate(values) if value is not None]
    kept: list[int] = []
    for at in (known[0][1], known[-1][1], max(known)[1], min(known)[1]):
        if all(
            abs(at - other) * step > max(len(figures[at]), len(figures[other])) * LETTER for other in kept
        ):
            kept.append(at)
    return set(kept)


def _path(points: Sequence[Point]) -> str:
    """A line through what is known; a build whose figure nobody knows leaves a gap."""
    pieces, pen = [], "M"
    for point in points:
        if point.y is None:
            pen = "M"
            continue
        pieces.append(f"{pen}{point.x:g} {point.y:g}")
        pen = "L"
    return "".join(pieces)
