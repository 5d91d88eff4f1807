"""A work list as a page."""

from collections.abc import Iterator

from lineage.reports import said
from lineage.reports.pages.methods import METHODS
from lineage.reports.pages.records import Line, Page, Section, Verdict, filled, tables
from lineage.reports.pages.tables import Head, Table, table
from lineage.reports.views.todo import Todo, TodoView


def todo_page(view: Todo) -> Page:
    """What to make, buy and rework, then what stays and what goes."""
    todo = view.todo
    return Page(
        kind="Work list",
        title=f"{view.design}: to do",
        block=(
            Line(name="design", said=view.design),
            Line(name="from", said=view.before),
            Line(name="to", said=view.after),
        ),
        verdict=_verdict(todo),
        answers=tuple(_answers(todo)),
        cautions=view.cautions,
        sections=filled(
            *work_sections(todo),
            Section(title="To be inspected", name="inspect", items=view.inspect),
            Section(title="Meant next", name="next", items=view.next),
        ),
        methods=METHODS,
    )


def _verdict(todo: TodoView) -> Verdict:
    if not _work(todo):
        return Verdict(tone="good", word="Nothing to cut, buy or rework", said="")
    return Verdict(tone="open", word="To do", said=", ".join(_work(todo)))


def _work(todo: TodoView) -> list[str]:
    counted = (
        (sum(c.count for c in todo.cut), "piece to cut", "pieces to cut"),
        (sum(p.count for p in todo.print), "piece to print", "pieces to print"),
        (sum(b.count for b in todo.buy), "item to buy", "items to buy"),
        (sum(s.count for s in todo.screws), "screw", "screws"),
        (len(todo.rework), "rework", "reworks"),
    )
    return [said.whole(count, word, many) for count, word, many in counted if count]


def _answers(todo: TodoView) -> Iterator[Line]:
    takes = [r.takes_s for r in todo.rework]
    if takes and None not in takes:
        yield Line(name="rework takes", said=said.duration(sum(t for t in takes if t is not None)))
    yield from _cost(todo)


def _cost(todo: TodoView) -> Iterator[Line]:
    for currency, cost in todo.cost_by_currency.items():
        yield Line(name="cost of what has a price", said=said.money(cost, currency))


def work_sections(todo: TodoView) -> tuple[Section, ...]:
    """Cut, print, buy, screws, rework, keep and scrap; what is empty is left out."""
    return filled(
        Section(title="Cut", name="cut", tables=tables(_cut(todo), _stock(todo)), method="todo"),
        Section(title="Print", name="print", tables=tables(_print(todo))),
        Section(title="Buy", name="buy", tables=tables(_buy(todo), _screws(todo)), lines=tuple(_cost(todo))),
        Section(title="Rework", name="rework", tables=tables(_rework(todo))),
        Section(title="Keep", name="keep", items=todo.keep),
        Section(title="Scrap", name="scrap", items=todo.scrap),
    )


def _cut(todo: TodoView) -> Table | None:
    rows = [[c.ref, str(c.count), c.stock, c.drawing or ""] for c in todo.cut]
    heads = [Head("piece", "ref"), Head("count", "figure"), Head("stock"), Head("drawing", "ref")]
    return table("Pieces", heads, rows, ticks=True)


def _stock(todo: TodoView) -> Table | None:
    rows = [
        [
            s.name,
            "" if s.area_mm2 is None else said.square_cm(s.area_mm2),
            said.cut_length(s.cut_length_mm or s.length_mm),
            said.NOT_KNOWN
            if (s.sheets if s.sheets is not None else s.bars) is None
            else _pieces(s.sheets, s.bars),
        ]
        for s in todo.stock
    ]
    heads = [Head("stock"), Head("area", "figure", "cm2"), Head("cut length", "figure", "mm"),
             Head("sheets or bars", "figure")]  # fmt: skip
    return table("Stock", heads, rows)


def _pieces(sheets: int | None, bars: int | None) -> str:
    return str(sheets if sheets is not None else bars)


def _print(todo: TodoView) -> Table | None:
    rows = [[p.ref, str(p.count), p.note or ""] for p in todo.print]
    return table(
        "Pieces to print", [Head("piece", "ref"), Head("count", "figure"), Head("note")], rows, ticks=True
    )


def _buy(todo: TodoView) -> Table | None:
    rows = [[b.item, str(b.count), b.cost or ""] for b in todo.buy]
    return table("Items", [Head("item"), Head("count", "figure"), Head("cost", "word")], rows, ticks=True)


def _screws(todo: TodoView) -> Table | None:
    rows = [[s.type, str(s.count)] for s in todo.screws]
    return table("Screws", [Head("type"), Head("count", "figure")], rows, ticks=True)


def _rework(todo: TodoView) -> Table | None:
    rows = [[r.ref, r.do, said.duration(r.takes_s)] for r in todo.rework]
    return table("Rework", [Head("on", "ref"), Head("do"), Head("takes", "word")], rows, ticks=True)
