"""Plates in plan: one outline with a scale bar, or two laid over each other with what was cut away and added."""

from collections.abc import Mapping

from msgspec import Struct

from lineage.drawings.outline import Arc, Outline
from lineage.drawings.path import path_data
from lineage.reports import said
from lineage.reports.charts.scales import round_step

_MARGIN = 0.04


class ScaleBar(Struct, frozen=True, kw_only=True):
    """A bar that is so many millimetres long on the plate."""

    x: float
    y: float
    length: float
    text: str


class Frame(Struct, frozen=True, kw_only=True):
    """What part of the plane is shown, in mm with y down; `thin` and `letter` are sizes that suit it."""

    x: float
    y: float
    width: float
    height: float
    thin: float
    letter: float
    bar: ScaleBar


class PlatePicture(Struct, frozen=True, kw_only=True):
    """One plate in plan."""

    name: str
    title: str
    said: str
    path: str
    frame: Frame


class Overlay(Struct, frozen=True, kw_only=True):
    """A plate before and after, in one place."""

    name: str
    title: str
    said: str
    before: str
    after: str
    frame: Frame


def plate_picture(ref: str, outline: Outline, number: int = 1, note: str = "") -> PlatePicture:
    """The plan of one plate; `number` keeps the names on a page apart."""
    left, low, right, high = bounds(outline)
    holes = sum(len(piece.holes) for piece in outline.pieces)
    size = f"{right - left:.1f} x {high - low:.1f} mm"
    many = said.whole(holes, "hole")
    return PlatePicture(
        name=f"plate-{number}",
        title=ref,
        said=f"{size}, {many}{', ' + note if note else ''}",
        path=path_data(outline),
        frame=frame_around((left, low, right, high)),
    )


def plate_pictures(outlines: Mapping[str, Outline]) -> tuple[PlatePicture, ...]:
    """Plans of many plates by full reference; those that are cut alike are drawn once, under all their names."""
    alike: dict[str, list[str]] = {}
    for ref, outline in outlines.items():
        alike.setdefault(path_data(outline), []).append(ref)
    return tuple(
        plate_picture(", ".join(refs), outlines[refs[0]], number)
        for number, refs in enumerate(alike.values(), 1)
    )


def overlays(before: Mapping[str, Outline], after: Mapping[str, Outline]) -> tuple[Overlay, ...]:
    """Every plate that is in both states and cut otherwise; alike ones once. Both by the reference after."""
    changed: dict[tuple[str, str], list[str]] = {}
    for ref, outline in after.items():
        if ref in before and (paths := (path_data(before[ref]), path_data(outline)))[0] != paths[1]:
            changed.setdefault(paths, []).append(ref)
    return tuple(
        overlay(", ".join(refs), before[refs[0]], after[refs[0]], number)
        for number, refs in enumerate(changed.values(), 1)
    )


def overlay(ref: str, before: Outline, after: Outline, number: int = 1) -> Overlay:
    """A plate before and after, drawn where their own zero points put them."""
    first, second = bounds(before), bounds(after)
    both = (min(first[0], second[0]), min(first[1], second[1]),
            max(first[2], second[2]), max(first[3], second[3]))  # fmt: skip
    return Overlay(
        name=f"overlay-{number}",
        title=ref,
        said="what was cut away is hatched, what was added is dotted",
        before=path_data(before),
        after=path_data(after),
        frame=frame_around(both),
    )


def bounds(outline: Outline) -> tuple[float, float, float, float]:
    """Left, low, right and high end of all cuts in mm; an arc reaches beyond its ends where it passes a quarter."""
    xs: list[float] = []
    ys: list[float] = []
    for segment in outline.segments:
        for x, y in (segment.start, segment.end):
            xs.append(x)
            ys.append(y)
        if isinstance(segment, Arc):
            (centre_x, centre_y), radius = segment.centre, segment.radius
            xs += [centre_x + radius * x for x in (1, -1) if segment.passes((x, 0))]
            ys += [centre_y + radius * y for y in (1, -1) if segment.passes((0, y))]
    return min(xs), min(ys), max(xs), max(ys)


def frame_around(box: tuple[float, float, float, float]) -> Frame:
    """What is shown of the plane around a box (left, low, right, high in mm), with a scale bar below it."""
    left, low, right, high = box
    width, height = right - left, high - low
    margin = max(width, height) * _MARGIN
    letter = max(width, height) / 24
    length = min(round_step(width, 3), width)
    bar = ScaleBar(x=round(left, 3), y=round(-low + margin + letter, 3), length=length, text=f"{length:g} mm")
    return Frame(
        x=round(left - margin, 3),
        y=round(-high - margin, 3),
        width=round(width + 2 * margin, 3),
        height=round(height + 2 * margin + 2.6 * letter, 3),
        thin=round(max(width, height) / 300, 4),
        letter=round(letter, 3),
        bar=bar,
    )
