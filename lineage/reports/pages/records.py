"""What a page is before it is drawn: an answer first, then numbered sections, each with its method."""

from collections.abc import Mapping
from typing import Literal

from msgspec import Struct

from lineage.reports.charts.bays import BayPicture
from lineage.reports.charts.family_lines import Lanes
from lineage.reports.charts.over_builds import Panel
from lineage.reports.charts.pictures import Picture
from lineage.reports.charts.plates import Overlay, PlatePicture
from lineage.reports.charts.sketches import SketchPicture
from lineage.reports.pages.tables import Table

Tone = Literal["good", "bad", "open"]
"""How an answer is marked beside its words: by the pattern of the bar before it, and its colour."""


class Line(Struct, frozen=True, kw_only=True):
    """A name and its figure with a leader between them; `to` is what the name leads to, see Linked."""

    name: str
    said: str
    tone: Tone | None = None
    to: str = ""


class Verdict(Struct, frozen=True, kw_only=True):
    """The answer of a page: a word, a sentence, and what to do."""

    tone: Tone
    word: str
    said: str
    do: tuple[str, ...] = ()


class Step(Struct, frozen=True, kw_only=True):
    """One rung of a removal ladder."""

    do: str
    refs: tuple[str, ...] = ()


class Ladder(Struct, frozen=True, kw_only=True):
    """What comes off, in order, to take one thing off."""

    ref: str
    said: str
    steps: tuple[Step, ...]


class Evidence(Struct, frozen=True, kw_only=True):
    """A sentence to repeat, its verdict, and the figures behind it."""

    of: str
    verdict: str
    tone: Tone
    said: str
    lines: tuple[Line, ...]
    strata: Table | None = None


class ChangeEntry(Struct, frozen=True, kw_only=True):
    """One change as a page lists it; `number` is its mark."""

    number: int
    name: str
    text: str
    kind: str
    verdict: str | None
    tone: Tone
    effects: tuple[Line, ...]
    whys: tuple[str, ...]
    expected: tuple[Line, ...]
    evidence: tuple[Evidence, ...]


class Fold(Struct, frozen=True, kw_only=True):
    """Working that is one click away."""

    title: str
    tables: tuple[Table, ...] = ()
    pictures: tuple[Picture, ...] = ()
    changes: tuple[ChangeEntry, ...] = ()


class Section(Struct, frozen=True, kw_only=True):
    """A numbered part of a page; what is empty is not drawn."""

    title: str
    name: str
    lines: tuple[Line, ...] = ()
    notes: tuple[str, ...] = ()
    items: tuple[str, ...] = ()
    order: bool = False
    tables: tuple[Table, ...] = ()
    pictures: tuple[Picture, ...] = ()
    panels: tuple[Panel, ...] = ()
    lanes: tuple[Lanes, ...] = ()
    plates: tuple[PlatePicture | Overlay | SketchPicture, ...] = ()
    bays: tuple[BayPicture, ...] = ()
    ladders: tuple[Ladder, ...] = ()
    ladders_in_pairs: bool = False  # each before, then after
    changes: tuple[ChangeEntry, ...] = ()
    folds: tuple[Fold, ...] = ()
    method: str | None = None

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to draw."""
        return not any((self.lines, self.notes, self.items, self.tables, self.pictures, self.panels,
                        self.lanes, self.plates, self.bays, self.ladders, self.changes, self.folds))  # fmt: skip


class Page(Struct, frozen=True, kw_only=True):
    """A whole page."""

    kind: str
    title: str
    block: tuple[Line, ...]
    verdict: Verdict
    answers: tuple[Line, ...]
    cautions: tuple[str, ...]
    sections: tuple[Section, ...]
    methods: Mapping[str, str]


def tables(*made: Table | None) -> tuple[Table, ...]:
    """Those that have rows."""
    return tuple(table for table in made if table is not None)


def fold(title: str, *made: Table | None, drawn: tuple[Picture, ...] = ()) -> tuple[Fold, ...]:
    """One fold, none where it would be empty."""
    found = tables(*made)
    return (Fold(title=title, tables=found, pictures=drawn),) if found or drawn else ()


def pictures(*drawn: Picture | None) -> tuple[Picture, ...]:
    """Those that show something."""
    return tuple(picture for picture in drawn if picture is not None)


def filled(*sections: Section) -> tuple[Section, ...]:
    """Those that are not empty."""
    return tuple(section for section in sections if not section.is_empty)
