"""When builds were recorded and who grew from whom: a ruled line a design, a revision triangle a build."""

from datetime import date

from msgspec import Struct

from lineage.reports.charts.pictures import LETTER, sentence, shortened
from lineage.reports.charts.scales import Scale, Tick
from lineage.reports.views.family import BuildView, DesignView, FamilyView

WIDTH = 720.0
LEFT, RIGHT = 156.0, 700.0
TOP, PITCH = 46.0, 40.0
NAME = 20  # letters of a name that go before the first day
HALF = 12.0  # of a triangle's foot
INSIDE = 2  # letters that a triangle holds


class Mark(Struct, frozen=True, kw_only=True):
    """A build on its line: a triangle with its label, or a tick where one before it takes the room.

    A tick has its label under the line, if there is room.
    """

    x: float
    label: str
    to: str
    is_triangle: bool
    is_inside: bool
    is_below: bool


class Drop(Struct, frozen=True, kw_only=True):
    """From the build that a design grew from straight to the design's own line."""

    x: float
    start: float
    end: float


class Lane(Struct, frozen=True, kw_only=True):
    """One design on its line; `note` says what it is and what it grew from."""

    name: str
    full: str
    note: str
    y: float
    marks: tuple[Mark, ...]
    drop: Drop | None
    is_robot: bool


class Lanes(Struct, frozen=True, kw_only=True):
    """All designs under each other, the days from left to right."""

    name: str
    title: str
    said: str
    lanes: tuple[Lane, ...]
    years: tuple[Tick, ...]
    height: float


def family_lines(view: FamilyView) -> Lanes | None:
    """Robots and modules that have builds; None where nothing has two."""
    designs = [design for design in view.designs if design.builds]
    days = [_day(build.on) for design in designs for build in design.builds]
    if len(days) < 2 or min(days) == max(days):
        return None
    scale = Scale(low=min(days), high=max(days), left=LEFT, right=RIGHT)
    heights = {design.name: TOP + PITCH * at for at, design in enumerate(designs)}
    return Lanes(
        name="family-lines",
        title="Builds over the years",
        said=sentence([_told(design) for design in designs]),
        lanes=tuple(_lane(design, designs, heights, scale) for design in designs),
        years=tuple(_years(min(days), max(days), scale)),
        height=TOP + PITCH * (len(designs) - 1) + 20,
    )


def _day(text: str) -> float:
    return float(date.fromisoformat(text).toordinal())


def _told(design: DesignView) -> str:
    builds = ", ".join(f"{build.label} {build.on}" for build in design.builds)
    return f"{design.name}{f' from {design.from_}' if design.from_ else ''}: {builds}"


def _lane(design: DesignView, designs: list[DesignView], heights: dict[str, float], scale: Scale) -> Lane:
    notes = [
        *(["module"] if design.kind == "module" else []),
        *([f"from {design.from_}"] if design.from_ else []),
    ]
    return Lane(
        name=shortened(design.name, NAME),
        full=design.name,
        note=shortened(", ".join(notes), NAME + 3),
        y=heights[design.name],
        marks=tuple(_marks(design, scale)),
        drop=_drop(design, designs, heights, scale),
        is_robot=design.kind == "robot",
    )


def _marks(design: DesignView, scale: Scale) -> list[Mark]:
    marks: list[Mark] = []
    free = free_below = 0.0
    for build in sorted(design.builds, key=lambda build: build.on):
        x = scale.at(_day(build.on))
        is_inside = len(build.label) <= INSIDE
        half = HALF if is_inside else max(HALF, len(build.label) * LETTER / 2)
        is_triangle = x - half >= free
        free = x + half if is_triangle else free
        half_word = (len(build.label) + 1) * LETTER / 2
        is_below = not is_triangle and x - half_word >= free_below
        free_below = x + half_word if is_below else free_below
        mark = Mark(
            x=x,
            label=build.label,
            to=f"{design.name}@{build.label} {build.on}",
            is_triangle=is_triangle,
            is_inside=is_inside,
            is_below=is_below,
        )
        marks.append(mark)
    return marks


def _drop(
    design: DesignView, designs: list[DesignView], heights: dict[str, float], scale: Scale
) -> Drop | None:
    build = _parent(design, designs)
    if build is None:
        return None
    name, _, _ = (design.from_ or "").partition("@")
    return Drop(x=scale.at(_day(build.on)), start=heights[name], end=heights[design.name])


def _parent(design: DesignView, designs: list[DesignView]) -> BuildView | None:
    name, _, label = (design.from_ or "").partition("@")
    parent = next((other for other in designs if other.name == name), None)
    return next((b for b in parent.builds if b.label == label), None) if parent is not None else None


def _years(low: float, high: float, scale: Scale) -> list[Tick]:
    first, last = date.fromordinal(int(low)).year, date.fromordinal(int(high)).year
    starts = [(year, float(date(year, 1, 1).toordinal())) for year in range(first + 1, last + 1)]
    return [Tick(scale.at(day), str(year)) for year, day in starts[:: 1 + len(starts) // 12]]
