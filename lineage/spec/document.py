"""One text as a tree of nodes with line and column, and the problems that are placed in it."""

import re

from msgspec import Struct, structs

from lineage.problems import Level, Place, Problem

_SHOWN_WIDTH = 74  # with an indent of four and a mark at either end it fills a line of a terminal
_DOUBLE_QUOTED = re.compile(r"\\x[0-9A-Fa-f]{2}|\\u[0-9A-Fa-f]{4}|\\U[0-9A-Fa-f]{8}|\\.|.")
_SINGLE_QUOTED = re.compile(r"''|.")


class Scalar(Struct, gc=False):
    """A text. Lines and columns count from 1; `end_column` is the column after it."""

    text: str
    line: int
    column: int
    end_line: int
    end_column: int
    plain: bool = True


class Faulty(Struct, gc=False):
    """A value whose fault was told already."""

    line: int
    column: int
    end_line: int
    end_column: int


class Mapping(Struct):
    """Keys in the order of the file, each once."""

    line: int
    column: int
    flow: bool
    items: list[tuple[Scalar, "Node"]]
    end_line: int = 0
    end_column: int = 0


class Sequence(Struct):
    """List items."""

    line: int
    column: int
    flow: bool
    items: list["Node"]
    end_line: int = 0
    end_column: int = 0


Node = Scalar | Mapping | Sequence | Faulty


class Document:
    """One file, or one entry of a log: its text, its tree and what is wrong with it as YAML.

    `root` is None after a syntax error and for an empty text; `first_line` is where the text stands in its file.
    """

    def __init__(self, text: str, file: str, first_line: int = 1) -> None:
        self.text, self.file, self.first_line = text, file, first_line
        self.root: Node | None = None
        self.problems: list[Problem] = []
        self._lines: list[str] | None = None

    @property
    def lines(self) -> list[str]:
        """Its lines without their ends."""
        if self._lines is None:
            self._lines = [line.rstrip("\r") for line in self.text.split("\n")]
        return self._lines

    def line(self, number: int) -> str:
        """Line `number` of the text, counted from 1; empty beyond its end."""
        return self.lines[number - 1] if 1 <= number <= len(self.lines) else ""

    def place(self, node: Node) -> Place:
        """Where a node stands; its end only when that is on the same line."""
        end = node.end_column if node.end_line == node.line else None
        return Place(self.file, node.line + self.first_line - 1, node.column, end)

    def point(self, line: int, column: int, end: int | None = None) -> Place:
        """A place by line and column of the text, counted from 1."""
        return Place(self.file, line + self.first_line - 1, column, end)

    def within(self, node: Scalar, start: int, end: int) -> Place:
        """The place of `node.text[start:end]`, also where quotes and escapes stand in the source."""
        if node.line != node.end_line:
            return self.place(node)
        if node.plain:
            return self.point(node.line, node.column + start, node.column + max(end, start + 1))
        source = self.line(node.line)
        pattern = _DOUBLE_QUOTED if source[node.column - 1 : node.column] == '"' else _SINGLE_QUOTED
        columns = [m.start() + 1 for m in pattern.finditer(source, node.column, node.end_column - 2)]
        columns.append(node.end_column - 1)
        last = len(columns) - 1
        return self.point(node.line, columns[min(start, last)], columns[min(max(end, start + 1), last)])

    def problem(
        self, place: Place, code: str, what: str, wanted: str, mend: str, *, level: Level = "error"
    ) -> Problem:
        """A problem with its source line, shortened about the column when it is very long."""
        source, caret = shown(self.line(place.line - self.first_line + 1), place.column)
        return Problem(
            place=place,
            code=code,
            what=what,
            wanted=wanted,
            mend=mend,
            level=level,
            source=source,
            caret=caret,
        )

    def add(self, place: Place, code: str, what: str, wanted: str, mend: str) -> None:
        """Note an error."""
        self.problems.append(self.problem(place, code, what, wanted, mend))


def shown(line: str, column: int) -> tuple[str, int]:
    """The line as shown, and the column in it that stands for `column`."""
    if len(line) <= _SHOWN_WIDTH:
        return line, column
    start = max(0, min(column - 1 - _SHOWN_WIDTH // 2, len(line) - _SHOWN_WIDTH))
    before, after = "…" if start else "", "…" if start + _SHOWN_WIDTH < len(line) else ""
    return before + line[start : start + _SHOWN_WIDTH] + after, column - start + len(before)


def with_source(problem: Problem, text: str) -> Problem:
    """A problem that was found in records, with its line of the file's text."""
    lines = text.split("\n")
    if problem.source or problem.place.line > len(lines):
        return problem
    source, caret = shown(lines[problem.place.line - 1].rstrip("\r"), problem.place.column)
    return structs.replace(problem, source=source, caret=caret)
