"""The builds of one design in order: why each was made, what it did, what was learned."""

from lineage.evidence.bouts import failed
from lineage.reports.views import history as views
from lineage.spec.records import BuildRef, Snag
from lineage.tasks.card import bouts_of, snag_views
from lineage.tasks.pairs import pair
from lineage.tasks.running import build_of_result
from lineage.tasks.states import Asker, State


def history(asker: Asker, design: str) -> views.History:
    """Every build of a design, each against the one that it was made from."""
    name = asker.workspace.named(design)
    states = [State(asker.amounts, BuildRef(name, label)) for label in asker.workspace.labels(name)]
    return views.History(
        design=name,
        steps=tuple(_step(asker, state) for state in states),
        title=states[-1].spec.design.title if states else None,
        now=now_text(asker, name),
    )


def now_text(asker: Asker, design: str) -> str | None:
    """`same as C`, `changed`, or None where there is no working file."""
    if not asker.workspace.designs.get(design):
        return None
    same = asker.workspace.same_as(design)
    return "changed" if same is None else f"same as {same.label}"


def _step(asker: Asker, state: State) -> views.StepView:
    record = asker.workspace.record_of(state.ref)
    known = record.before is not None and record.before in asker.workspace.labels(state.ref.design)
    before = State(asker.amounts, BuildRef(state.ref.design, record.before or "")) if known else None
    snags = [
        result
        for result in asker.workspace.results(state.ref.design)
        if isinstance(result, Snag) and build_of_result(asker.workspace, result).label == state.ref.label
    ]
    return views.StepView(
        label=state.ref.label,
        on=str(record.on),
        why=tuple(dict.fromkeys(note.why for note in record.notes if note.why)),
        changes=() if before is None else pair(before, state).changes,
        figures=_figures(state),
        before=record.before,
        snags=tuple(snag_views(snags)),
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
