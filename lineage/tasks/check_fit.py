"""Needs that are missed, and robots that are too large for an event they are entered at."""

from collections.abc import Iterator, Mapping

from lineage.figures.fits import FitFigure
from lineage.figures.margin import size_fits
from lineage.problems import Level, LineageError, Place, Problem
from lineage.spec.assembly import Spec
from lineage.spec.records import BuildRef, Event
from lineage.tasks.running import build_of
from lineage.tasks.workspace import NOW, Workspace
from lineage.values.quantity import Size


def missed_needs(spec: Spec, fits: Mapping[str, FitFigure], level: Level) -> Iterator[Problem]:
    """Fits whose nominal misses the need, with what is fitted or with other choices, which are named."""
    for name, fit in fits.items():
        if fit.holds in {"not nominally", "never"} or fit.fails_with:
            yield Problem(
                place=spec.design.places.get(("fits", name)) or Place(spec.file, 1, 1),
                code="need-missed",
                what=_missed(name, fit),
                wanted=spec.design.fits[name].need.text,
                mend="another dimension, or another need",
                level=level,
            )


def _missed(name: str, fit: FitFigure) -> str:
    gap = "not known" if fit.nominal_mm is None else f"{fit.nominal_mm:.2f} mm"
    with_what = [
        ", ".join(f"{option} {choice}" for option, choice in made.items()) for made in fit.fails_with
    ]
    chosen = f" with {'; with '.join(with_what)}" if any(with_what) else ""
    if fit.holds == "never" and fit.worst_mm is not None:
        low_wanted = fit.need_mm[0] is not None and fit.worst_mm[1] < fit.need_mm[0]
        worst, best = fit.worst_mm if low_wanted else fit.worst_mm[::-1]
        return (
            f"the fit {name} cannot hold{chosen}: the gap is {worst:.2f} mm at worst, {best:.2f} mm at best"
        )
    if chosen and fit.holds not in {"not nominally", "never"}:
        return f"the fit {name} misses its need{chosen}; with what is fitted the gap is {gap}"
    return f"the fit {name} misses its need{chosen}: the gap is {gap}"


def too_large_for_events(workspace: Workspace) -> Iterator[Problem]:
    """Entries of events with a size of their own whose robot, in the build that goes, is larger."""
    for event in workspace.events.values():
        for robot in event.entries if event.size is not None else ():
            ref = _entered(workspace, event, robot)
            size = None if ref is None else _size(workspace, ref)
            if event.size is not None and size is not None and size_fits(size, event.size) is False:
                yield Problem(
                    place=event.places.get(("entries", robot)) or Place(f"events/{event.name}.yaml", 1, 1),
                    code="size-against-event",
                    what=f"{ref} does not go into the size of the event, however it is turned on the floor",
                    wanted=f"at most {event.size.text}",
                    mend="another build, or correct `size` of the robot or the event",
                    level="warning",
                )


def _entered(workspace: Workspace, event: Event, robot: str) -> BuildRef | None:
    """The build that goes to an event; the working files of a robot that has none yet."""
    if robot not in workspace.designs:
        return None
    label = build_of(workspace, robot, event.first_day, None, event).label
    return BuildRef(robot, label or NOW)


def _size(workspace: Workspace, ref: BuildRef) -> Size | None:
    try:
        return workspace.spec(ref).design.size
    except LineageError:
        return None  # told where it cannot be read
