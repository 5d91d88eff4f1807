"""The family as a whole: who grew from whom, who shares what and lags, what kinds of change came to."""

from collections import defaultdict
from collections.abc import Iterator, Mapping

from lineage.drawings.moments import Measures
from lineage.figures.contents import measure_key
from lineage.problems import BadInput
from lineage.reports.views import family as views
from lineage.reports.views.compare import LagView
from lineage.spec.assembly import Thing
from lineage.spec.records import BuildRef
from lineage.tasks.drawings import drawn_in, measures_of
from lineage.tasks.grown import beside, grew_from
from lineage.tasks.history import now_text
from lineage.tasks.judging import judge_of
from lineage.tasks.lesson_states import LessonJudge
from lineage.tasks.moving_on import lagging
from lineage.tasks.snags import snag_kinds
from lineage.tasks.states import Asker, State
from lineage.tasks.tally import tally
from lineage.tasks.workspace import NOW


def family(asker: Asker) -> views.FamilyView:
    """Everything about a family at once."""
    workspace = asker.workspace
    states = LessonJudge(judge_of(workspace))
    found = [states.view(lesson) for lesson in workspace.lessons.values()]
    return views.FamilyView(
        title=workspace.family.title,
        designs=tuple(_design(asker, name) for name in workspace.designs),
        uses=tuple(_uses(asker)),
        tally=tuple(tally(asker)),
        lessons=tuple(views.LessonStateView(name=v.lesson, state=v.state, lesson=v.title) for v in found),
        stock=tuple(_stock(asker)),
        events=tuple(workspace.events),
        behind=tuple(_behind(asker)),
        snags=snag_kinds(workspace),
    )


def _latest(asker: Asker, design: str) -> State | None:
    """The working files where there are any that can be read, drawings and all, else the last build."""
    if asker.workspace.designs[design]:
        try:
            drawn_in(asker.workspace, asker.workspace.assembly(BuildRef(design, NOW)))
        except BadInput:
            pass
        else:
            return State(asker.amounts, BuildRef(design, NOW))
    last = asker.workspace.last(design)
    return None if last is None else State(asker.amounts, last)


def _design(asker: Asker, name: str) -> views.DesignView:
    workspace = asker.workspace
    state = _latest(asker, name)
    design = state.spec.design if state is not None else None
    records = [workspace.record_of(BuildRef(name, label)) for label in workspace.labels(name)]
    return views.DesignView(
        name=name,
        kind=workspace.kind(name),
        class_=None if design is None else design.class_,
        state=None if design is None else design.state,
        from_=str(design.from_) if design is not None and design.from_ is not None else None,
        builds=tuple(
            views.BuildView(
                label=r.label,
                on=str(r.on),
                before=r.before,
                uses=tuple(r.uses),
                beside=beside(workspace, BuildRef(name, r.label)),
            )
            for r in records
        ),
        now=now_text(asker, name),
        title=None if design is None else design.title,
        next=() if design is None else design.next,
        events={
            event.name: event.entries[name].build
            for event in workspace.events.values()
            if name in event.entries
        },
        grew=None if design is None else grew_from(workspace, design),
    )


def _uses(asker: Asker) -> Iterator[views.UseView]:
    """Every first-level use of a module in the latest state of every design."""
    workspace = asker.workspace
    for name in workspace.designs:
        state = _latest(asker, name)
        if state is None:
            continue
        for thing in state.assembly.places:
            if thing.place:
                continue
            use = thing.use.use
            labels = workspace.labels(use.design)
            lags = len(labels) - 1 - labels.index(use.label) if use.label in labels else 0
            yield views.UseView(design=name, place=thing.ref, module=use.design, label=use.label, lags=lags)


def _behind(asker: Asker) -> Iterator[LagView]:
    """Designs whose latest state has an older build of a module, and by which of its builds."""
    for name in asker.workspace.designs:
        state = _latest(asker, name)
        if state is not None:
            yield from lagging(state)


def _stock(asker: Asker) -> Iterator[views.SheetView]:
    """Area of sheet by material and thickness over the latest state of every design's own plates."""
    areas: dict[tuple[str, float | None], float] = defaultdict(float)
    designs: dict[tuple[str, float | None], dict[str, None]] = defaultdict(dict)
    for name in asker.workspace.designs:
        state = _latest(asker, name)
        if state is None:
            continue
        measures = measures_of(state.workspace, state.assembly)
        for thing in state.assembly.parts:
            area = None if thing.place else _area(thing, measures)
            if area is None or thing.stock is None:
                continue
            stock = thing.stock.stock
            key = (stock.material, None if stock.thickness is None else stock.thickness.value)
            areas[key] += area * thing.part.count
            designs[key][name] = None
    for (material, thickness), area in sorted(
        areas.items(), key=lambda item: (item[0][0], item[0][1] or 0.0)
    ):
        yield views.SheetView(
            material=material,
            thickness_mm=thickness,
            area_mm2=area,
            designs=tuple(designs[material, thickness]),
        )


def _area(thing: Thing, measures: Mapping[str, Measures]) -> float | None:
    if thing.part.area is not None:
        return thing.part.area.centred
    key = measure_key(thing)
    found = measures.get(key) if key is not None else None
    return None if found is None else found.area_mm2
