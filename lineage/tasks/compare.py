"""Two to five states side by side: cards, what they share, and what changed from each to the next."""

from collections.abc import Sequence
from itertools import pairwise

from msgspec.structs import replace

from lineage.figures.kinship import shared_modules
from lineage.problems import AskedWrongly
from lineage.reports.views import compare as views
from lineage.reports.views.card import Card
from lineage.spec.records import Event
from lineage.tasks.card import card
from lineage.tasks.moving_on import behind
from lineage.tasks.pairs import pair
from lineage.tasks.siblings import by_thing
from lineage.tasks.states import State
from lineage.tasks.workspace import NOW

MOST = 5


def compare(states: Sequence[State], event: Event | None = None) -> views.Compare:
    """Everything about some states beside each other."""
    if not 2 <= len(states) <= MOST:
        raise AskedWrongly(f"{len(states)} states to compare", f"two to {MOST}", "lineage compare A B")
    cards = [card(state, event) for state in states]
    return views.Compare(
        designs=tuple(cards),
        shared=_shared(states),
        pairs=tuple(_pair(one, other) for one, other in pairwise(zip(states, cards, strict=True))),
    )


def _pair(one: tuple[State, Card], other: tuple[State, Card]) -> views.PairView:
    """Two states that stand next to each other; siblings thing by thing too."""
    if one[0].ref.design == other[0].ref.design:
        return pair(*_in_time(one[0], other[0]))
    (before, first), (after, second) = one, other
    found = pair(before, after)
    things = by_thing(before, after, found.changes, (_limit(first), _limit(second)))
    return replace(found, by_thing=things)


def _limit(shown: Card) -> float | None:
    return None if shown.class_ is None else shown.class_.limit_g


def _in_time(one: State, other: State) -> tuple[State, State]:
    """Of two states of one design the earlier first, where that is known; anything else as asked.

    Working files come after everything; a commit and a build are in the order in which they were asked for.
    """
    if one.ref.design != other.ref.design:
        return one, other
    first, second = _when(one), _when(other)
    is_late = first is not None and second is not None and first > second
    is_before_now = one.label == NOW and (second is not None or other.label.startswith("git:"))
    return (other, one) if is_late or is_before_now else (one, other)


def _when(state: State) -> int | None:
    """Where a build stands in the chain; None for what is no build."""
    labels = state.workspace.labels(state.ref.design)
    return labels.index(state.ref.label) if state.ref.label in labels else None


def _shared(states: Sequence[State]) -> views.SharedView:
    modules = shared_modules([state.assembly for state in states], states[0].workspace.labels)
    are_builds = len({state.ref.design for state in states}) < len(states)
    names = [str(state) if are_builds else state.ref.design for state in states]
    return views.SharedView(
        modules=tuple(
            views.SharedModule(
                name=module.name,
                builds=dict(zip(names, module.labels, strict=True)),
                lags=tuple(dict.fromkeys(names[at] for at in module.lags)),
            )
            for module in modules
        ),
        stock=_in_all([{t.stock.name for t in s.assembly.parts if t.stock is not None} for s in states]),
        items=_in_all([{t.part.item for t in s.assembly.parts if t.part.item is not None} for s in states]),
        plates=_plates(states),
        behind=behind(states) if len({state.ref.design for state in states}) > 1 else (),
    )


def _plates(states: Sequence[State]) -> tuple[str, ...]:
    """Plates cut from one drawing in all states, by their names in the first."""
    first, *others = (_drawn(state) for state in states)
    return tuple(ref for id_, ref in first.items() if all(id_ in other for other in others))


def _drawn(state: State) -> dict[str, str]:
    """Content id → reference of every own part with a drawing."""
    drawings = state.spec.drawings
    parts = [(thing.ref, thing.part.outline) for thing in state.assembly.parts if not thing.place]
    return {drawings[path]: ref for ref, path in parts if path is not None and path in drawings}


def _in_all(names: Sequence[set[str]]) -> tuple[str, ...]:
    return tuple(sorted(set.intersection(*names)))
