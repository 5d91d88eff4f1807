"""What `todo` answers: what to cut, print, buy, rework, keep and scrap between two builds."""

from collections.abc import Mapping
from typing import ClassVar

from msgspec import Struct

from lineage.reports.views.figures import ValueU


class CutView(Struct, frozen=True, kw_only=True):
    """Pieces to cut."""

    ref: str
    drawing: str | None
    stock: str
    count: int


class PrintView(Struct, frozen=True, kw_only=True):
    """Pieces to print."""

    ref: str
    count: int
    note: str | None


class StockView(Struct, frozen=True, kw_only=True):
    """How much of a stock the pieces take."""

    name: str
    area_mm2: float | None
    length_mm: float | None
    sheets: int | None
    bars: int | None
    cut_length_mm: float | None


class BuyView(Struct, frozen=True, kw_only=True):
    """Items to buy; `cost` as text with its currency."""

    item: str
    count: int
    cost: str | None


class ScrewsView(Struct, frozen=True, kw_only=True):
    """Screws to have."""

    type: str
    count: int


class ReworkView(Struct, frozen=True, kw_only=True):
    """Rework to do on a part."""

    ref: str
    do: str
    takes_s: float | None


class TodoView(Struct, frozen=True, kw_only=True):
    """The work from one state to another."""

    cut: tuple[CutView, ...]
    print: tuple[PrintView, ...]
    stock: tuple[StockView, ...]
    buy: tuple[BuyView, ...]
    screws: tuple[ScrewsView, ...]
    rework: tuple[ReworkView, ...]
    keep: tuple[str, ...]
    scrap: tuple[str, ...]
    cost_by_currency: Mapping[str, float]


class LimitsView(Struct, frozen=True, kw_only=True, rename={"class_": "class"}):
    """What a design has to keep to at an event; `size` and `floor` as typed, sizes of class and event both."""

    event: str
    class_: str | None
    limit_g: float | None
    margin_g: ValueU | None
    size: str | None
    size_ok: bool | None
    floor: str | None


class Todo(Struct, frozen=True, kw_only=True):
    """The work list of one design; in its answer the keys of `todo` stand among its own."""

    FLATTENED: ClassVar[tuple[str, ...]] = ("todo",)

    format: int = 1
    design: str
    todo: TodoView
    next: tuple[str, ...]
    before: str
    after: str
    inspect: tuple[str, ...] = ()
    limits: LimitsView | None = None
    cautions: tuple[str, ...] = ()
