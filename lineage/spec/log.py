"""Appended logs, read entry by entry, so that one bad line spoils one entry and no other.

`- ` in the first column begins an entry; what follows up to the next such line belongs to it. Which entries
count is worked out from all of them, in any order, so that a merge of two logs says the same both ways.
"""

from collections.abc import Callable, Iterable, Sequence
from typing import Any, Generic, TypeVar

from msgspec import Struct

from lineage.problems import Place, Problem, in_order
from lineage.spec import nodes
from lineage.spec.document import Document, Node
from lineage.spec.document import Sequence as NodeList
from lineage.spec.entry_ids import entry_id
from lineage.spec.fields import BAD, Key, Reading, Then
from lineage.spec.names import ENTRY_ID, BadName
from lineage.spec.nodes import MOST_BYTES
from lineage.spec.records import Entry
from lineage.spec.scalars import Count, Named, Text, Word

E = TypeVar("E", bound=Entry)


class Log(Struct, Generic[E], frozen=True):
    """Entries in the order of the file, and what is wrong with those that are not among them."""

    entries: tuple[E, ...]
    problems: tuple[Problem, ...] = ()


class Drafts(Struct, frozen=True):
    """Entries that are still to be appended: plain texts, lists and mappings, found to be right."""

    entries: tuple[dict[str, Any], ...]
    problems: tuple[Problem, ...] = ()


class Lines(Struct, frozen=True):
    """The bytes of one entry and the line on which they begin."""

    data: bytes
    number: int


ReadEntry = Callable[[Node, str, Place, Reading], Any]


def read_log(data: bytes, file: str, read_entry: ReadEntry) -> Log[Any]:
    """Read a log; `read_entry` makes a record of one entry, or BAD."""
    if len(data) > MOST_BYTES:
        return Log((), tuple(nodes.parse(data, file).problems))
    entries: list[Any] = []
    problems: list[Problem] = []
    found, stray = _entries(data.removeprefix(b"\xef\xbb\xbf"))
    for lines in found:
        document = nodes.parse(lines.data, file, lines.number)
        reading = Reading(document)
        record = BAD
        if isinstance(document.root, NodeList) and len(document.root.items) == 1:
            item = document.root.items[0]
            place = document.point(1, 1, len(document.line(1)) + 1)
            record = read_entry(item, entry_id(lines.data), place, reading)
        read = reading.result(record)
        problems += read.problems
        if read.record is not None:
            entries.append(read.record)
    problems += [_stray_problem(lines, file) for lines in stray]
    return Log(tuple(entries), in_order(problems))


def _entries(data: bytes) -> tuple[list[Lines], list[Lines]]:
    """The entries, and lines that belong to none (one of each merge left open)."""
    found: list[Lines] = []
    stray: list[Lines] = []
    current: list[bytes] = []
    start = 0
    in_conflict = False

    def close() -> None:
        while current and _says_nothing(current[-1]):
            current.pop()
        if current:
            found.append(Lines(b"".join(current), start))
            current.clear()

    for number, line in enumerate(data.splitlines(keepends=True) if b"\r" not in data else _split(data), 1):
        if line.startswith(b"- ") or line.rstrip(b"\r\n") == b"-":
            close()
            current.append(line)
            start = number
        elif nodes.is_conflict_marker(line.decode(errors="replace")):
            close()
            if line[:1] == b"<" or not in_conflict:
                stray.append(Lines(line, number))
            in_conflict = line[:1] != b">"
        elif current and (line[:1] in b" \t" or _says_nothing(line)):
            current.append(line)
        elif not _says_nothing(line):
            close()
            stray.append(Lines(line, number))
    close()
    return found, stray


def _split(data: bytes) -> list[bytes]:
    """Lines with their ends; only LF ends a line."""
    lines = [line + b"\n" for line in data.split(b"\n")]
    lines[-1] = lines[-1][:-1]
    return lines if lines[-1] else lines[:-1]


def _says_nothing(line: bytes) -> bool:
    bare = line.strip()
    return not bare or bare.startswith(b"#")


def _stray_problem(lines: Lines, file: str) -> Problem:
    text = lines.data.decode(errors="replace").rstrip("\r\n")
    document = Document(text, file, lines.number)
    place = document.point(1, 1, len(text) + 1)
    if nodes.is_conflict_marker(text):
        return document.problem(place, "conflict-marker", *nodes.conflict_words(text[:7]))
    what = "this line belongs to no entry"
    return document.problem(place, "entry", what, "`- ` in the first column begins an entry",
                            "begin the line with `- `, or indent what goes on from the line above")  # fmt: skip


def read_drafts(data: bytes, file: str, check: Callable[[Node, Reading], Any]) -> Drafts:
    """Read a YAML list of entries that are to be appended; with a problem none of them."""
    document = nodes.parse(data, file)
    reading = Reading(document)
    root = document.root
    if root is None or not isinstance(root, NodeList):
        if not document.problems:
            reading.fault_at(document.point(1, 1), "wrong-shape", "the file is no list", "a list of entries",
                             "begin each entry with `- `")  # fmt: skip
        return Drafts((), in_order(reading.problems))
    drafts = [check(item, reading) for item in root.items]
    read = reading.result(BAD if any(draft is BAD for draft in drafts) else tuple(drafts))
    return Drafts(read.record or (), read.problems)


# --- keys of every entry ---------------------------------------------------------------------------------

LAST = "last"


def entry_name(text: str) -> str:
    """The id of an entry; raises BadName."""
    if len(text) == 10 and set(text) <= set("0123456789abcdef"):
        return text
    wanted = "the ten hexadecimal digits of an entry's id"
    raise BadName("entry-id", f"`{text}` is no entry's id", wanted, "copy it from where the entry is shown")


def entry_name_or_last(text: str) -> str:
    """The id of an entry, or `last` for the last line of the log; raises BadName."""
    return text if text == LAST else entry_name(text)


YES = Then(Word("yes"), lambda word: word == "yes")
TRUTH = Then(Word("yes", "no"), lambda word: word == "yes")
ENTRY_NAME = Named("the id of an entry", entry_name, ENTRY_ID, numbers=True)

NOTE = Key("note", Text(), "anything else")
NO = Key("no", Count(least=2), "2, 3 … where a line would be equal to an earlier one")
INSTEAD_OF = Key("instead_of", ENTRY_NAME, "the id of the entry that this one corrects")
WITHDRAWN = Key("withdrawn", YES, "strikes out the entry that `instead_of` names")
INSTEAD_OF_OR_LAST = Key(
    "instead_of",
    Named("the id of an entry, or `last`", entry_name_or_last, f"{ENTRY_ID}|{LAST}", numbers=True),
    INSTEAD_OF.about,
)

# --- which entries count ---------------------------------------------------------------------------------


def corrected(entries: Iterable[E]) -> Log[E]:
    """The entries that count: byte-equal ones once, none that another corrects or strikes out, no withdrawals.

    An entry that was corrected does not come back when its correction is struck out.
    """
    unique = each_once(entries)
    known = {entry.id for entry in unique}
    replaced = {entry.instead_of for entry in unique}
    problems = [
        _corrects_nothing(e) for e in unique if e.instead_of is not None and e.instead_of not in known
    ]
    standing = tuple(e for e in unique if e.id not in replaced and not e.withdrawn)
    return Log(standing, in_order(problems))


def each_once(entries: Iterable[E]) -> Sequence[E]:
    """Entries without those that are equal byte for byte to an earlier one."""
    unique: dict[str, E] = {}
    for entry in entries:
        unique.setdefault(entry.id, entry)
    return tuple(unique.values())


def _corrects_nothing(entry: Entry) -> Problem:
    verb = "strikes out" if entry.withdrawn else "corrects"
    return Problem(
        place=entry.place,
        code="correction-of-nothing",
        what=f"this entry {verb} the entry {entry.instead_of}, which is not there",
        wanted="the id of an entry of the same file",
        mend="look the id up, and append the entry again with the right one",
        level="warning",
    )
