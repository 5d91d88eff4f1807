"""A work list as terminal text."""

from collections.abc import Iterator

from lineage.reports import said
from lineage.reports.text.layout import bulleted, heading, safe, table, wrapped
from lineage.reports.views.todo import LimitsView, Todo, TodoView


def todo_text(view: Todo) -> str:
    """The whole work list."""
    blocks = [f"{heading(f'{view.design}: to do')}\n{wrapped(f'from {view.before} to {view.after}')}"]
    todo = view.todo
    if not any((todo.cut, todo.print, todo.buy, todo.screws, todo.rework)):
        blocks.append("Nothing to cut, buy or rework.")
    blocks += work_blocks(todo)
    if view.limits is not None:
        blocks.append(f"{heading(f'Limits at {safe(view.limits.event)}')}\n{bulleted(_limits(view.limits))}")
    if view.inspect:
        blocks.append(f"{heading('To be inspected')}\n{bulleted(safe(text) for text in view.inspect)}")
    if view.next:
        blocks.append(f"{heading('Meant next')}\n{bulleted(safe(text) for text in view.next)}")
    if view.cautions:
        blocks.append(f"{heading('Cautions')}\n{bulleted(view.cautions)}")
    return "\n\n".join(blocks) + "\n"


def _limits(limits: LimitsView) -> Iterator[str]:
    if limits.limit_g is not None:
        margin = "" if limits.margin_g is None else f", margin {said.grams(limits.margin_g)}"
        yield f"class {limits.class_}: at most {said.grams_alone(limits.limit_g)}{margin}"
    else:
        yield "weight: the design has no class"
    if limits.size is not None:
        fits = {True: "fits", False: "TOO LARGE", None: "whether it fits is not known"}[limits.size_ok]
        yield f"size {safe(limits.size)}: {fits}"
    if limits.floor is not None:
        yield f"floor: {safe(limits.floor)}"


def work_blocks(todo: TodoView) -> Iterator[str]:
    """Cut, print, stock, buy, screws, rework, keep and scrap; what is empty is left out."""
    named = (
        ("Cut", table(["piece", "drawing", "stock", "count"],
                      [[c.ref, c.drawing or "", c.stock, str(c.count)] for c in todo.cut], "lwlr")),
        ("Print", table(["piece", "count", "note"],
                        [[p.ref, str(p.count), safe(p.note or "")] for p in todo.print], "lrw")),
        ("Stock", table(["stock", "area", "cut length", "sheets or bars"],
                        [[s.name, _area(s.area_mm2), _length(s.cut_length_mm or s.length_mm), _pieces(s.sheets, s.bars)]
                         for s in todo.stock], "lrrr")),
        ("Buy", table(["item", "count", "cost"],
                      [[safe(b.item), str(b.count), b.cost or ""] for b in todo.buy], "wrr")),
        ("Screws", table(["type", "count"], [[safe(s.type), str(s.count)] for s in todo.screws], "lr")),
        ("Rework", table(["on", "do", "takes"],
                         [[r.ref, safe(r.do), said.duration(r.takes_s)] for r in todo.rework], "lwr")),
        ("Keep", wrapped(", ".join(todo.keep)) if todo.keep else ""),
        ("Scrap", wrapped(", ".join(todo.scrap)) if todo.scrap else ""),
        ("Cost", ", ".join(f"{cost:.2f} {currency}" for currency, cost in todo.cost_by_currency.items())),
    )  # fmt: skip
    return (f"{heading(name)}\n{body}" for name, body in named if body)


def _area(area: float | None) -> str:
    return "" if area is None else f"{area / 100:.0f} cm2"


def _length(length: float | None) -> str:
    return "" if length is None else f"{length:.0f} mm"


def _pieces(sheets: int | None, bars: int | None) -> str:
    count = sheets if sheets is not None else bars
    return said.NOT_KNOWN if count is None else str(count)
