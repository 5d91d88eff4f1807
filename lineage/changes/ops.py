"""The closed set of kinds of change, and a change as a set of edits to leaves."""

from typing import Any, Literal, get_args

from msgspec import Struct

from lineage.changes.snapshot import Leaf

Kind = Literal[
    "part added", "part dropped", "part renamed", "part swapped", "material", "thickness", "section",
    "outline", "length", "count", "mass", "module added", "module dropped", "module moved on",
    "module swapped", "fasteners", "fit", "bay", "access", "option", "setting", "rework", "file", "caution",
    "text",
]  # fmt: skip

KINDS: tuple[Kind, ...] = get_args(Kind)
ORDER = {kind: at for at, kind in enumerate(KINDS)}


class Absent:
    """What stands at a leaf that is not there."""

    def __repr__(self) -> str:
        return "absent"


ABSENT = Absent()


class Edit(Struct, frozen=True, gc=False):
    """One leaf that differs. `before` or `after` is ABSENT where the leaf is not there."""

    leaf: Leaf
    before: Any
    after: Any


class Change(Struct, frozen=True, kw_only=True, gc=False):  # in no ring, and made by thousands
    """One change of one thing: its kind, where, and every leaf that it claims.

    `where` is the thing's reference in the second state (in the first, where it is gone), or the key of the
    spec; `text` says it in words. One without edits is at a thing that nobody edited and that weighs another
    mass all the same: it was weighed, or is in the working files of a module.
    """

    kind: Kind
    where: str
    edits: tuple[Edit, ...]
    before: str | None
    after: str | None
    text: str

    @property
    def id(self) -> str:
        """`kind:where`, one of a kind in a comparison."""
        return f"{self.kind}:{self.where}"
