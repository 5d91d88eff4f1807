"""Which build of a sibling a design grew out of, and how far that sibling had come by then."""

from lineage.reports.views.family import GrewView
from lineage.spec.records import BuildRef, Design
from lineage.tasks.workspace import Workspace


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
