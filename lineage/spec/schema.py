"""JSON schema of every file, made from the same tables that read it.

A schema tells an editor which keys there are and what they are for. The reader is stricter: it knows units,
references and what goes together. Whatever it accepts, the schema accepts.
"""

from typing import Any, Literal, get_args

from lineage.spec import bout_file, build_file, design_file, event_file, family_file, lesson_file, result_file
from lineage.spec.fields import Schema, Table

FileKind = Literal["family", "robot", "module", "build", "results", "event", "bouts", "lesson"]
FILE_KINDS: tuple[FileKind, ...] = get_args(FileKind)

_WHOLE_FILES: dict[str, Table] = {
    "family": family_file.FAMILY,
    "robot": design_file.ROBOT,
    "module": design_file.MODULE,
    "build": build_file.BUILD,
    "event": event_file.EVENT,
    "lesson": lesson_file.LESSON,
}
_LISTS: dict[str, tuple[Table, ...]] = {
    "results": (*result_file.TABLES.values(), result_file.WITHDRAWAL),
    "bouts": (bout_file.BOUT, bout_file.WITHDRAWAL),
}


def schema_for(kind: FileKind) -> dict[str, Any]:
    """The schema of a kind of file, draft 2020-12."""
    shared: dict[str, Schema] = {}
    if kind in _LISTS:
        entries = [table.schema(shared) for table in _LISTS[kind]]
        whole: Schema = {"type": ["array", "null"], "items": {"anyOf": entries}}
    else:
        whole = _WHOLE_FILES[kind].schema(shared)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": kind,
        **whole,
        "$defs": {name: shared[name] for name in sorted(shared)},
    }
