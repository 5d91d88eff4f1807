"""What a YAML library says of a syntax error → what a builder has to do about it."""

import re
from collections.abc import Callable, Sequence

from msgspec import Struct

Lines = Sequence[str]


class Fault(Struct, frozen=True, kw_only=True):
    """What the library says: its words, and line and column (from 1) of the fault and of what it was reading."""

    problem: str
    context: str
    at: tuple[int, int]
    context_at: tuple[int, int] | None


class Worded(Struct, frozen=True):
    """The same for people."""

    at: tuple[int, int]
    code: str
    what: str
    wanted: str
    mend: str


def syntax_fault(fault: Fault, lines: Lines) -> Worded:
    """The likeliest slip behind a syntax error."""
    for guess in _GUESSES:
        worded = guess(fault, lines)
        if worded is not None:
            return worded
    return Worded(fault.at, "syntax", "this cannot be read", "YAML: `key: value`, one a line, indented by spaces",
                  "look at this line and the one before it")  # fmt: skip


def _character(fault: Fault, lines: Lines) -> str:
    line, column = fault.at
    return lines[line - 1][column - 1 : column] if line <= len(lines) else ""


def _swallowed_by_comment(fault: Fault, lines: Lines) -> Worded | None:
    """`{type: ASME #4-40, count: 4}`: the comment took the closing bracket with it."""
    if fault.context_at is None or "flow" not in fault.context:
        return None
    first = min(fault.context_at[0], fault.at[0] - 1)
    for number in range(max(first, 1), min(fault.at[0], len(lines)) + 1):
        found = re.search(r"[ \t]#(?=[0-9])", _without_quoted(lines[number - 1]))
        if found:
            return Worded((number, found.end()), "comment", "` #` begins a comment: the rest of the line is lost",
                          "a value without ` #`", "leave the # out, or put the value into double quotes")  # fmt: skip
    return None


def _without_quoted(line: str) -> str:
    """The line with its quoted texts blanked, so that columns stay."""
    return re.sub(r'"(?:\\.|[^"\\])*"|\'[^\']*\'', lambda m: " " * len(m.group()), line)


def _tab(fault: Fault, lines: Lines) -> Worded | None:
    line = lines[fault.at[0] - 1] if fault.at[0] <= len(lines) else ""
    indent = line[: len(line) - len(line.lstrip(" \t"))]
    if "\t" in indent and fault.at[1] <= len(indent) + 1:
        at = (fault.at[0], indent.index("\t") + 1)
        return Worded(at, "tab", "a tab in the indent of a line", "spaces", "replace it by spaces")
    if _character(fault, lines) == "\t" or "tab" in fault.problem:
        return Worded(fault.at, "tab", "a tab where a space is wanted", "spaces", "replace it by spaces")
    return None


def _quote(fault: Fault, _lines: Lines) -> Worded | None:
    if "quoted scalar" not in fault.context or fault.context_at is None:
        return None
    if "escape" in fault.problem or "hexdecimal" in fault.problem or "hexadecimal" in fault.problem:
        return Worded(fault.at, "escape", "a backslash in double quotes that is no escape", "`\\\\` for a backslash",
                      "write it twice, or use single quotes")  # fmt: skip
    return Worded(fault.context_at, "unclosed", "a quote is opened here and not closed", "a closing quote",
                  'close it; a quote inside double quotes is written \\"')  # fmt: skip


def _dash(fault: Fault, lines: Lines) -> Worded | None:
    in_brackets = "flow" in fault.context and _character(fault, lines) == "-"
    if "block sequence entries" not in fault.problem and not in_brackets:
        return None
    return Worded(fault.at, "dash", "a dash and a space begin a list, which cannot stand here",
                  "a sign without a space behind it, as in `-battery.height`",
                  "leave the space out; put a text that begins with a dash into quotes")  # fmt: skip


def _colon(fault: Fault, lines: Lines) -> Worded | None:
    if "mapping values" not in fault.problem:
        return None
    number, column = fault.at
    before = lines[number - 1][: column - 1] if number <= len(lines) else ""
    above = lines[number - 2] if number >= 2 else ""
    if re.search(r":[ \t]", before):
        mend = "put a text that holds `: ` into double quotes"
    elif tight := re.match(r"\s*(?:- )?([^\s:{}\[\]]+):[^\s:/]", above):
        at = (number - 1, tight.end(1) + 1)
        return Worded(at, "colon", f"no space follows the colon after `{tight.group(1)}`", "`key: value`",
                      "put a space behind the colon")  # fmt: skip
    else:
        mend = "indent this line as the keys beside it are; put a text that holds `: ` into double quotes"
    return Worded(fault.at, "colon", "a `:` where none can stand", "one `key: value` a line", mend)


def _start(fault: Fault, lines: Lines) -> Worded | None:
    character = _character(fault, lines)
    if "directive" in fault.context or (character == "%" and fault.at[1] == 1):
        at = fault.context_at or fault.at
        return Worded(at, "directive", "a line that begins with % gives orders to the YAML reader",
                      "a file without directives", "delete the line")  # fmt: skip
    if "cannot start any token" in fault.problem and character:
        return Worded(fault.at, "needs-quotes", f"a value cannot begin with `{character}`", "a plain or quoted text",
                      "put it into double quotes")  # fmt: skip
    return None


def _mark(fault: Fault, _lines: Lines) -> Worded | None:
    said = f"{fault.context} {fault.problem}"
    at = fault.context_at or fault.at
    for word, sign, code in (("alias", "*", "alias"), ("anchor", "&", "anchor"), ("tag", "!", "tag")):
        if re.search(rf"\b{word}\b", said):
            return Worded(at, code, f"a `{sign}` means something else to YAML", "a plain or quoted text",
                          f"write the value out; put a text that begins with {sign} into quotes")  # fmt: skip
    return None


def _bracket(fault: Fault, lines: Lines) -> Worded | None:
    character = _character(fault, lines)
    if "flow" in fault.context and fault.context_at is not None:
        if not character and "node content" in fault.problem:
            return Worded(_end(lines), "unclosed", "the text ends inside brackets", "a closing bracket",
                          "close what was opened")  # fmt: skip
        if not character or "expected ','" in fault.problem:
            return _not_closed(fault.at, fault.context_at, character, lines)
    if character == ",":
        return Worded(fault.at, "unclosed", "nothing stands before this comma", "a value before each comma",
                      "delete the comma; put a text that begins with one into quotes")  # fmt: skip
    if character and character in "]}":
        return Worded(fault.at, "unclosed", f"`{character}` closes nothing here",
                      "as many closing brackets as were opened",
                      "delete it; put a text that begins with it into quotes")  # fmt: skip
    return None


def _end(lines: Lines) -> tuple[int, int]:
    """The last character that is not blank."""
    number = max((n for n, line in enumerate(lines, 1) if line.strip()), default=1)
    return number, max(len(lines[number - 1].rstrip()), 1)


def _not_closed(at: tuple[int, int], opened: tuple[int, int], character: str, lines: Lines) -> Worded:
    """A bracket without its partner, or a comma that is missing inside it."""
    bracket = lines[opened[0] - 1][opened[1] - 1 : opened[1]]
    if opened[0] != at[0] or not character:
        return Worded(opened, "unclosed", f"`{bracket}` is opened here and not closed", "a closing bracket",
                      "close it, and look for a missing comma")  # fmt: skip
    if character == ":":
        return Worded(at, "colon", "a `:` where none can stand", "`key: value` between the commas",
                      "put a text that holds `: ` into double quotes")  # fmt: skip
    return Worded(at, "unclosed", f"a comma or the end of `{bracket}` is missing before this",
                  "commas between values",
                  "put a comma, or put a text that holds brackets or quotes into quotes")  # fmt: skip


def _depth(fault: Fault, _lines: Lines) -> Worded | None:
    if "nesting depth" not in fault.problem:
        return None
    return Worded(fault.at, "too-deep", "brackets are nested far too deep", "at most 50 levels",
                  "close the brackets that were opened by mistake")  # fmt: skip


def _layout(fault: Fault, lines: Lines) -> Worded | None:
    if "find expected ':'" in fault.problem or "expected ':'" in fault.problem:
        at = fault.context_at or fault.at
        return Worded(
            at, "syntax", "a line without a colon", "`key: value`", "put a colon and a value behind the key"
        )
    if "<document start>" in fault.problem:
        return Worded(fault.at, "syntax", "something stands behind the end of the whole", "one mapping or list a file",
                      "delete it, or move it inside")  # fmt: skip
    if "block" not in fault.context and "block end" not in fault.problem:
        return None
    line, column = fault.at
    before = lines[line - 1][: column - 1].strip() if line <= len(lines) else ""
    if before:
        return Worded(fault.at, "syntax", "this stands behind a value that has ended", "one `key: value` a line",
                      "put the whole value into double quotes")  # fmt: skip
    return Worded(fault.at, "indent", "this line stands at an indent that fits nothing above it",
                  "keys that belong together at one indent",
                  "indent it as the keys or dashes beside it are")  # fmt: skip


_GUESSES: tuple[Callable[[Fault, Lines], Worded | None], ...] = (
    _depth, _swallowed_by_comment, _quote, _dash, _tab, _start, _mark, _colon, _bracket, _layout,
)  # fmt: skip
