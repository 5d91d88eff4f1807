"""Which build of a sibling a design grew out of, and how far that sibling had come by then."""

from collections.abc import Iterator

from lineage.changes.pairing import own_things
from lineage.problems import AskedWrongly, BadInput, Place, Problem
from lineage.reports.views.family import GrewView
from lineage.spec.records import BuildRef, Design
from lineage.tasks.workspace import NOW, Workspace


def grew_from(workspace: Workspace, design: Design) -> GrewView | None:
    """The build that a design was drawn from; `newer` are that sibling's builds recorded before its own first."""
    parent = design.from_
    if parent is None:
        return None
    return GrewView(build=str(parent), newer=_newer(workspace, design.name, parent))


def _newer(workspace: Workspace, child: str, parent: BuildRef) -> tuple[str, ...]:
    labels = workspace.labels(parent.design) if parent.design in workspace.designs else ()
    own = workspace.labels(child)
    if parent.label not in labels:
        return ()
    later = labels[labels.index(parent.label) + 1 :]
    if not own:
        return later
    first = workspace.record_of(BuildRef(child, own[0])).on
    return tuple(label for label in later if workspace.record_of(BuildRef(parent.design, label)).on < first)


def beside(workspace: Workspace, ref: BuildRef) -> tuple[str, ...]:
    """Labels of other builds that were made from the same build: each is a branch of its own."""
    before = workspace.record_of(ref).before
    others = (label for label in workspace.labels(ref.design) if label != ref.label)
    return tuple(
        label
        for label in others
        if before and workspace.record_of(BuildRef(ref.design, label)).before == before
    )


def renamed_designs(workspace: Workspace) -> Iterator[Problem]:
    """Designs that look like one whose working file is gone, and do not say that they grew from it."""
    gone = [name for name, path in workspace.designs.items() if not path]
    if not gone:
        return
    now = {name: _read(workspace, BuildRef(name, NOW)) for name, path in workspace.designs.items() if path}
    followed = {design.from_.design for design in now.values() if design is not None and design.from_}
    for name, design in now.items():
        for old in gone if design is not None and design.from_ is None else ():
            last = workspace.last(old)
            before = None if last is None or old in followed else _read(workspace, last)
            if before is not None and design is not None and _is_alike(before, design):
                yield Problem(
                    place=design.places.get((design.kind,), Place(workspace.designs[name], 1, 1)),
                    code="design-renamed",
                    what=f"{name} has the things of {old}, which has builds and no working file any more",
                    wanted="a design that says what it grew from",
                    mend=f"if it is that one under another name, write `from: {last}`; what uses {last} stays as it is",
                    level="warning",
                )


def _read(workspace: Workspace, ref: BuildRef) -> Design | None:
    try:
        return workspace.spec(ref).design
    except (AskedWrongly, BadInput):
        return None  # told by `check`


def _is_alike(before: Design, after: Design) -> bool:
    names = own_things(before).keys()
    return before.kind == after.kind and bool(names) and names == own_things(after).keys()
