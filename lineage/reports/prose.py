"""The guide's sources, a small part of Markdown: text → blocks. What is no block of these is a paragraph.

Headings (`#` the title, `##` a chapter), paragraphs, lists (`- `, `1. `), tables, fenced code with what it is and,
for a file, its path; in a line `code`, **bold** and [text](where). A line `@name` stands for a table that the program
has itself. No markup of HTML: everything else is text.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Literal

from msgspec import Struct

SpanKind = Literal["text", "code", "bold", "link"]
BlockKind = Literal["paragraph", "list", "steps", "table", "code"]

_SPAN = re.compile(r"`(?P<code>[^`]+)`|\*\*(?P<bold>[^*]+)\*\*|\[(?P<link>[^\]]+)\]\((?P<to>[^)\s]+)\)")
_FENCE = re.compile(r"```(?P<kind>\w*) ?(?P<file>\S*)$")
_ITEM = re.compile(r"(?P<mark>-|\d+\.) (?P<text>.*)")
_RULE = re.compile(r"\|[-| :]+\|$")


class Span(Struct, frozen=True):
    """A piece of a line; `to` is where a link leads."""

    kind: SpanKind
    text: str
    to: str = ""


Line = tuple[Span, ...]


class Block(Struct, frozen=True, kw_only=True):
    """A paragraph, list or table has `lines` (of a table its cells, row after row); code has its text.

    `language` is what the code is in, `file` the path that it belongs to.
    """

    kind: BlockKind
    lines: tuple[Line, ...] = ()
    rows: tuple[tuple[Line, ...], ...] = ()
    text: str = ""
    language: str = ""
    file: str = ""


class Chapter(Struct, frozen=True, kw_only=True):
    """A chapter with its name for links; the first has no title where text stands before any."""

    title: str
    name: str
    blocks: tuple[Block, ...]


class Prose(Struct, frozen=True, kw_only=True):
    """A text with its title."""

    title: str
    chapters: tuple[Chapter, ...]


def read_prose(text: str, tables: Mapping[str, Sequence[tuple[str, ...]]] = {}) -> Prose:
    """A text as chapters of blocks; `tables` fills lines that name one. Raises ValueError for a table nobody has."""
    title, chapters = "", []
    name, lines = "", list[str]()
    for line in [*text.splitlines(), "## "]:
        if line.startswith("# ") and not title:
            title = line[2:].strip()
        elif line.startswith("## "):
            blocks = tuple(_blocks(lines, tables))
            if blocks:
                chapters.append(Chapter(title=name, name=slug(name) or "begin", blocks=blocks))
            name, lines = line[3:].strip(), []
        else:
            lines.append(line)
    return Prose(title=title, chapters=tuple(chapters))


def slug(title: str) -> str:
    """A title as a name for links."""
    return re.sub(r"[^a-z0-9]+", "-", title.casefold()).strip("-")


def spans(text: str) -> Line:
    """A line in pieces."""
    found, at = list[Span](), 0
    for match in _SPAN.finditer(text):
        if match.start() > at:
            found.append(Span("text", text[at : match.start()]))
        kind: SpanKind = match.lastgroup if match.lastgroup != "to" else "link"  # type: ignore[assignment]
        found.append(Span(kind, match[kind], match["to"] or ""))
        at = match.end()
    if at < len(text):
        found.append(Span("text", text[at:]))
    return tuple(found)


def plain(line: Line) -> str:
    """A line as it reads without any setting."""
    return "".join(span.text for span in line)


def _blocks(lines: Sequence[str], tables: Mapping[str, Sequence[tuple[str, ...]]]) -> Iterator[Block]:
    waiting = list(lines)
    while waiting:
        line = waiting[0]
        fence = _FENCE.match(line)
        if fence is not None:
            yield _code(waiting, fence)
        elif line.startswith("|"):
            yield _table([row for row in _while(waiting, "|") if not _RULE.match(row)])
        elif line.startswith("@"):
            waiting.pop(0)
            if line[1:] not in tables:
                raise ValueError(f"there is no table {line[1:]!r}")
            rows = tuple(tuple(spans(cell) for cell in row) for row in tables[line[1:]])
            yield Block(kind="table", rows=rows)
        elif _ITEM.match(line):
            yield _list(waiting)
        elif line.strip():
            yield _paragraph(waiting)
        else:
            waiting.pop(0)


def _code(waiting: list[str], fence: re.Match[str]) -> Block:
    waiting.pop(0)
    body = []
    while waiting and waiting[0] != "```":
        body.append(waiting.pop(0))
    if waiting:
        waiting.pop(0)
    return Block(kind="code", text="\n".join(body), language=fence["kind"], file=fence["file"])


def _while(waiting: list[str], start: str) -> Iterator[str]:
    while waiting and waiting[0].startswith(start):
        yield waiting.pop(0)


def _table(lines: Sequence[str]) -> Block:
    rows = [tuple(spans(cell.strip()) for cell in line.strip().strip("|").split("|")) for line in lines]
    return Block(kind="table", rows=tuple(rows))


def _list(waiting: list[str]) -> Block:
    """Items run on over indented lines."""
    first = _ITEM.match(waiting[0])
    assert first is not None
    items: list[str] = []
    while waiting:
        match = _ITEM.match(waiting[0])
        if match is not None:
            items.append(match["text"])
        elif waiting[0].startswith("  ") and waiting[0].strip():
            items[-1] += f" {waiting[0].strip()}"
        else:
            break
        waiting.pop(0)
    kind: BlockKind = "list" if first["mark"] == "-" else "steps"
    return Block(kind=kind, lines=tuple(spans(item) for item in items))


def _paragraph(waiting: list[str]) -> Block:
    words = [waiting.pop(0).strip()]
    while waiting and waiting[0].strip() and not _begins_other(waiting[0]):
        words.append(waiting.pop(0).strip())
    return Block(kind="paragraph", lines=(spans(" ".join(words)),))


def _begins_other(line: str) -> bool:
    return line.startswith(("|", "@", "```")) or _ITEM.match(line) is not None
