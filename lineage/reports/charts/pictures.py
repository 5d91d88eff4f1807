"""Pictures made of rows: a label and a figure on one line, the mark under them, one axis below all.

Rows instead of columns keep every picture as narrow as a telephone, and put each label on its mark.
"""

from collections.abc import Sequence
from typing import Literal

from msgspec import Struct

from lineage.reports.charts.scales import Scale, Tick

WIDTH = 360.0
LEFT, RIGHT = 6.0, 354.0
INNER = 288.0
"""Right end of the marks where lines run down through all rows: figures stand beyond it."""
PITCH = 36.0
LETTER = 6.7  # about the mean width of a letter, in the units of the picture, at the size of its labels

Fill = Literal["solid", "hatch", "dots", "open"]


class Bar(Struct, frozen=True, kw_only=True):
    """From one place to another."""

    kind: Literal["bar"] = "bar"
    x: float
    width: float
    fill: Fill = "solid"


class Span(Struct, frozen=True, kw_only=True):
    """From a lower to an upper limit, with the value between; an open end goes on beyond the axis."""

    kind: Literal["span"] = "span"
    low: float
    high: float
    at: float | None = None
    low_open: bool = False
    high_open: bool = False
    sign: Literal["square", "ring", "none"] = "square"


class Arrow(Struct, frozen=True, kw_only=True):
    """A length laid off in one direction."""

    kind: Literal["arrow"] = "arrow"
    start: float
    end: float


class Dot(Struct, frozen=True, kw_only=True):
    """One measured value."""

    at: float
    kind: Literal["dot"] = "dot"


Mark = Bar | Span | Arrow | Dot


class Row(Struct, frozen=True, kw_only=True):
    """One row; `full` is the whole label where it had to be shortened.

    `link` is where a fine line runs down from its mark to that of the next row.
    """

    label: str
    figure: str
    marks: tuple[Mark, ...]
    full: str
    strong: bool = False
    link: float | None = None


class Upright(Struct, frozen=True, kw_only=True):
    """A line down through all rows, with its name on top."""

    at: float
    label: str
    kind: Literal["limit", "nothing"]
    anchor: Literal["start", "middle", "end"]


class Picture(Struct, frozen=True, kw_only=True):
    """A picture of rows; `said` is what it shows, in a sentence."""

    name: str
    title: str
    said: str
    rows: tuple[Row, ...]
    uprights: tuple[Upright, ...]
    ticks: tuple[Tick, ...]
    unit: str
    left_word: str = ""
    right_word: str = ""
    width: float = WIDTH
    pitch: float = PITCH

    @property
    def top(self) -> float:
        """Where the first row begins."""
        return 22.0 if self.uprights else 4.0

    @property
    def bottom(self) -> float:
        """Where the axis lies."""
        return self.top + self.pitch * len(self.rows) + 4

    @property
    def height(self) -> float:
        """Height of the whole picture."""
        return self.bottom + (42 if self.left_word or self.right_word else 28)


def row(label: str, figure: str, *marks: Mark, strong: bool = False, link: float | None = None) -> Row:
    """A row whose label leaves room for its figure."""
    room = int((RIGHT - LEFT - 10) / LETTER) - len(figure)
    return Row(label=shortened(label, room), figure=figure, marks=marks, full=label, strong=strong, link=link)


def shortened(text: str, letters: int) -> str:
    """A text of at most so many letters, its middle left out where it is longer: its end tells things apart."""
    if len(text) <= letters:
        return text
    tail = max(1, (letters - 1) // 2)
    return f"{text[: letters - 1 - tail].rstrip()}…{text[-tail:].lstrip()}"


def bar(scale: Scale, start: float, end: float, fill: Fill = "solid") -> Bar:
    """A bar between two numbers; one that is too short to see is a hair wide."""
    low, high = sorted((scale.at(start), scale.at(end)))
    return Bar(x=low, width=round(max(high - low, 0.8), 1), fill=fill)


def upright(scale: Scale, value: float, label: str, kind: Literal["limit", "nothing"]) -> Upright:
    """A line at a number, its name on the side where there is room."""
    at = scale.at(value)
    reach = len(label) * LETTER / 2
    anchor: Literal["start", "middle", "end"] = "middle"
    if at + reach > RIGHT:
        anchor = "end"
    elif at - reach < LEFT:
        anchor = "start"
    return Upright(at=at, label=label, kind=kind, anchor=anchor)


def sentence(items: Sequence[str]) -> str:
    """Items as one sentence for those who cannot see the picture."""
    return "; ".join(items) + "."
