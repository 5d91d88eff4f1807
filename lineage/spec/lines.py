"""Entries and records → the text of their files. What is written here reads back equal.

Free text is double-quoted; names, words, numbers and quantities stand plain where that is safe.
"""

import re
from collections.abc import Callable, Iterator
from collections.abc import Mapping as MappingOf
from datetime import date as Date  # noqa: N812 - as in records
from typing import Any

from lineage.spec import bout_file, result_file
from lineage.spec.fields import ByShape, Free, ListOf, NameMap, Table, Then, Value
from lineage.spec.nodes import is_refused_plain
from lineage.spec.records import BuildRecord, ChangeNote
from lineage.spec.scalars import Setting, Text, quantity_or_text

_SAFE = re.compile(r"-?[A-Za-z0-9±+.](?:[A-Za-z0-9 ±+./%@°_:-]*[A-Za-z0-9±+./%@°_-])?")
_LONGEST_KEY = 1000  # YAML looks no further than 1,024 characters for the colon of a key without `?`
_ESCAPES = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\t": "\\t", "\r": "\\r"}


def result_line(entry: MappingOf[str, Any]) -> str:
    """The line of a result, without its end. Keys as in results/DESIGN.yaml; what is None or empty is left out.

    Values are texts, numbers, truth values, dates, records of quantities (written as typed), lists and mappings.
    """
    if entry.get("withdrawn"):
        return _line(result_file.DRAFT_WITHDRAWAL, entry)
    return _line(result_file.DRAFT_TABLES[str(entry["kind"])], entry)


def bout_line(entry: MappingOf[str, Any]) -> str:
    """The line of a bout, without its end; values as in `result_line`."""
    return _line(bout_file.DRAFT_WITHDRAWAL if entry.get("withdrawn") else bout_file.DRAFT, entry)


def _line(table: Table, entry: MappingOf[str, Any]) -> str:
    return f"- {_table(table, entry)}"


def quoted(text: str) -> str:
    """A text in double quotes, with everything escaped that cannot be seen or would not survive."""
    return f'"{"".join(map(_escaped, text))}"'


def _escaped(character: str) -> str:
    if character in _ESCAPES:
        return _ESCAPES[character]
    if character.isprintable():
        return character
    number = ord(character)
    if 0xD800 <= number <= 0xDFFF:  # half a character, which no file in UTF-8 can hold
        return "\ufffd"
    return (
        f"\\x{number:02x}"
        if number < 0x100
        else f"\\u{number:04x}"
        if number < 0x10000
        else f"\\U{number:08x}"
    )


def plain_or_quoted(text: str) -> str:
    """A text without quotes where YAML reads it back as it is."""
    safe = _SAFE.fullmatch(text) and ": " not in text and not is_refused_plain(text)
    return text if safe else quoted(text)


def _written(reader: Value, value: Any) -> str:
    for kind, write in _WRITERS:
        if isinstance(reader, kind):
            return write(reader, value)
    return plain_or_quoted(_text(value))


def _text(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Date):
        return value.isoformat()
    return str(getattr(value, "text", value))


def _table(table: Table, value: MappingOf[str, Any]) -> str:
    known = {key.name: key.value for key in table.keys}
    pairs = [
        f"{name}: {_written(known[name], value[name])}" for name in known if _says_something(value.get(name))
    ]
    pairs += [
        f"{plain_or_quoted(name)}: {_free(other)}"
        for name, other in value.items()
        if name not in known and _says_something(other)
    ]
    return f"{{{', '.join(pairs)}}}"


def _says_something(value: Any) -> bool:
    if isinstance(value, str):
        return bool(value.strip())
    return value is not None and value not in ([], (), {})


def _name_map(reader: NameMap, value: MappingOf[str, Any]) -> str:
    pairs = [f"{_key(name)}: {_written(reader.value, other)}" for name, other in value.items()]
    return f"{{{', '.join(pairs)}}}"


def _key(name: str) -> str:
    text = plain_or_quoted(name)
    return f"? {text} " if len(text) > _LONGEST_KEY else text


def _list(reader: ListOf, value: Any) -> str:
    if isinstance(value, list | tuple):
        return f"[{', '.join(_written(reader.item, item) for item in value)}]"
    return _written(reader.item, value)


def _by_shape(reader: ByShape, value: Any) -> str:
    return _written(reader.reader_of(value), value)


def _free_text(reader: Text, value: Any) -> str:
    text = _text(value)
    return plain_or_quoted(text) if reader.plain.fullmatch(text) else quoted(text)


def _setting(reader: Setting, value: Any) -> str:
    del reader
    text = _text(value)
    return quoted(text) if isinstance(quantity_or_text(text), str) else plain_or_quoted(text)


def _free(value: Any) -> str:
    if isinstance(value, MappingOf):
        return f"{{{', '.join(f'{_key(str(name))}: {_free(other)}' for name, other in value.items())}}}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(_free, value))}]"
    return quoted(_text(value))


_WRITERS: tuple[tuple[type, Callable[[Any, Any], str]], ...] = (
    (Text, _free_text),
    (Table, _table),
    (NameMap, _name_map),
    (ListOf, _list),
    (Then, lambda reader, value: _written(reader.value, value)),
    (ByShape, _by_shape),
    (Setting, _setting),
    (Free, lambda _, value: _free(value)),
)

# --- build.yaml ------------------------------------------------------------------------------------------


def build_yaml(record: BuildRecord) -> str:
    """The text of build.yaml: the same for the same record, names sorted by their bytes."""
    return "".join(f"{line}\n" for line in _build_lines(record))


def _build_lines(record: BuildRecord) -> Iterator[str]:
    yield f"format: {record.format}"
    yield f"tables: {record.tables}"
    yield f"design: {record.design}"
    yield f"label: {plain_or_quoted(record.label)}"
    yield f"on: {record.on.isoformat()}"
    yield f"before: {plain_or_quoted(record.before or 'none')}"
    yield f"id: {record.id}"
    yield from _block("files", record.files)
    if record.uses:
        yield from _block("uses", record.uses)
    if record.renames:
        yield from _block("renames", record.renames)
    if record.notes:
        yield "notes:"
        for note in record.notes:
            yield from _note_lines(note)


def _block(name: str, values: MappingOf[str, str]) -> Iterator[str]:
    if not values:
        yield f"{name}: {{}}"
        return
    yield f"{name}:"
    for key in sorted(values, key=str.encode):
        yield f"  {_key(key)}: {plain_or_quoted(values[key])}"


def _note_lines(note: ChangeNote) -> Iterator[str]:
    yield f"  - about: [{', '.join(map(plain_or_quoted, note.about))}]"
    if note.why:
        yield f"    why: {quoted(note.why)}"
    if note.aim:
        yield f"    aim: [{', '.join(note.aim)}]"
    if note.for_:
        yield f"    for: [{', '.join(map(quoted, note.for_))}]"
    if note.expect:
        yield "    expect:"
        for one in note.expect:
            yield f"      {_key(f'{one.figure} {one.about}')}: {plain_or_quoted(one.text)}"
    if note.described_better:
        yield "    described_better: yes"
