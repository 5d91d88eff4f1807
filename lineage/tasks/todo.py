"""The work list: what to cut, print, buy, rework, keep and scrap."""

from collections.abc import Mapping

from lineage.changes.pairing import own_things, pair_builds
from lineage.figures.bill import Bill, everything, work_between
from lineage.problems import AskedWrongly
from lineage.reports.views import todo as views
from lineage.reports.views.cautions import cautions_for, of_all
from lineage.spec.assembly import Spec
from lineage.spec.records import Event, Use
from lineage.tasks.card import card
from lineage.tasks.chain import renames_either_way
from lineage.tasks.differing import Step, step_between
from lineage.tasks.drawings import measures_of
from lineage.tasks.states import Asker, State
from lineage.tasks.workspace import NOW, Workspace


def todo(
    asker: Asker, asked: tuple[str, ...], event: Event | None = None, *, deep: bool = False
) -> views.Todo:
    """The work from one state to another; with one state, from the last build before it."""
    if len(asked) > 2:
        raise AskedWrongly(f"{len(asked)} states", "one or two", "lineage todo ROBOT")
    after = asker.state(asked[-1])
    before = asker.state(asked[0]) if len(asked) == 2 else _before(asker, after)
    step = None if before is None else step_between(before, after)
    return views.Todo(
        design=after.ref.design,
        todo=work(before, after, step, deep=deep),
        next=after.spec.design.next,
        before="nothing" if before is None else str(before),
        after=str(after),
        inspect=_inspect(after, event),
        limits=None if event is None else _limits(after, event),
        cautions=of_all(cautions_for(state.assembly) for state in (before, after) if state is not None),
    )


def work(
    before: State | None, after: State, step: Step | None = None, *, deep: bool = False
) -> views.TodoView:
    """The work from one state to another, from nothing without a first."""
    old = {} if before is None else everything(before.spec, before.workspace.lookup, deep=deep)
    new = everything(after.spec, after.workspace.lookup, deep=deep)
    assemblies = {id(assembly): assembly for assembly, _ in new.values()}.values()
    measures = {key: m for a in assemblies for key, m in measures_of(after.workspace, a).items()}
    if step is None:
        return todo_view(work_between(old, new, measures, {}))
    names = dict(step.pairing.names_before)
    if before is not None and deep:
        names |= _names_inside(after.workspace, before.spec, after.spec, names)
    return todo_view(work_between(old, new, measures, names, step.described_better))


def _names_inside(
    workspace: Workspace, before: Spec, after: Spec, names: Mapping[str, str]
) -> dict[str, str]:
    """Full references inside modules that moved on → those of the same things now, as their builds recorded it."""
    then, now = own_things(before.design), own_things(after.design)
    found: dict[str, str] = {}
    for old_place, old in then.items():
        place = names.get(old_place, old_place)
        new = now.get(place)
        if not isinstance(old, Use) or not isinstance(new, Use) or old.use.design != new.use.design:
            continue
        if old.use != new.use:
            specs = workspace.lookup(old.use), workspace.lookup(new.use)
            recorded = renames_either_way(workspace, new.use.design, old.use.label, new.use.label)
            inner = pair_builds(*specs, recorded).names_before
            inner = {**_names_inside(workspace, *specs, inner), **inner}
            found |= {f"{old_place}.{was}": f"{place}.{name}" for was, name in inner.items()}
    return found


def _before(asker: Asker, after: State) -> State | None:
    """The last build for working files, the build before for a build; None where there is none."""
    design = after.ref.design
    if after.ref.label == NOW:
        last = asker.workspace.last(design)
        return None if last is None else State(asker.amounts, last)
    before = after.workspace.record_of(after.ref).before
    return None if before is None else asker.state(f"{design}@{before}")


def _inspect(state: State, event: Event | None) -> tuple[str, ...]:
    """Inspection points of the class, then of the event."""
    weight_class = state.spec.family.classes.get(state.spec.design.class_ or "")
    of_class = weight_class.inspect if weight_class is not None else ()
    return (*of_class, *(event.inspect if event is not None else ()))


def _limits(state: State, event: Event) -> views.LimitsView:
    """What the event asks of a state, and how far it is from it."""
    shown = card(state, event)
    weight_class = state.spec.family.classes.get(state.spec.design.class_ or "")
    sizes = [
        size.text for size in (weight_class.size if weight_class else None, event.size) if size is not None
    ]
    return views.LimitsView(
        event=event.title,
        class_=None if shown.class_ is None else shown.class_.name,
        limit_g=None if shown.class_ is None else shown.class_.limit_g,
        margin_g=shown.weight.margin_g,
        size=" and ".join(dict.fromkeys(sizes)) or None,
        size_ok=None if shown.class_ is None else shown.class_.size_ok,
        floor=event.floor,
    )


def todo_view(bill: Bill) -> views.TodoView:
    """A bill as an answer."""
    return views.TodoView(
        cut=tuple(
            views.CutView(ref=c.ref, drawing=c.drawing, stock=c.stock, count=c.count) for c in bill.cut
        ),
        print=tuple(views.PrintView(ref=p.ref, count=p.count, note=p.note) for p in bill.print),
        stock=tuple(
            views.StockView(
                name=s.name,
                area_mm2=s.area_mm2,
                length_mm=s.length_mm,
                sheets=s.sheets,
                bars=s.bars,
                cut_length_mm=s.cut_length_mm,
            )
            for s in bill.stock
        ),
        buy=tuple(
            views.BuyView(
                item=b.item, count=b.count, cost=None if b.cost is None else f"{b.cost:.2f} {b.currency}"
            )
            for b in bill.buy
        ),
        screws=tuple(views.ScrewsView(type=kind, count=count) for kind, count in bill.screws.items()),
        rework=tuple(views.ReworkView(ref=r.ref, do=r.do, takes_s=r.takes_s) for r in bill.rework),
        keep=bill.keep,
        scrap=bill.scrap,
        cost_by_currency=bill.cost_by_currency,
    )
