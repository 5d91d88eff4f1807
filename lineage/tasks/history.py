"""The builds of one design in order: why each was made, what it did, what was learned."""

from collections.abc import Mapping, Sequence
from contextlib import suppress

from lineage.evidence.bouts import failed
from lineage.problems import AskedWrongly, BadInput
from lineage.reports.views import history as views
from lineage.reports.views.compare import ChangeView
from lineage.spec.records import BuildRef, Design, Snag
from lineage.tasks.card import bouts_of, snag_views
from lineage.tasks.grown import beside, grew_from
from lineage.tasks.learned import learned
from lineage.tasks.pairs import pair
from lineage.tasks.running import build_of_result
from lineage.tasks.states import Asker, State
from lineage.tasks.workspace import NOW, Workspace

NOTHING_KNOWN = views.FiguresView(
    mass_g=None, slowest_way_s=None, least_gap_mm=None, share_of_bouts_failed=None
)


def history(asker: Asker, design: str) -> views.History:
    """Every build of a design, each against the one that it was made from."""
    name = asker.workspace.named(design)
    states = [State(asker.amounts, BuildRef(name, label)) for label in asker.workspace.labels(name)]
    lessons = _learned(asker.workspace, name)
    shown = _readable([*states, *([State(asker.amounts, BuildRef(name, NOW))] if not states else [])])
    return views.History(
        design=name,
        steps=tuple(_step(asker, state, lessons.get(state.ref.label, ())) for state in states),
        title=None if shown is None else shown.title,
        now=now_text(asker, name),
        grew=None if shown is None else grew_from(asker.workspace, shown),
    )


def _readable(states: Sequence[State]) -> Design | None:
    """The latest of some states that can be read."""
    for state in reversed(states):
        with suppress(AskedWrongly, BadInput):
            return state.spec.design
    return None


def _learned(workspace: Workspace, design: str) -> Mapping[str, tuple[views.LearnedView, ...]]:
    try:
        return learned(workspace, design)
    except BadInput:
        return {}  # an event or lesson that cannot be read is told by `check`


def now_text(asker: Asker, design: str) -> str | None:
    """`same as C`, `changed` (as is what nobody can read now), or None where there is no working file."""
    if not asker.workspace.designs.get(design):
        return None
    if not asker.workspace.can_read(design):
        return "changed"
    same = asker.workspace.same_as(design)
    return "changed" if same is None else f"same as {same.label}"


def _step(asker: Asker, state: State, lessons: tuple[views.LearnedView, ...]) -> views.StepView:
    record = asker.workspace.record_of(state.ref)
    known = record.before is not None and record.before in asker.workspace.labels(state.ref.design)
    before = State(asker.amounts, BuildRef(state.ref.design, record.before or "")) if known else None
    snags = [
        result
        for result in asker.workspace.results(state.ref.design)
        if isinstance(result, Snag) and build_of_result(asker.workspace, result).label == state.ref.label
    ]
    figures = NOTHING_KNOWN
    problem: str | None = None
    changes: tuple[ChangeView, ...] = ()
    try:
        figures = _figures(state)
        changes = () if before is None else pair(before, state).changes
    except BadInput as error:  # the build, or the one before it
        problem = f"{error.problems[0].place.file}: {error.problems[0].what}"
    return views.StepView(
        label=state.ref.label,
        on=str(record.on),
        why=tuple(dict.fromkeys(note.why for note in record.notes if note.why)),
        changes=changes,
        figures=figures,
        before=record.before,
        snags=tuple(snag_views(snags)),
        learned=lessons,
        beside=beside(asker.workspace, state.ref),
        problem=problem,
    )


def _figures(state: State) -> views.FiguresView:
    weight = state.amounts.weight(state.ref)
    measured = state.amounts.measured(state.ref)
    ways = [way.seconds.value for way in state.amounts.ways(state.ref).values() if way.seconds is not None]
    gaps = [fit.nominal_mm for fit in state.amounts.fits(state.ref).values() if fit.nominal_mm is not None]
    fought = [bout for bout in bouts_of(state) if bout.is_exposure]
    share = sum(failed(bout, lambda _: True) for bout in fought) / len(fought) if fought else None
    return views.FiguresView(
        mass_g=weight.predicted.value if weight.known_items else None,
        slowest_way_s=max(ways, default=None),
        least_gap_mm=min(gaps, default=None),
        share_of_bouts_failed=share,
        weighed_g=None if measured is None else measured.mass.value,
        bouts=len(fought),
    )
