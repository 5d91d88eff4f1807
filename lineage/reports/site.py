"""What makes pages a site: addresses, rows of links around each page, words to search for, and no dead link."""

import re
from collections.abc import Iterator, Mapping, Sequence
from html import unescape
from urllib.parse import quote, unquote

from msgspec import Struct

from lineage.reports.pages.records import Page
from lineage.reports.pages.tables import Cell, Table

MOST_FOUND = 6_000  # letters to search in, a page

_LINK = re.compile(r'href="([^"]*)"')
_NAME = re.compile(r'\sid="([^"]*)"')
_WORD = re.compile(r"[^\s,;:()→·]{2,}")


class Link(Struct, frozen=True, kw_only=True):
    """A link in a row around a page; `is_here` is the page itself."""

    text: str
    href: str
    is_here: bool = False


class Row(Struct, frozen=True, kw_only=True):
    """A row of links under a name."""

    name: str
    links: tuple[Link, ...]


class DeadLinkError(RuntimeError):
    """A page leads to where nothing is: a fault of the program, never of a family."""


def address(name: str) -> str:
    """A file name as a link in the same folder."""
    return quote(name, safe="@")


class Ends(Struct, frozen=True, kw_only=True):
    """What of a page decides about links: where it can be entered, and where it leads to, each once."""

    names: frozenset[str]
    links: tuple[str, ...]


def ends_of(text: str) -> Ends:
    """The ends of a page."""
    links = tuple(dict.fromkeys(map(unescape, _LINK.findall(text))))
    return Ends(names=frozenset(map(unescape, _NAME.findall(text))), links=links)


def dead_links(pages: Mapping[str, Ends]) -> list[str]:
    """Links and fragments that lead nowhere, and links that lead out of the folder."""
    found = []
    for page, ends in pages.items():
        for link in ends.links:
            target, _, fragment = link.partition("#")
            target = unquote(target) or page
            if target not in pages or (fragment and unquote(fragment) not in pages[target].names):
                found.append(f"{page}: {link}")
    return found


def refuse_dead_links(pages: Mapping[str, Ends]) -> None:
    """Raises DeadLinkError with every link that leads nowhere."""
    dead = dead_links(pages)
    if dead:
        raise DeadLinkError(f"links that lead nowhere: {', '.join(dead)}")


def found_in(page: Page) -> str:
    """The words of a page that somebody may look for, each once: names, what broke, why; no figures."""
    words = dict.fromkeys(
        word.casefold() for text in _texts(page) for word in _WORD.findall(text) if not word[0].isdigit()
    )
    return " ".join(words)[:MOST_FOUND]


def _texts(page: Page) -> Iterator[str]:
    yield from (line.said for line in page.block)
    for section in page.sections:
        yield from (line.name for line in section.lines)
        yield from section.items
        yield from section.notes
        for change in (*section.changes, *(c for fold in section.folds for c in fold.changes)):
            yield change.text
            yield from change.whys
        for table in (*section.tables, *(t for fold in section.folds for t in fold.tables)):
            yield from _cells(table)


def _cells(table: Table) -> Iterator[str]:
    for row in table.rows:
        for cell in row:
            if cell.kind in {"ref", "text"}:
                yield from _words_of_cell(cell)


def _words_of_cell(cell: Cell) -> Sequence[str]:
    if cell.entries is None:
        return (cell.text,)
    return [linked.text for linked in (*cell.entries.first, *cell.entries.rest)]
