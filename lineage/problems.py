"""What is wrong with an input: where, what was found, what is wanted, how to mend it.

LineageError
├── BadInput      files that cannot be used: carries every problem found in them
├── AskedWrongly  a request that cannot be met as asked
└── NotNow        a request that has to wait (a merge under way, no git, no identity)
"""

from collections.abc import Iterable, Sequence
from difflib import get_close_matches
from typing import Literal

from msgspec import Struct

Level = Literal["error", "warning"]


class Place(Struct, frozen=True):
    """A place in a file. Lines and columns count from 1, as editors show them; `end` is the column after."""

    file: str
    line: int
    column: int
    end: int | None = None


class Problem(Struct, frozen=True, kw_only=True):
    """One fault of one input; `source` is its line, shortened when very long, `caret` the column to mark in that."""

    place: Place
    code: str
    what: str
    wanted: str
    mend: str
    level: Level = "error"
    source: str = ""
    caret: int | None = None


class LineageError(Exception):
    """Base of all that this package raises on purpose; `str()` is fit to show."""


class BadInput(LineageError):
    """Files that cannot be used."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(p.what for p in self.problems))


class AskedWrongly(LineageError):
    """A request that cannot be met: what was asked, what is wanted, how to mend it."""

    def __init__(self, what: str, wanted: str = "", mend: str = "") -> None:
        self.what, self.wanted, self.mend = what, wanted, mend
        super().__init__("; ".join(part for part in (what, wanted, mend) if part))


class NotNow(AskedWrongly):
    """A request that would be met at another time."""


def in_order(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Problems by file and place, each once."""
    unique = dict.fromkeys(problems)
    return tuple(sorted(unique, key=lambda p: (p.place.file, p.place.line, p.place.column, p.code)))


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that `word` was probably meant to be."""
    matches = get_close_matches(word, list(known), n=1, cutoff=0.6)
    return matches[0] if matches else None
