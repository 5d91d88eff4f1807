"""Tables as pages set them: units in the head, figures aligned on the decimal point, ± in a column of its own."""

import re
from collections.abc import Sequence
from typing import Literal

from msgspec import Struct

Kind = Literal["text", "ref", "figure", "word"]

_FIGURE = re.compile(
    r"(?P<whole>[+-]?\d+)(?P<fraction>\.\d+)?(?:,? ± (?:(?P<about>\d+)(?P<part>\.\d+)?|(?P<word>not known)))?"
)

NARROW = 3


class Head(Struct, frozen=True):
    """What a column is: its head, its unit, how its cells are set, what its head leads to (see Linked)."""

    text: str
    kind: Kind = "text"
    unit: str = ""
    to: str = ""


class Linked(Struct, frozen=True):
    """A text that leads somewhere: `to` names a state, a design or an event; a site knows which page that is."""

    text: str
    to: str


class Entries(Struct, frozen=True):
    """Several short texts in one cell, a line each; what stands first in it is the one that counts."""

    first: tuple[Linked, ...]
    rest: tuple[Linked, ...] = ()


Content = str | Linked | Entries


class Column(Struct, frozen=True, kw_only=True):
    """A column as drawn; `places` is the most digits behind the point in it."""

    head: str
    kind: Kind
    unit: str = ""
    places: int = 0
    to: str = ""


class Cell(Struct, frozen=True, kw_only=True):
    """One cell; a figure is cut at its decimal point, what is no figure in a column of figures is a word."""

    kind: Kind
    text: str = ""
    whole: str = ""
    fraction: str = ""
    to: str = ""
    entries: Entries | None = None


class Table(Struct, frozen=True, kw_only=True):
    """A table; every row has a cell for every column, the first is the row's name.

    `ticks` sets a box to tick before each row.
    """

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    ticks: bool = False

    @property
    def is_narrow(self) -> bool:
        """Whether it fits into half a sheet."""
        return len(self.columns) <= NARROW


def table(
    caption: str, heads: Sequence[Head], rows: Sequence[Sequence[Content]], *, ticks: bool = False
) -> Table | None:
    """A table from texts as they are said (`12.3 g`, `1352 ± 4 g`); None without rows.

    Columns without a text in any row are left out, the first one excepted.
    """
    if not rows:
        return None
    columns: list[Column] = []
    cells: list[list[Cell]] = []
    for at, head in enumerate(heads):
        contents = [row[at] for row in rows]
        if at and not any(_is_said(content) for content in contents):
            continue
        for column, of_column in _columns(head, contents):
            columns.append(column)
            cells.append(of_column)
    return Table(caption=caption, columns=tuple(columns), rows=tuple(zip(*cells, strict=True)), ticks=ticks)


def _is_said(content: Content) -> bool:
    if isinstance(content, Entries):
        return bool(content.first or content.rest)
    return bool(_text(content))


def _text(content: Content) -> str:
    assert not isinstance(content, Entries)
    return content.text if isinstance(content, Linked) else content


def _cell(kind: Kind, content: Content) -> Cell:
    if isinstance(content, Entries):
        return Cell(kind=kind, entries=content)
    return Cell(kind=kind, text=_text(content), to=content.to if isinstance(content, Linked) else "")


def _columns(head: Head, contents: Sequence[Content]) -> list[tuple[Column, list[Cell]]]:
    if head.kind != "figure":
        cells = [_cell(head.kind, content) for content in contents]
        return [(Column(head=head.text, kind=head.kind, unit=head.unit, to=head.to), cells)]
    texts = [_text(content) for content in contents]
    found = [_FIGURE.fullmatch(_without(text, head.unit)) for text in texts]
    figures = [
        Cell(kind="word", text=text)
        if match is None
        else Cell(kind="figure", whole=match["whole"], fraction=match["fraction"] or "")
        for text, match in zip(texts, found, strict=True)
    ]
    made = [(_figure_column(head.text, head.unit, figures), figures)]
    if any(match is not None and (match["about"] or match["word"]) for match in found):
        spreads = [_spread(match) for match in found]
        made.append((_figure_column("±", head.unit, spreads), spreads))
    return made


def _without(text: str, unit: str) -> str:
    if unit and text.endswith(f" {unit}"):
        return text[: -len(unit) - 1]
    return text.replace(f" {unit}, ±", ", ±") if unit else text


def _spread(match: re.Match[str] | None) -> Cell:
    if match is None or match["about"] is None:
        return Cell(kind="word", text="" if match is None else match["word"] or "")
    return Cell(kind="figure", whole=match["about"], fraction=match["part"] or "")


def _figure_column(head: str, unit: str, cells: Sequence[Cell]) -> Column:
    places = max((len(cell.fraction) - 1 for cell in cells if cell.fraction), default=0)
    return Column(head=head, kind="figure", unit=unit, places=places)
