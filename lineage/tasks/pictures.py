"""Pictures that pages show beside their figures: plates in plan, old and new overlaid."""

from collections.abc import Mapping, Sequence
from typing import Any

from lineage.drawings.outline import Outline
from lineage.figures.contents import measure_key
from lineage.reports.charts.plates import overlays, plate_pictures
from lineage.tasks.drawings import drawn_in
from lineage.tasks.states import State


def card_pictures(state: State) -> Mapping[str, Any]:
    """The plates of a card."""
    return {"plates": plate_pictures(outlines(state))}


def compare_pictures(states: Sequence[State]) -> Mapping[str, Any]:
    """Old and new plates overlaid, from the first state to the last, where both are of one design."""
    first, last = states[0], states[-1]
    if first.ref.design != last.ref.design:
        return {}
    return {"overlays": overlays(outlines(first), outlines(last))}


def outlines(state: State) -> Mapping[str, Outline]:
    """Outlines of a state's own plates, by reference."""
    drawn = drawn_in(state.workspace, state.assembly)
    found = {}
    for thing in state.assembly.parts:
        key = measure_key(thing)
        if not thing.place and key is not None and key in drawn:
            found[thing.ref] = drawn[key].outline
    return found
