"""Which build a log entry is about, and the robot-bouts of a family with what failed in them."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date as Date  # noqa: N812 - `date` is a word of the records

from msgspec import Struct
from msgspec.structs import replace

from lineage.evidence.bouts import Failure, RobotBout
from lineage.problems import LineageError
from lineage.spec.assembly import Assembly
from lineage.spec.records import Bout, BuildRef, Damage, Event, Result
from lineage.tasks.workspace import Workspace


class BuildOf(Struct, frozen=True, kw_only=True):
    """The build that an entry is about; not certain where the log cannot tell."""

    label: str | None
    is_certain: bool
    why: str | None = None


def build_of(
    workspace: Workspace, design: str, day: Date | None, typed: str | None, event: Event | None
) -> BuildOf:
    """The build of an entry: as typed, else the event entry's, else the latest dated before that day, or the first.

    Where one was recorded on that very day nobody can tell.
    """
    labels = workspace.labels(design)
    entry = event.entries.get(design) if event is not None else None
    label = typed or (entry.build if entry is not None else None)
    if label in labels:
        return BuildOf(label=label, is_certain=True)
    if label is not None:
        known = {name.casefold(): name for name in labels}
        if label.casefold() in known:
            return BuildOf(label=known[label.casefold()], is_certain=True)
        return BuildOf(label=None, is_certain=False, why=f"no build {design}@{label}")
    if not labels:
        return BuildOf(label=None, is_certain=False, why="nothing recorded yet")
    if day is None:
        return BuildOf(label=None, is_certain=False, why="no day")
    dates = [(name, workspace.record_of(BuildRef(design, name)).on) for name in labels]
    if any(on == day for _, on in dates):
        return BuildOf(label=None, is_certain=False, why=f"a build was recorded on {day}")
    before = [name for name, on in dates if on < day]
    return BuildOf(label=before[-1] if before else labels[0], is_certain=True)


def build_of_result(workspace: Workspace, result: Result) -> BuildOf:
    """The build that a result is about."""
    event = workspace.events.get(result.event) if result.event else None
    return build_of(workspace, result.design, result.on, result.build, event)


def robot_bouts(workspace: Workspace, robot: str) -> tuple[RobotBout, ...]:
    """Every bout of a robot, in the order of events and logs; what never failed and what nobody knows included."""
    return tuple(bout for bout in all_bouts(workspace) if bout.robot == robot)


def all_bouts(workspace: Workspace) -> tuple[RobotBout, ...]:
    """Every bout of the family, in the order of events and logs; worked out once."""
    if "bouts" not in workspace.worked_out:
        names = sorted(workspace.bout_events)
        workspace.worked_out["bouts"] = tuple(
            _robot_bout(workspace, bout) for name in names for bout in workspace.bouts(name)
        )
    found: tuple[RobotBout, ...] = workspace.worked_out["bouts"]
    return found


def bouts_with(workspace: Workspace, module: BuildRef) -> tuple[RobotBout, ...]:
    """The robot-bouts in which a build of a module was in, with what failed in it under its own names.

    A module in two places of a robot is in a robot-bout once. Damage at a place that nobody knows is left out.
    """
    known: dict[BuildRef, tuple[RobotBout, ...]] = workspace.worked_out.setdefault("bouts of modules", {})
    if module not in known:
        known[module] = tuple(_bouts_with(workspace, module))
    return known[module]


def _bouts_with(workspace: Workspace, module: BuildRef) -> Iterator[RobotBout]:
    for bout in all_bouts(workspace):
        assembly = _assembly(workspace, bout.robot, bout.label, bout.fitted)
        inner = {} if assembly is None else assembly.inner
        places = [place for place, spec in inner.items() if place and spec.ref == module]
        if places:
            failures = (_inside(failure, places, module.design) for failure in bout.failures)
            yield replace(bout, failures=tuple(failure for failure in failures if failure is not None))


def _inside(failure: Failure, places: Sequence[str], module: str) -> Failure | None:
    """A failure as the module in some places knows it, None where it is not in it; its own name for all of it."""
    for place in places:
        start = f"{place}."
        things = tuple(
            thing.removeprefix(start) for thing in failure.things if thing.startswith(start) or thing == place
        )
        if things:
            at = failure.at if failure.at == place else failure.at.removeprefix(start)
            used = {ref.removeprefix(start): n for ref, n in failure.used.items() if ref.startswith(start)}
            return replace(failure, at=module if at == place else at, things=things, used=used)
    return None


def _robot_bout(workspace: Workspace, bout: Bout) -> RobotBout:
    robot = bout.robot or ""
    event = workspace.events.get(bout.event)
    day = event.first_day if event is not None else day_of(bout.event)
    build = build_of(workspace, robot, day, bout.build, event)
    entry = event.entries.get(robot) if event is not None else None
    fitted = {**(entry.fitted if entry is not None else {}), **bout.fitted}
    assembly = _assembly(workspace, robot, build.label, fitted)
    return RobotBout(
        robot=robot,
        event=bout.event,
        day=day,
        bout=bout.bout,
        label=build.label,
        is_certain=build.is_certain,
        was_fought=bout.fought,
        outcome=bout.outcome,
        ran_s=None if bout.ran is None else bout.ran.value,
        fitted=fitted,
        choices=fitted if assembly is None else assembly.fitted[""],
        against=bout.against,
        failures=(
            *(failure_of(damage, assembly, was_found=False) for damage in bout.broke),
            *(failure_of(damage, assembly, was_found=True) for damage in bout.found),
        ),
        because=bout.because,
        pit=bout.pit,
    )


def _assembly(
    workspace: Workspace, robot: str, label: str | None, fitted: Mapping[str, str]
) -> Assembly | None:
    if label is None:
        return None
    try:
        return workspace.assembly(BuildRef(robot, label), fitted)
    except LineageError:
        return None  # a build that cannot be read has its own problem; its bouts are kept as typed


def failure_of(damage: Damage, assembly: Assembly | None, *, was_found: bool) -> Failure:
    """A damage with the things that its place names."""
    return Failure(
        at=damage.at,
        things=assembly.resolve(damage.at) if assembly is not None else (),
        mode=damage.mode,
        severity=damage.severity,
        was_found=was_found,
        took_s=None if damage.took is None else damage.took.value,
        cost_bout=damage.cost_bout,
        mended=damage.mended,
        fix=damage.fix,
        used=damage.used,
    )


def day_of(event: str) -> Date:
    """The day that an event's file name begins with."""
    return Date.fromisoformat(event[:10])
