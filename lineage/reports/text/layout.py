"""Plain text for an 80-column terminal: headings, aligned tables, wrapped lines.

Columns are counted as a terminal shows them: wide characters as two, marks that combine as none.
"""

import textwrap
import unicodedata
from collections.abc import Iterable, Sequence

WIDTH = 80


def shown_width(text: str) -> int:
    """Columns that a terminal gives a text."""
    if text.isascii() and text.isprintable():
        return len(text)
    return sum(map(_columns, text))


def _columns(character: str) -> int:
    """Columns of a character: none for one that sits on or joins others, two for a wide one."""
    if unicodedata.category(character) in {"Mn", "Me", "Cf", "Cc"} or "\u1160" <= character <= "\u11ff":
        return 0
    return 2 if unicodedata.east_asian_width(character) in {"W", "F"} else 1


def safe(text: str) -> str:
    """A text without what could steer a terminal or turn the reading direction."""
    if text.isprintable():  # then nothing of these kinds is in it
        return text
    return "".join(
        c if unicodedata.category(c) not in {"Cc", "Cf", "Cs", "Co", "Zl", "Zp"} else "�" for c in text
    )


def heading(text: str) -> str:
    """A heading with a rule under it."""
    lines: list[str] = []
    for line in text.split("\n"):
        lines += [line] if shown_width(line) <= WIDTH else wrapped(line, "  ", "").split("\n")
    rule = "-" * max(map(shown_width, lines))
    return "\n".join([*lines, rule])


def wrapped(text: str, indent: str = "", first: str | None = None) -> str:
    """A paragraph, wrapped."""
    start = indent if first is None else first
    if shown_width(text) == len(text):
        return textwrap.fill(
            text, WIDTH, initial_indent=start, subsequent_indent=indent, break_on_hyphens=False
        )
    return "\n".join(_filled(text, WIDTH, start, indent))


def _filled(text: str, width: int, first: str = "", indent: str = "") -> list[str]:
    """Words in lines of so many columns; a word that is wider than a line goes on in the next."""
    lines, line, is_begun = [], first, False
    for word in text.split():
        space = " " if is_begun else ""
        if shown_width(line + space + word) > width and is_begun:
            lines.append(line)
            line, space = indent, ""
        line += space
        for character in word:
            if shown_width(line + character) > width and line != indent:
                lines.append(line)
                line = indent
            line += character
        is_begun = True
    return [*lines, line]


def bulleted(items: Iterable[str]) -> str:
    """A list of paragraphs."""
    return "\n".join(wrapped(item, "  ", "- ") for item in items)


def table(head: Sequence[str], rows: Sequence[Sequence[str]], align: str) -> str:
    """An aligned table; `align` has a letter a column: l left, r right; w left and R right, wrapped in what is left.

    A cell may have lines of its own. Without rows there is no table.
    """
    if not rows:
        return ""
    widths = [max(_width(row[at]) for row in [head, *rows]) for at in range(len(head))]
    _fit(widths, align)
    lines = [*_wrapped_row(head, widths, align), "  ".join("-" * width for width in widths)]
    for row in rows:
        lines += _wrapped_row(row, widths, align)
    return "\n".join(line.rstrip() for line in lines)


def _fit(widths: list[int], align: str) -> None:
    """Makes columns narrower until the table fits: wrapped ones first, then the widest left ones."""
    for letters, least in (("wR", 12), ("l", 12), ("wRl", 8)):
        able = [at for at, letter in enumerate(align) if letter in letters]
        while sum(widths) + 2 * (len(widths) - 1) > WIDTH:
            widest = max(able, key=lambda at: widths[at], default=None)
            if widest is None or widths[widest] <= least:
                break
            widths[widest] -= 1


def _width(cell: str) -> int:
    return max(map(shown_width, cell.split("\n")))


def _wrapped_row(row: Sequence[str], widths: Sequence[int], align: str) -> list[str]:
    cells = [_lines_of(cell, widths[at], align[at]) for at, cell in enumerate(row)]
    height = max(len(cell) for cell in cells)
    return [
        _line([cell[line] if line < len(cell) else "" for cell in cells], widths, align)
        for line in range(height)
    ]


def _lines_of(cell: str, width: int, letter: str) -> list[str]:
    """The lines of a cell: its own, each wrapped where it is too long."""
    lines: list[str] = []
    for line in cell.split("\n"):
        fits = shown_width(line) <= width
        if fits:
            lines.append(line)
        elif shown_width(line) == len(line):
            lines += textwrap.wrap(line, width, break_on_hyphens=letter == "R") or [""]
        else:
            lines += _filled(line, width)
    return lines


def _line(cells: Sequence[str], widths: Sequence[int], align: str) -> str:
    padded = []
    for cell, width, letter in zip(cells, widths, align, strict=True):
        space = " " * max(0, width - shown_width(cell))
        padded.append(space + cell if letter in "rR" else cell + space)
    return "  ".join(padded)
