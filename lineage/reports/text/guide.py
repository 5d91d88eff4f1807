"""The guide as terminal text."""

import textwrap
from collections.abc import Iterator, Mapping

from lineage.reports.prose import Block, Line, Prose, Span
from lineage.reports.text.layout import bulleted, heading, table, wrapped


def topics_text(topics: Mapping[str, str], about: Mapping[str, str]) -> str:
    """Which topics there are."""
    rows = [[topic, title, about[topic]] for topic, title in topics.items()]
    return f"{heading('Guide')}\n{table(['topic', '', ''], rows, 'llw')}\n\nlineage guide TOPIC shows one.\n"


def guide_text(prose: Prose) -> str:
    """One topic."""
    parts = [heading(prose.title)]
    for chapter in prose.chapters:
        if chapter.title:
            parts.append(heading(chapter.title))
        parts += [block for block in map(_block, chapter.blocks) if block]
    return "\n\n".join(parts) + "\n"


def _block(block: Block) -> str:
    if block.kind == "code":
        named = f"{block.file}:\n" if block.file else ""
        return named + textwrap.indent(block.text, "    ")
    if block.kind == "table":
        rows = [[_plain(cell) for cell in row] for row in block.rows]
        return table(rows[0], rows[1:], "l" + "w" * (len(rows[0]) - 1))
    if block.kind == "list":
        return bulleted(map(_plain, block.lines))
    if block.kind == "steps":
        return "\n".join(_steps(block.lines))
    return "\n".join(wrapped(_plain(line)) for line in block.lines)


def _steps(lines: tuple[Line, ...]) -> Iterator[str]:
    for number, line in enumerate(lines, 1):
        yield wrapped(_plain(line), "   ", f"{number}. ")


def _plain(line: Line) -> str:
    return "".join(map(_span, line))


def _span(span: Span) -> str:
    if span.kind == "link":
        return f"{span.text} (lineage guide {span.to.partition('#')[0]})"
    return f"`{span.text}`" if span.kind == "code" and " " in span.text else span.text
