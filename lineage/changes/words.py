"""A change in words: what stood before, what stands after, and one line that says it."""

from collections.abc import Mapping
from typing import Any

from msgspec import Struct

from lineage.changes.leftovers import nested_difference
from lineage.changes.ops import Absent, Edit, Kind
from lineage.changes.pairing import GONE
from lineage.spec.records import BuildRef, Use
from lineage.values.quantity import ChainTerm

# the leaf whose value shows best what a kind of change is about
_SHOWN = {
    "material": ("stock of", "material"),
    "thickness": ("stock of", "thickness"),
    "section": ("stock of", "section"),
    "part swapped": ("item",),
    "count": ("count",),
    "length": ("length",),
    "mass": ("mass",),
    "module moved on": ("use",),
    "module swapped": ("use",),
    "part renamed": ("name",),
    "rework": ("rework",),
}


def of_change(kind: Kind, where: str, edits: tuple[Edit, ...]) -> tuple[str | None, str | None, str]:
    """(before, after, text) of a change; None for what is not there."""
    edits = _telling(edits)
    shown = _shown(kind, edits)
    if shown is not None:
        before, after = value_text(shown.before), value_text(shown.after)
    else:
        before, after = _listed(edits, "before"), _listed(edits, "after")
    return before, after, _sentence(kind, where, before, after, edits)


def _telling(edits: tuple[Edit, ...]) -> tuple[Edit, ...]:
    """Without the edits of a stock's own entry, where those at the things cut from it say the same."""
    return tuple(edit for edit in edits if edit.leaf[0] != "stock") or edits


def _shown(kind: Kind, edits: tuple[Edit, ...]) -> Edit | None:
    if kind == "option":
        return next((e for e in edits if e.leaf[0] == "fitted" or e.leaf[2:3] == ("fitted",)), None)
    if len(edits) == 1:
        return edits[0]
    ending = _SHOWN.get(kind)
    if ending is None:
        return None
    return next((e for e in edits if e.leaf[-len(ending) :] == ending), None)


def _listed(edits: tuple[Edit, ...], side: str) -> str | None:
    """`key value` of every leaf on one side."""
    said = []
    for edit in edits:
        value = getattr(edit, side)
        text = value_text(value)
        if text is not None and value is not True:
            said.append(f"{key_text(edit)} {text}")
    return "; ".join(said) or None


def key_text(edit: Edit) -> str:
    """The key of a leaf as people know it."""
    keys = [key for key in edit.leaf[2:] if key != "stock of"] or list(edit.leaf[1:])
    return " ".join(key.removesuffix(GONE).strip("_").replace("_", " ") for key in keys)


def value_text(value: Any) -> str | None:
    """A value as its writer typed it, as near as it can be said in one line."""
    if isinstance(value, Absent) or value is None:
        return None
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, BuildRef | int | str):
        return str(value)
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, tuple | list):
        return _sequence(value)
    if isinstance(value, dict):
        return ", ".join(f"{key} {value_text(item)}" for key, item in value.items()) or None
    if isinstance(value, Struct):
        return _record(value)
    return str(value)


def _sequence(values: Any) -> str | None:
    if len(values) == 2 and isinstance(values[0], str) and values[0].endswith(".dxf"):
        return f"{values[0]} ({(values[1] or 'missing')[:8]})"
    return ", ".join(value_text(item) or "not known" for item in values) or None


def _record(record: Struct) -> str | None:
    text = getattr(record, "text", None)
    if text:
        return str(text)
    if isinstance(record, Use):
        return str(record.use)
    if isinstance(record, ChainTerm):
        return _term(record)
    said = []
    for name in record.__struct_fields__:
        value = getattr(record, name)
        if value is None or value in ((), {}):
            continue
        said.append(f"{name.strip('_').replace('_', ' ')} {value_text(value)}")
    return ", ".join(said) or None


def _term(term: ChainTerm) -> str:
    """A term of a chain under the names that things have now."""
    sign = "-" if term.coefficient < 0 else "+"
    factor = "" if abs(term.coefficient) == 1 else f"{abs(term.coefficient):g} * "
    what = f"{term.ref}.{term.dim}" if term.ref is not None else term.literal.text if term.literal else ""
    return f"{sign}{factor}{what}"


def _sentence(kind: Kind, where: str, before: str | None, after: str | None, edits: tuple[Edit, ...]) -> str:
    if kind in {"part added", "module added"}:
        return f"{where} added"
    if kind in {"part dropped", "module dropped"}:
        return f"{where} dropped"
    if kind == "part renamed":
        return f"{before} is now called {after}"
    if kind == "fasteners" and edits[0].leaf[2] == "name":
        return f"{where} added" if before is None else f"{where} dropped"
    inside = (
        nested_difference(edits[0].before, edits[0].after) if kind == "text" and len(edits) == 1 else None
    )
    if inside is not None:
        return _joined(where, kind, f"{key_text(edits[0])} {inside}" if len(edits[0].leaf) > 2 else inside)
    key = _key_beside(kind, edits)
    if before is None:
        return _joined(where, kind, f"{key}{_short(after)} added")
    if after is None:
        return _joined(where, kind, f"{key}{_short(before)} dropped")
    return _joined(where, kind, f"{key}{_short(before)} → {_short(after)}")


def _key_beside(kind: Kind, edits: tuple[Edit, ...]) -> str:
    """The key of the one edit of a thing, where the kind does not say which it is: `kerf `, `density `."""
    if kind not in _SEVERAL_KEYS or len(edits) != 1 or len(edits[0].leaf) < 3:
        return ""
    key = key_text(edits[0])
    return "" if key in _SEVERAL_KEYS[kind] else f"{key} "


_SEVERAL_KEYS: Mapping[Kind, frozenset[str]] = {
    "outline": frozenset({"outline", "area"}),
    "material": frozenset({"material", "family material"}),
    "text": frozenset(),
}
"""Kinds that stand for several keys, with those that need no saying."""


def _noun(kind: Kind) -> str:
    return {"text": "", "part swapped": "", "fasteners": ""}.get(kind, kind).strip()


def _short(text: str | None, most: int = 60) -> str:
    said = text or "not known"
    return said if len(said) <= most else f"{said[: most - 1]}…"


def _joined(where: str, kind: Kind, said: str) -> str:
    noun = _noun(kind)
    return f"{where}: {noun} {said}" if noun else f"{where}: {said}"
