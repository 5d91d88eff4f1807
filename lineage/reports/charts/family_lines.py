"""Who grew from whom: a line a design, its builds on it by date, and where one left another."""

from datetime import date

from msgspec import Struct

from lineage.reports.charts.pictures import LETTER, sentence
from lineage.reports.charts.scales import Scale, Tick
from lineage.reports.views.family import DesignView, FamilyView

WIDTH = 720.0
LEFT, RIGHT = 120.0, 700.0
TOP, PITCH = 26.0, 34.0


class Stop(Struct, frozen=True, kw_only=True):
    """A build on its line; its label is left out where there is no room."""

    x: float
    label: str
    to: str
    is_said: bool


class Lane(Struct, frozen=True, kw_only=True):
    """One design; `path` is where its line runs, from the build it grew from if it did."""

    name: str
    y: float
    path: str
    stops: tuple[Stop, ...]
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
        height=TOP + PITCH * len(designs) + 6,
    )


def _day(text: str) -> float:
    return float(date.fromisoformat(text).toordinal())


def _told(design: DesignView) -> str:
    builds = ", ".join(f"{build.label} {build.on}" for build in design.builds)
    return f"{design.name}{f' from {design.from_}' if design.from_ else ''}: {builds}"


def _lane(design: DesignView, designs: list[DesignView], heights: dict[str, float], scale: Scale) -> Lane:
    y = heights[design.name]
    stops: list[Stop] = []
    free = 0.0
    for build in sorted(design.builds, key=lambda build: build.on):
        x = scale.at(_day(build.on))
        room = len(build.label) * LETTER + 8
        stops.append(
            Stop(x=x, label=build.label, to=f"{design.name}@{build.label}", is_said=x - room / 2 >= free)
        )
        free = max(free, x + room / 2) if stops[-1].is_said else free
    start = _start(design, designs, heights, scale, stops[0].x)
    path = f"{start}M{stops[0].x:g} {y:g}H{stops[-1].x:g}"
    return Lane(name=design.name, y=y, path=path, stops=tuple(stops), is_robot=design.kind == "robot")


def _start(
    design: DesignView, designs: list[DesignView], heights: dict[str, float], scale: Scale, x: float
) -> str:
    """From the build that a design grew from to its own first."""
    name, _, label = (design.from_ or "").partition("@")
    parent = next((other for other in designs if other.name == name), None)
    build = next((b for b in parent.builds if b.label == label), None) if parent is not None else None
    if build is None:
        return ""
    left = scale.at(_day(build.on))
    return f"M{left:g} {heights[name]:g}L{x:g} {heights[design.name]:g}"


def _years(low: float, high: float, scale: Scale) -> list[Tick]:
    first, last = date.fromordinal(int(low)).year, date.fromordinal(int(high)).year
    starts = [(year, float(date(year, 1, 1).toordinal())) for year in range(first + 1, last + 1)]
    return [Tick(scale.at(day), str(year)) for year, day in starts[:: 1 + len(starts) // 12]]
