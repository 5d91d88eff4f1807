"""Names in events and lessons that nothing in the family answers to."""

from collections.abc import Collection, Iterator

from lineage.problems import Level, LineageError, Place, Problem, nearest
from lineage.spec.records import BuildRef, Event, Lesson, Path, Places
from lineage.spec.references import References, Target
from lineage.tasks.workspace import NOW, Workspace

_MOST_LISTED = 6


def unknown_names(workspace: Workspace) -> Iterator[Problem]:
    """Robots, classes, builds and things that events and lessons name and that the family does not have.

    A build that an event names may yet be recorded: that alone is a warning.
    """
    for event in workspace.events.values():
        yield from _of_event(workspace, event)
    for lesson in workspace.lessons.values():
        yield from _of_lesson(workspace, lesson)


def _of_event(workspace: Workspace, event: Event) -> Iterator[Problem]:
    file = _File(f"events/{event.name}.yaml", event.places)
    classes = workspace.family.classes
    for name in event.limits:
        yield from file.unknown(("limits", name), name, classes, "class")
    for robot, entry in event.entries.items():
        at = ("entries", robot)
        yield from file.unknown(at, robot, _robots(workspace), "robot")
        if entry.class_ is not None:
            yield from file.unknown((*at, "class"), entry.class_, classes, "class")
        if entry.build is not None and robot in workspace.designs:
            labels = workspace.labels(robot)
            yield from file.unknown((*at, "build"), entry.build, labels, f"build of {robot}", "warning")


def _of_lesson(workspace: Workspace, lesson: Lesson) -> Iterator[Problem]:
    file = _File(f"lessons/{lesson.name}.yaml", lesson.places)
    for number, source in enumerate(lesson.from_):
        at = ("from", number)
        if source.event is not None and f"events/{source.event}.yaml" not in workspace.left_out:
            held = {*workspace.events, *workspace.bout_events}
            yield from file.unknown((*at, "event"), source.event, held, "event")
        if source.robot is not None:
            yield from file.unknown((*at, "robot"), source.robot, _robots(workspace), "robot")
        if source.snag is not None:
            yield from file.unknown((*at, "snag"), source.snag, workspace.designs, "design")
    for number, ref in enumerate(lesson.done_in):
        known = [f"{ref.design}@{label}" for label in _states(workspace, ref.design)]
        yield from file.unknown(("done_in", number), str(ref), known, "build")
    for number, about in enumerate(lesson.about):
        design, _, thing = about.partition(".")
        at = ("about", number)
        if design not in workspace.designs:
            yield from file.unknown(at, design, workspace.designs, "design")
        elif thing:
            yield from _unknown_thing(workspace, file, at, design, thing)


def _unknown_thing(
    workspace: Workspace, file: "_File", at: Path, design: str, thing: str
) -> Iterator[Problem]:
    """A thing that neither the working files of a design nor any build of it has; none while one cannot be read."""
    offered: dict[str, None] = {}
    for label in _states(workspace, design):
        try:
            references = References(workspace.spec(BuildRef(design, label)), workspace.lookup)
            found = references.resolve(thing)
        except LineageError:
            return  # said where it stands
        if isinstance(found, Target) or found.known is None:
            return
        offered |= dict.fromkeys(f"{design}.{ref}" for ref in references.all_references())
    yield from file.unknown(at, f"{design}.{thing}", offered, "thing")


def _states(workspace: Workspace, design: str) -> tuple[str, ...]:
    """Labels of a design's builds, and `now` where it has a working file."""
    if design not in workspace.designs:
        return ()
    return (*([NOW] if workspace.designs[design] else []), *workspace.labels(design))


def _robots(workspace: Workspace) -> list[str]:
    return [name for name, path in workspace.designs.items() if not (path or "").startswith("modules/")]


class _File:
    def __init__(self, path: str, places: Places) -> None:
        self.path, self.places = path, places

    def unknown(
        self, at: Path, name: str, known: Collection[str], kind: str, level: Level = "error"
    ) -> Iterator[Problem]:
        """The problem of a name that is none of those known, with the nearest offered; none where it is one."""
        if name in known:
            return
        near = nearest(name, known)
        yield Problem(
            place=self.places.get(at) or self.places.get(at[:-1]) or Place(self.path, 1, 1),
            code="unknown-name",
            what=f"there is no {kind} `{name}`",
            wanted=f"one of: {', '.join(known)}" if len(known) <= _MOST_LISTED else f"the name of a {kind}",
            mend=f"write `{near}`" if near else "correct it, or leave it out",
            level=level,
        )
