"""A robot's box as a page."""

from collections.abc import Sequence

from lineage.reports import said
from lineage.reports.pages.methods import METHODS
from lineage.reports.pages.records import Line, Page, Section, Verdict, filled, tables
from lineage.reports.pages.tables import Head, Table, table
from lineage.reports.views.lessons import PackView
from lineage.reports.views.spares import Spares


def spares_page(view: Spares) -> Page:
    """What to pack, with boxes to tick."""
    return Page(
        kind="Spares",
        title=f"{view.design}: to pack",
        block=(
            Line(name="robot", said=view.design),
            Line(name="for", said=said.whole(view.bouts, "bout")),
        ),
        verdict=_verdict(view),
        answers=(),
        cautions=view.cautions,
        sections=filled(
            Section(
                title="The box",
                name="box",
                notes=(view.basis,) if view.packing else (),
                tables=tables(packing_table(f"The box of {view.design}", view.packing)),
                method="packing",
            ),
            Section(title="Consumables", name="consumables", tables=tables(_consumables(view))),
        ),
        methods=METHODS,
    )


def _verdict(view: Spares) -> Verdict:
    if not view.packing:
        return Verdict(
            tone="open",
            word="Nothing known to pack",
            said="nothing was ever used, and nothing is said to travel always",
        )
    short = view.chance_box_short
    told = (
        "how likely it is to run short is not known"
        if short is None
        else f"the chance that anything in the box runs short is {said.percent(short)}"
    )
    return Verdict(tone="open", word=said.whole(len(view.packing), "item"), said=told)


def _consumables(view: Spares) -> Table | None:
    rows = [
        [c.what, "" if c.in_it is None else str(c.in_it), str(c.used or ""), ", ".join(c.at)]
        for c in view.consumables
    ]
    heads = [Head("what"), Head("in it", "figure"), Head("used so far", "figure"), Head("at", "ref")]
    return table("What mending eats", heads, rows, ticks=True)


def packing_table(caption: str, packing: Sequence[PackView]) -> Table | None:
    """Items with boxes to tick, how many, how likely they run short, what to do to each before."""
    rows = [
        [
            item.item,
            _quantity(item),
            "always travels"
            if item.always
            else ""
            if item.chance_short is None
            else said.percent(item.chance_short),
            "; ".join(item.rework),
        ]
        for item in packing
    ]
    heads = [Head("item"), Head("pack", "figure"), Head("may run short", "word"), Head("rework before")]
    return table(caption, heads, rows, ticks=True)


def _quantity(item: PackView) -> str:
    if item.quantity is not None:
        return str(item.quantity)
    return "as wanted" if item.always else said.NOT_KNOWN
