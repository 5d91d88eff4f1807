"""Changes applied to the first state give the second."""

from collections.abc import Iterable

from lineage.changes.ops import Absent, Change
from lineage.changes.snapshot import Snapshot


def apply(changes: Iterable[Change], before: Snapshot) -> Snapshot:
    """The leaves after `changes`, in any order, are made to `before`.

    Raises ValueError where a leaf is not what a change found there.
    """
    leaves = dict(before)
    for change in changes:
        for edit in change.edits:
            found = leaves.pop(edit.leaf, None)
            expected = None if isinstance(edit.before, Absent) else edit.before
            if found != expected:
                raise ValueError(f"{change.id} expects {expected!r} at {edit.leaf}, found {found!r}")
            if not isinstance(edit.after, Absent):
                leaves[edit.leaf] = edit.after
    return leaves
