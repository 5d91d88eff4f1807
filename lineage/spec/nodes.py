"""Strict YAML → nodes with line and column. The only module that knows a YAML library.

Scalars stay text: what a text means is for the reader of its key to say, so `no`, `1.10` and dates are what they
look like. What YAML could do beyond plain lists, mappings and texts is refused here, with place and cure.
"""

import re
from typing import Any

import yaml

from lineage.problems import Place, Problem
from lineage.spec.document import Document, Faulty, Mapping, Node, Scalar, Sequence
from lineage.spec.syntax_faults import Fault, syntax_fault

MOST_BYTES = 2_000_000
MOST_LEVELS = 50
MOST_NODES = 100_000

_Parser: Any = getattr(yaml, "CLoader", None) or yaml.Loader  # only its events are used, never its objects

_UNWANTED = re.compile(
    r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]|\r(?!\n)"
)  # what YAML forbids, and what editors and YAML count differently as ends of lines
_CONFLICT = re.compile(r"^(?:<{7}|>{7}|\|{7})(?=[ \r\n]|\Z)|^={7}(?=\r?\n|\Z)", re.MULTILINE)
_HALF_CHARACTER = re.compile("[\ud800-\udfff]")
_COMMENT_WITH_DIGIT = re.compile(r"(?<![ \t])[ \t]+#(?=[0-9])")
_COMMENT_BEHIND = re.compile(r"[ \t:]*(?<=[ \t])#[0-9]")
_TAB_IN_INDENT = re.compile(r"[ -]*\t")
_NOT_BLANK = re.compile(r"\S")

_EMPTY = dict.fromkeys(("", "~", "null", "Null", "NULL"), "empty")
_NOT_FINITE = dict.fromkeys(
    [sign + word for word in (".inf", ".Inf", ".INF") for sign in ("", "+", "-")] + [".nan", ".NaN", ".NAN"],
    "not-finite",
)
_NO_VALUE = _EMPTY | _NOT_FINITE


def is_refused_plain(text: str) -> bool:
    """Whether a text would be no value if it stood there without quotes."""
    return text in _NO_VALUE or text == "<<"


def parse(data: bytes, file: str, first_line: int = 1) -> Document:
    """Read bytes to nodes. Never raises: what is wrong stands in `problems`."""
    document = _decoded(data, file, first_line)
    if not document.problems:
        _find_unwanted(document)
    if not document.problems:
        _build(document)
    return document


def _decoded(data: bytes, file: str, first_line: int) -> Document:
    if len(data) > MOST_BYTES:
        document = Document("", file, first_line)
        what = f"the file has {len(data):,} bytes"
        document.add(
            Place(file, 1, 1), "too-large", what, f"at most {MOST_BYTES:,} bytes", "split it or shorten it"
        )
        return document
    data = data.removeprefix(b"\xef\xbb\xbf")
    try:
        return Document(data.decode(), file, first_line)
    except UnicodeDecodeError as error:
        document = Document(data.decode(errors="replace"), file, first_line)
        before = data[: error.start].decode()
        place = document.point(before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1)
        what = f"the byte {data[error.start]:#04x} is not UTF-8"
        document.add(place, "encoding", what, "a text in UTF-8", "save the file with the encoding UTF-8")
        return document


def _find_unwanted(document: Document) -> None:
    text = document.text
    if found := _UNWANTED.search(text):
        what = f"the character U+{ord(found.group()[0]):04X} cannot be seen"
        mend = 'delete it, or write it in double quotes as an escape such as "\\u2028"'
        document.add(
            _place_at(document, found.start()), "control-character", what, "text that can be read", mend
        )
    elif _CONFLICT.search(text):
        _find_conflicts(document)


def _find_conflicts(document: Document) -> None:
    """One problem a merge that was left open; of other marks the first."""
    marks = [(n, line) for n, line in enumerate(document.lines, 1) if is_conflict_marker(line)]
    for number, line in [mark for mark in marks if mark[1][0] == "<"] or marks[:1]:
        document.add(document.point(number, 1, 8), "conflict-marker", *conflict_words(line[:7]))


def conflict_words(marker: str) -> tuple[str, str, str]:
    """What to say of a conflict marker."""
    return (
        f"`{marker}` is the mark of a merge that was not finished",
        "the file as it should be",
        "keep what is right of both sides and delete the lines with <<<<<<<, ======= and >>>>>>>",
    )


def is_conflict_marker(line: str) -> bool:
    """Whether a line is one that git leaves in a file that it could not merge."""
    return _CONFLICT.match(line) is not None


def _place_at(document: Document, index: int, length: int = 1) -> Place:
    line_start = document.text.rfind("\n", 0, index) + 1
    column = index - line_start + 1
    return document.point(document.text.count("\n", 0, index) + 1, column, column + length)


def _build(document: Document) -> None:
    parser = _Parser(document.text)
    try:
        document.root = _Builder(document).build(parser)
    except _Stopped as stopped:
        document.root = None
        document.problems = [document.problem(*stopped.args)]
    except yaml.YAMLError as error:
        document.root = None
        document.problems = [_syntax_problem(document, error)]
    finally:
        parser.dispose()


class _Stopped(Exception):
    """The text cannot be read further: place, code, what, wanted, mend."""


def _syntax_problem(document: Document, error: yaml.YAMLError) -> Problem:
    mark, context_mark = getattr(error, "problem_mark", None), getattr(error, "context_mark", None)
    context_at = (context_mark.line + 1, context_mark.column + 1) if context_mark else None
    fault = syntax_fault(
        Fault(
            problem=getattr(error, "problem", None) or str(error),
            context=getattr(error, "context", None) or "",
            at=(mark.line + 1, mark.column + 1) if mark else context_at or (1, 1),
            context_at=context_at,
        ),
        document.lines,
    )
    return document.problem(document.point(*fault.at), fault.code, fault.what, fault.wanted, fault.mend)


class _Builder:
    """Events → nodes, with a stack of its own so that depth costs no recursion."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self.stack: list[Mapping | Sequence] = []
        self.keys: list[Scalar | Faulty | None] = []  # the key that waits for its value, one a level
        self.seen: list[dict[str, Scalar]] = []
        self.root: Node | None = None
        self.count = 0
        self.cut_short = self._ends_before_comments()
        self.has_tabs = "\t" in document.text
        self.checked_line = 0

    def _ends_before_comments(self) -> set[tuple[int, int]]:
        """Where a text would end that ` #` and a digit cut short: line and column."""
        if not _COMMENT_WITH_DIGIT.search(self.document.text):
            return set()
        return {
            (number, found.start() + 1)
            for number, line in enumerate(self.document.lines, 1)
            if "#" in line
            for found in _COMMENT_WITH_DIGIT.finditer(line)
        }

    def build(self, parser: Any) -> Node | None:
        """The root, or None for a text without any."""
        documents = 0
        while True:
            event = parser.get_event()
            kind = type(event)
            if kind is yaml.ScalarEvent:
                self._scalar(event)
            elif kind is yaml.MappingStartEvent or kind is yaml.SequenceStartEvent:
                self._open(event, kind)
            elif kind is yaml.MappingEndEvent or kind is yaml.SequenceEndEvent:
                self._close(event)
            elif kind is yaml.AliasEvent:
                self._alias(event)
            elif kind is yaml.DocumentStartEvent:
                documents += 1
                self._document(event, documents)
            elif kind is yaml.StreamEndEvent:
                return self.root

    def _document(self, event: Any, documents: int) -> None:
        line = event.start_mark.line + 1
        if documents > 1:
            self._stop((line, 1), "second-document", "a second document begins here", "one document a file",
                       "delete the line `---`, or move what follows into a file of its own")  # fmt: skip
        if event.version or event.tags:
            self._stop((line, 1), "directive", "a line that begins with % gives orders to the YAML reader",
                       "a file without directives", "delete the line")  # fmt: skip

    def _scalar(self, event: Any) -> None:
        start, end = event.start_mark, event.end_mark
        node = Scalar(
            event.value,
            start.line + 1,
            start.column + 1,
            end.line + 1,
            end.column + 1,
            event.style is None or event.style == "",
        )
        if event.anchor or event.tag:
            self._refuse_marks(event)
        if self.has_tabs:
            self._check_indent(node.line)
        if not node.plain and _HALF_CHARACTER.search(
            node.text
        ):  # only the library in plain Python lets it pass
            self._stop((node.line, node.column), "escape", "a backslash escape that is half a character",
                       "a whole character", "write the character itself")  # fmt: skip
        if node.plain and (self.cut_short or node.text in _NO_VALUE) and self._without_value(node):
            return
        self._add(node)

    def _without_value(self, node: Scalar) -> bool:
        """Whether a plain text is no value; then its fault is told and its place taken."""
        if (node.end_line, node.end_column) in self.cut_short or (
            not node.text and self._comment_follows(node)
        ):
            self._tell_comment(node)
        elif not self._value_is_due() or node.text not in _NO_VALUE:
            return False
        elif node.text in _NOT_FINITE:
            self._tell(
                node,
                "not-finite",
                f"`{node.text}` is no value",
                "a number",
                "leave the key out where nothing is known",
            )
        elif not node.text and self._comma_split():
            return True
        else:
            self._tell_empty(node)
        self._add(Faulty(node.line, node.column, node.end_line, node.end_column))
        return True

    def _value_is_due(self) -> bool:
        """Whether the next node is a value, not a key."""
        return not self.stack or type(self.stack[-1]) is Sequence or self.keys[-1] is not None

    def _comment_follows(self, node: Scalar) -> bool:
        line = self.document.line(node.end_line)
        return _COMMENT_BEHIND.match(line, node.end_column - 1) is not None

    def _tell_comment(self, node: Scalar) -> None:
        line = self.document.line(node.end_line)
        sign = line.index("#", node.end_column - 1)
        left = f"only `{node.text}` is left" if node.text else "nothing is left"
        self.document.add(self.document.point(node.end_line, sign + 1, len(line) + 1), "comment",
                          f"` #` begins a comment: {left} of this value", "a value without ` #`",
                          "leave the # out, or put the value into double quotes")  # fmt: skip

    def _tell_empty(self, node: Scalar) -> None:
        key = self.keys[-1] if self.keys else None
        what = f"`{key.text}` has no value" if isinstance(key, Scalar) else "there is no value here"
        place = key if isinstance(key, Scalar) and not node.text else node
        self._tell(place, "empty", what, "a value", "leave the key out where nothing is known")

    def _comma_split(self) -> bool:
        """A key without colon in { }: a comma split the value before it. The key is dropped."""
        key, mapping = self.keys[-1] if self.keys else None, self.stack[-1] if self.stack else None
        if not isinstance(key, Scalar) or not isinstance(mapping, Mapping) or not mapping.flow:
            return False
        if self._next_character(key.end_line, key.end_column) == ":":
            return False
        before = mapping.items[-1] if mapping.items else None
        self._tell(key, "comma", *_comma_words(before, key))
        if before is not None:
            value = before[1]
            spoiled = Faulty(value.line, value.column, value.end_line, value.end_column)
            mapping.items[-1] = (before[0], spoiled)
        self.keys[-1] = None
        return True

    def _next_character(self, line: int, column: int) -> str:
        found = _NOT_BLANK.search(self.document.line(line), column - 1)
        while found is None and line < len(self.document.lines):
            line += 1
            found = _NOT_BLANK.search(self.document.line(line))
        return found[0] if found else ""

    def _open(self, event: Any, kind: Any) -> None:
        if len(self.stack) >= MOST_LEVELS:
            self._stop((event.start_mark.line + 1, event.start_mark.column + 1), "too-deep",
                       f"more than {MOST_LEVELS} levels are nested here", f"at most {MOST_LEVELS}",
                       "close the brackets that were opened by mistake")  # fmt: skip
        start = event.start_mark
        if event.anchor or event.tag:
            self._refuse_marks(event)
        if self.has_tabs:
            self._check_indent(start.line + 1)
        node_type: Any = Mapping if kind is yaml.MappingStartEvent else Sequence
        node = node_type(start.line + 1, start.column + 1, bool(event.flow_style), [])
        self._add(node)
        self.stack.append(node)
        self.keys.append(None)
        self.seen.append({})

    def _close(self, event: Any) -> None:
        node = self.stack.pop()
        self.keys.pop()
        self.seen.pop()
        node.end_line, node.end_column = event.end_mark.line + 1, event.end_mark.column + 1

    def _alias(self, event: Any) -> None:
        start, end = event.start_mark, event.end_mark
        node = Faulty(start.line + 1, start.column + 1, end.line + 1, end.column + 1)
        self._tell(node, "alias", f"`*{event.anchor}` stands for something written elsewhere",
                   "the value itself", "write it out; put a text that begins with * into quotes")  # fmt: skip
        self._add(node)

    def _add(self, node: Node) -> None:
        self.count += 1
        if self.count > MOST_NODES:
            self._stop((node.line, node.column), "too-many-values", f"more than {MOST_NODES:,} values",
                       f"at most {MOST_NODES:,}", "split the file")  # fmt: skip
        if not self.stack:
            self.root = node
            return
        parent = self.stack[-1]
        if type(parent) is Sequence:
            parent.items.append(node)
        elif (key := self.keys[-1]) is None:
            self._key(node)
        else:
            if type(key) is Scalar:
                parent.items.append((key, node))  # type: ignore[arg-type]
            self.keys[-1] = None

    def _key(self, node: Node) -> None:
        """Take a key, or tell what is wrong with it; the value of a wrong key is read and left."""
        self.keys[-1] = key = Faulty(node.line, node.column, node.end_line, node.end_column)
        if isinstance(node, Faulty):
            return
        if not isinstance(node, Scalar):
            self._tell(key, "key-shape", "a list or mapping stands where a key is wanted", "a word and a colon",
                       "put the key into quotes if it is a text")  # fmt: skip
        elif node.text == "<<" and node.plain:
            self._tell(node, "merge-key", "`<<` would take over keys from elsewhere", "the keys themselves",
                       "write them out")  # fmt: skip
        elif (first := self.seen[-1].get(node.text)) is not None:
            line = first.line + self.document.first_line - 1
            self._tell(node, "duplicate-key", f"`{node.text}` stands here twice; the first is in line {line}",
                       "each key once", "delete one of the two, or give it another name")  # fmt: skip
        else:
            self.seen[-1][node.text] = self.keys[-1] = node

    def _refuse_marks(self, event: Any) -> None:
        start = event.start_mark
        place = self.document.point(start.line + 1, start.column + 1)
        if event.anchor:
            self.document.add(place, "anchor", f"`&{event.anchor}` gives a value a name to repeat it by",
                              "the value alone", "delete it; put a text that begins with & into quotes")  # fmt: skip
        if event.tag:
            self.document.add(place, "tag", "a `!` orders how a value is read", "the value alone",
                              "delete it; put a text that begins with ! into quotes")  # fmt: skip

    def _check_indent(self, line: int) -> None:
        """Whether a tab stands before the first thing of a line."""
        if line == self.checked_line:
            return
        self.checked_line = line
        tab = _TAB_IN_INDENT.match(self.document.line(line))
        if tab is not None:
            place = self.document.point(line, tab.end())
            self.document.add(place, "tab", "a tab in the indent of a line", "spaces", "replace it by spaces")

    def _tell(self, node: Node, code: str, what: str, wanted: str, mend: str) -> None:
        self.document.add(self.document.place(node), code, what, wanted, mend)

    def _stop(self, at: tuple[int, int], code: str, what: str, wanted: str, mend: str) -> None:
        raise _Stopped(self.document.point(*at), code, what, wanted, mend)


def _comma_words(before: tuple[Scalar, Node] | None, key: Scalar) -> tuple[str, str, str]:
    what = f"`{key.text}` stands after a comma and has no value"
    wanted = "`key: value` between the commas"
    if before is None or not isinstance(before[1], Scalar):
        return what, wanted, f"write `{key.text}: …`, or put a text that holds a comma into double quotes"
    name, value = before[0].text, before[1].text
    if value[-1:].isdigit() and key.text[:1].isdigit():
        return what, "a decimal point", f"write `{name}: {value}.{key.text}`"
    return what, wanted, f'a text that holds a comma goes into quotes: `{name}: "{value}, {key.text}"`'
