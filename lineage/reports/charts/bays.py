"""A bay as filled: seen from above and from the side, every thing a box with its name on it."""

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any

from msgspec import Struct

from lineage.reports.charts.pictures import LEFT, LETTER, RIGHT, shortened
from lineage.reports.views.card import BayView

_GAP = 26.0
_HEAD = 16.0


class Box(Struct, frozen=True, kw_only=True):
    """A thing in one view; the label is empty where there is no room for it."""

    x: float
    y: float
    width: float
    height: float
    label: str
    number: int


class Seen(Struct, frozen=True, kw_only=True):
    """One view of the bay."""

    title: str
    y: float
    width: float
    height: float
    boxes: tuple[Box, ...]


class BayPicture(Struct, frozen=True, kw_only=True):
    """Both views, and what the numbers on the boxes stand for."""

    name: str
    title: str
    said: str
    views: tuple[Seen, ...]
    numbered: tuple[str, ...]
    width: float
    height: float


def bay_picture(title: str, bay: BayView, number: int = 1) -> BayPicture | None:
    """The placement that was found; None where none was."""
    if not bay.placement:
        return None
    pieces = [_Piece.of(entry) for entry in bay.placement]
    inside = tuple(_inside(pieces, bay, axis) for axis in range(3))
    if min(inside) <= 0:
        return None
    scale = min((RIGHT - LEFT) / inside[0], 150.0 / max(inside[1], inside[2]))
    above = _seen("from above", pieces, (0, 1), inside, scale, top=_HEAD)
    side = _seen("from the side", pieces, (0, 2), inside, scale, top=above.y + above.height + _GAP)
    times = Counter(piece.ref for piece in pieces)
    names = tuple(p.ref if times[p.ref] == 1 else f"{p.ref}, piece {p.piece}" for p in pieces)
    return BayPicture(
        name=f"bay-{number}",
        title=title,
        said="; ".join(
            f"{n} {name} at {_sides(p.at)} mm, {_sides(p.size)} mm"
            for n, (name, p) in enumerate(zip(names, pieces, strict=True), 1)
        ),
        views=(above, side),
        numbered=names,
        width=RIGHT + LEFT,
        height=round(side.y + side.height + 6, 1),
    )


class _Piece(Struct, frozen=True, kw_only=True):
    ref: str
    piece: int | None
    at: Sequence[float]
    size: Sequence[float]

    @classmethod
    def of(cls, entry: Mapping[str, Any]) -> "_Piece":
        return cls(ref=entry["ref"], piece=entry.get("piece"), at=entry["at_mm"], size=entry["size_mm"])


def _inside(pieces: Sequence[_Piece], bay: BayView, axis: int) -> float:
    """The bay's side: to the end of what is in it, what is to spare, and the padding that lies before it."""
    spare = 0.0 if bay.spare_mm is None else bay.spare_mm[axis]
    return max(p.at[axis] + p.size[axis] for p in pieces) + spare + min(p.at[axis] for p in pieces)


def _seen(
    title: str,
    pieces: Sequence[_Piece],
    axes: tuple[int, int],
    inside: Sequence[float],
    scale: float,
    *,
    top: float,
) -> Seen:
    across, up = axes
    height = inside[up] * scale
    boxes = []
    for number, piece in enumerate(pieces, 1):
        width = piece.size[across] * scale
        room = int((width - 22) / LETTER)
        boxes.append(
            Box(
                x=round(LEFT + piece.at[across] * scale, 1),
                # y goes up in the bay and down on the page.
                y=round(top + height - (piece.at[up] + piece.size[up]) * scale, 1),
                width=round(width, 1),
                height=round(piece.size[up] * scale, 1),
                label=shortened(piece.ref, room) if room >= 4 else "",
                number=number,
            )
        )
    return Seen(
        title=title,
        y=round(top, 1),
        width=round(inside[across] * scale, 1),
        height=round(height, 1),
        boxes=tuple(boxes),
    )


def _sides(sides: Sequence[float]) -> str:
    return " x ".join(f"{side:g}" for side in sides)
