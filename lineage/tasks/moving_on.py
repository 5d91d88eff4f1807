"""Who has an older build of a module, and what moving on to a newer one would bring, build by build."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from lineage.figures.fits import FitFigure
from lineage.figures.kinship import SharedModule, shared_modules
from lineage.problems import AskedWrongly, BadInput
from lineage.reports.views import compare as views
from lineage.spec.records import BuildRef
from lineage.tasks.chain import line_to
from lineage.tasks.differing import step_between
from lineage.tasks.judging import judge_of
from lineage.tasks.pairs import evidence_view, pair
from lineage.tasks.states import State
from lineage.tasks.what_if import with_places_moved_on
from lineage.tasks.workspace import NOW, Workspace


def behind(states: Sequence[State]) -> tuple[views.LagView, ...]:
    """For every module that the states share, each that has an older build than another of them."""
    labels_of = states[0].workspace.labels
    found = []
    for module in shared_modules([state.assembly for state in states], labels_of):
        newest = _newest(module, labels_of(module.name))
        seen = set[str]()
        for at in module.lags:
            if str(states[at]) not in seen:
                seen.add(str(states[at]))
                found.append(_lag(states[at], module.name, module.labels[at] or "", newest))
    return tuple(found)


def lagging(state: State) -> Iterator[views.LagView]:
    """The modules of a design's own places of which there are newer builds, up to the newest that there is."""
    workspace = state.workspace
    used: dict[BuildRef, list[str]] = {}
    for place in state.assembly.places:
        if not place.place:
            used.setdefault(place.use.use, []).append(place.ref)
    for use, places in used.items():
        labels = workspace.labels(use.design)
        if use.label in labels and use.label != labels[-1]:
            yield views.LagView(
                design=str(state),
                module=use.design,
                places=tuple(places),
                label=use.label,
                newest=labels[-1],
                steps=tuple(steps_ahead(state, use.design, use.label, labels[-1])),
            )


def _newest(module: SharedModule, order: Sequence[str]) -> str:
    """The newest recorded build that one of the designs has."""
    known = [label for label in module.labels if label is not None and label in order]
    return max(known, key=order.index) if known else NOW


def _lag(state: State, module: str, label: str, newest: str) -> views.LagView:
    places = tuple(place.ref for place in state.assembly.places if place.use.use == BuildRef(module, label))
    lag = views.LagView(
        design=str(state),
        module=module,
        places=places,
        label=label,
        newest=newest,
        steps=tuple(steps_ahead(state, module, label, newest)),
    )
    own = tuple(ref for ref in places if "." not in ref)
    return lag if not own or newest == NOW else _with_effects(lag, state, own, BuildRef(module, newest))


def steps_ahead(state: State, module: str, label: str, newest: str) -> Iterator[views.ModuleStepView]:
    """The builds of a module after one up to another, each against the one before, with its evidence.

    A build that cannot be read is left out: `check` tells of it. Where neither comes from the other it is one step.
    """
    workspace = state.amounts.workspace
    for before, after in _line(workspace, module, label, newest):
        try:
            yield _step(state, BuildRef(module, before), BuildRef(module, after))
        except (AskedWrongly, BadInput):
            continue


def _line(workspace: Workspace, module: str, label: str, newest: str) -> list[tuple[str, str]]:
    if newest == NOW or newest not in workspace.labels(module):
        return [(label, newest)]
    line = line_to(workspace, module, newest)
    if label not in line:
        return [(label, newest)]
    line = line[line.index(label) :]
    return list(pairwise(line))


def _step(state: State, before: BuildRef, after: BuildRef) -> views.ModuleStepView:
    found = pair(State(state.amounts, before), State(state.amounts, after))
    evidence = judge_of(state.amounts.workspace).of_module_step(before, after)
    whole = found.totals.mass_g.change if not found.missing_mass else None
    return views.ModuleStepView(
        before=before.label,
        after=after.label,
        why=tuple(dict.fromkeys(note.why for change in found.changes for note in change.notes if note.why)),
        mass_g=whole,
        changes=found.changes,
        evidence=None if evidence is None else evidence_view(evidence),
    )


def _with_effects(lag: views.LagView, state: State, own: tuple[str, ...], newest: BuildRef) -> views.LagView:
    """What the design itself would be with its own places moved on; nothing is written."""
    try:
        moved = with_places_moved_on(state, own, newest)
        step = step_between(state, moved)
    except (AskedWrongly, BadInput):
        return lag
    fits = moved.amounts.fits(moved.ref, moved.choices)
    gaps = {
        name: views.Totals(before=gap.before, after=gap.after, change=gap.after - gap.before)
        for name, gap in step.gaps.items()
        if gap.before is not None and gap.after is not None and gap.before != gap.after
    }
    return views.LagView(
        **{
            **{name: getattr(lag, name) for name in lag.__struct_fields__},
            "mass_g": None if step.mass.missing else step.mass.after_g - step.mass.before_g,
            "gaps_mm": gaps,
            "misses": tuple(name for name in gaps if _is_missed(fits[name])),
        }
    )


def _is_missed(fit: FitFigure) -> bool:
    low, high = fit.need_mm
    gap = fit.nominal_mm
    return gap is not None and ((low is not None and gap < low) or (high is not None and gap > high))
