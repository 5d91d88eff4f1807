"""Tables for spreadsheets: numbers unrounded in the units of their head, nothing for what is not known."""

import csv
from collections.abc import Iterable, Iterator, Sequence
from io import StringIO

from lineage.reports.views.card import Card
from lineage.reports.views.compare import ChangeView, Compare
from lineage.reports.views.family import DesignView, FamilyView
from lineage.reports.views.history import History, StepView
from lineage.reports.views.lessons import Lessons
from lineage.reports.views.spares import Spares
from lineage.reports.views.todo import Todo, TodoView

Value = str | int | float | bool | None

_FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""A text that begins so is run as a formula by spreadsheets; an apostrophe before it keeps it a text."""


def card_csv(view: Card) -> str:
    """Items of weight, a row each."""
    head = ("ref", "kind", "count", "mass_g", "u_g", "basis")
    rows = (
        (
            item.ref,
            item.kind,
            item.count,
            None if item.mass_g is None else item.mass_g.value,
            None if item.mass_g is None else item.mass_g.u,
            item.basis,
        )
        for item in view.weight.items
    )
    return _written(head, rows)


def compare_csv(view: Compare) -> str:
    """Changes of every pair, a row each."""
    head = ("before", "after", "id", "where", "kind", "from", "to", "text", "described_better", "mass_g", "why",
            "verdict", "failures_before", "bouts_before", "failures_after", "bouts_after")  # fmt: skip
    rows = ((pair.before, pair.after, *_change(change)) for pair in view.pairs for change in pair.changes)
    return _written(head, rows)


def _change(change: ChangeView) -> tuple[Value, ...]:
    why = "; ".join(note.why for note in change.notes if note.why)
    return (
        change.id,
        change.where,
        change.kind,
        change.from_,
        change.to,
        change.text,
        change.described_better,
        change.effect.mass_g,
        why or None,
        change.verdict,
        *_counts(change),
    )


def _counts(change: ChangeView) -> tuple[Value, ...]:
    for evidence in change.evidence:
        if evidence.counting is not None:
            before, after = evidence.before or {}, evidence.after or {}
            return (
                before.get("failures"),
                before.get("exposure"),
                after.get("failures"),
                after.get("exposure"),
            )
    return (None, None, None, None)


def lessons_csv(view: Lessons) -> str:
    """What broke at an event, a row each, what cost most first."""
    head = ("rank", "robot", "at", "mode", "severity", "count", "cost_s", "cost_bout", "seen_before")
    rows = (
        (b.rank, b.robot, b.at, b.mode, b.severity, b.count, b.cost_s, b.cost_bout, b.seen_before)
        for b in view.broke
    )
    return _written(head, rows)


def todo_csv(view: Todo) -> str:
    """The work list, a row for each line of work."""
    return _written(("do", "what", "count", "from", "note", "takes_s", "cost"), _work(view.todo))


def _work(todo: TodoView) -> Iterator[tuple[Value, ...]]:
    yield from (("cut", c.ref, c.count, c.stock, c.drawing, None, None) for c in todo.cut)
    yield from (("print", p.ref, p.count, None, p.note, None, None) for p in todo.print)
    for stock in todo.stock:
        pieces = stock.sheets if stock.sheets is not None else stock.bars
        form = "sheets" if stock.sheets is not None else "bars" if stock.bars is not None else None
        yield "stock", stock.name, pieces, None, form, None, None
    yield from (("buy", b.item, b.count, None, None, None, b.cost) for b in todo.buy)
    yield from (("screws", s.type, s.count, None, None, None, None) for s in todo.screws)
    yield from (("rework", r.ref, None, None, r.do, r.takes_s, None) for r in todo.rework)
    yield from (("keep", ref, None, None, None, None, None) for ref in todo.keep)
    yield from (("scrap", ref, None, None, None, None, None) for ref in todo.scrap)


def history_csv(view: History) -> str:
    """Figures of the builds of a design, a row each."""
    head = ("build", "recorded", "before", "mass_g", "weighed_g", "slowest_way_s", "least_gap_mm",
            "share_of_bouts_failed", "bouts", "changes", "snags", "why")  # fmt: skip
    return _written(head, (_build(step) for step in view.steps))


def _build(step: StepView) -> tuple[Value, ...]:
    figures = step.figures
    return (
        step.label,
        step.on,
        step.before,
        figures.mass_g,
        figures.weighed_g,
        figures.slowest_way_s,
        figures.least_gap_mm,
        figures.share_of_bouts_failed,
        figures.bouts,
        sum(not change.described_better for change in step.changes),
        sum(snag.count for snag in step.snags),
        "; ".join(step.why) or None,
    )


def family_csv(view: FamilyView) -> str:
    """The calendar: a row for each build of each design, with the events it went to."""
    head = ("design", "kind", "class", "is", "grew_from", "build", "recorded", "before", "modules", "events")
    return _written(head, (row for design in view.designs for row in _builds(design)))


def _builds(design: DesignView) -> Iterator[tuple[Value, ...]]:
    own = (design.name, design.kind, design.class_, design.state, design.from_)
    for build in design.builds:
        went = [event for event, label in design.events.items() if label == build.label]
        yield (*own, build.label, build.on, build.before, "; ".join(build.uses), "; ".join(went))
    if not design.builds:
        yield (*own, None, None, None, None, None)


def spares_csv(view: Spares) -> str:
    """A robot's box, an item a row."""
    head = ("item", "ref", "quantity", "chance_short", "always", "rework_before")
    rows = (
        (p.item, p.ref, p.quantity, p.chance_short, p.always, "; ".join(p.rework) or None)
        for p in view.packing
    )
    return _written(head, rows)


def _written(head: Sequence[str], rows: Iterable[Sequence[Value]]) -> str:
    """Lines as RFC 4180 has them."""
    out = StringIO()
    writer = csv.writer(out)
    writer.writerow(head)
    writer.writerows([_cell(value) for value in row] for row in rows)
    return out.getvalue()


def _cell(value: Value) -> Value:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str) and value.startswith(_FORMULA):
        return f"'{value}"
    return value
