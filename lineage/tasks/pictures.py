"""Pictures that pages show beside their figures: plates in plan, old and new overlaid."""

from collections.abc import Mapping, Sequence
from typing import Any

from lineage.archive.builds import build_labels
from lineage.drawings.outline import Outline
from lineage.figures.contents import measure_key
from lineage.problems import LineageError
from lineage.reports.charts.plates import overlays, plate_pictures
from lineage.spec.records import BuildRef
from lineage.tasks.chain import follow
from lineage.tasks.drawings import drawn_in, sketches_of
from lineage.tasks.states import State
from lineage.tasks.workspace import NOW, Workspace


def card_pictures(state: State) -> Mapping[str, Any]:
    """The plates of a card."""
    return {"plates": plate_pictures(outlines(state))}


def compare_pictures(states: Sequence[State]) -> Mapping[str, Any]:
    """Old and new plates overlaid, renamed ones too, from the first state to the last, where both are of one design."""
    first, last = states[0], states[-1]
    if first.ref.design != last.ref.design:
        return {}
    now = {
        renamed: outline
        for ref, outline in outlines(first).items()
        if (renamed := follow(last.workspace, last.ref.design, first.ref.label, last.ref.label, ref))
        is not None
    }
    return {"overlays": overlays(now, outlines(last))}


def check_pictures(workspace: Workspace) -> Mapping[str, Any]:
    """The family's title, and sketches of every drawing that is refused."""
    sketches: dict[str, Any] = {}
    for design, path in workspace.designs.items():
        labels = [NOW] if path else []
        for label in (*labels, *build_labels(workspace.tree, design)):
            try:
                drawn_in(workspace, workspace.assembly(BuildRef(design, label)))
            except LineageError as error:
                sketches = {**sketches_of(error), **sketches}
    try:
        title = workspace.family.title
    except LineageError:
        title = workspace.root.name
    return {"family": title, "sketches": sketches}


def outlines(state: State) -> Mapping[str, Outline]:
    """Outlines of every plate of a state, those inside modules too, by full reference."""
    drawn = drawn_in(state.workspace, state.assembly)
    found = {}
    for thing in state.assembly.parts:
        key = measure_key(thing)
        if key is not None and key in drawn:
            found[thing.ref] = drawn[key].outline
    return found
